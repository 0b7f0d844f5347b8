#pragma once

#include <tl/expected.hpp>

#include <string>
#include <vector>

namespace slotwitness::scenario {

struct Step {
    std::string name;
    std::string say;               ///< what a person would say of it
    std::string gate;              ///< sentence
    std::vector<std::string> acts; ///< lines for the control socket, after the gate is open
    std::string expect;            ///< "pass", "seen_false" or "not_seen"
    std::string until;             ///< step before which its gate retires; empty: the next one
};

struct Script {
    std::string title;
    std::string chassis;
    std::vector<Step> steps;
};

/// The error names the file, the line and what is missing.
[[nodiscard]] tl::expected<Script, std::string> load(const std::string& file);

} // namespace slotwitness::scenario
