#pragma once

#include "component.hpp"
#include "finding.hpp"

#include <slotwitness/state/reading.hpp>

#include <compare>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// How the witness speaks: every sentence that a person reads starts with what the device reports.
namespace slotwitness::witness {

/// Most lines that one reason cites: more than a person follows; the capture has them all.
inline constexpr std::size_t most_cites = 32;
/// Most names listed in one sentence.
inline constexpr std::size_t most_names = 24;

/// "fabric plane", "fan tray": the kind as one says it to a technician.
[[nodiscard]] std::string spoken(state::Kind kind);
/// "fabric plane 3"
[[nodiscard]] std::string spoken(const Component& component);
/// "1, 2, 3", "none", "1, 2 and 17 more"
template <class Names>
[[nodiscard]] std::string spoken_list(const Names& names) {
    std::string text;
    std::size_t said = 0;
    for (const std::string& name : names) {
        if (said == most_names)
            return text + " and " + std::to_string(names.size() - said) + " more";
        text += (said++ == 0 ? "" : ", ") + name;
    }
    return text.empty() ? "none" : text;
}

/// The line of `row` at `at`, as the device printed it.
[[nodiscard]] std::string line_at(const state::Row& row, state::Position at);

/// Appends those of `more` that are not there yet, up to `most_cites`.
void add_cites(std::vector<Cite>& cites, std::span<const Cite> more);

} // namespace slotwitness::witness
