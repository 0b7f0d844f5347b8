#pragma once

#include <slotwitness/procedures/procedure.hpp>
#include <slotwitness/state/problem.hpp>

#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

namespace slotwitness::procedures {

inline std::string text_of(const std::string& path) {
    std::ifstream in{path};
    if (!in)
        throw std::runtime_error("cannot read " + path);
    return {std::istreambuf_iterator<char>{in}, {}};
}
/// A procedure with one of everything.
inline std::string swap_text() {
    return text_of(SLOTWITNESS_TESTS "/procedures/data/swap.toml");
}

/// `text` with one stretch written otherwise, everywhere.
inline std::string replaced(std::string text, const std::string& old, const std::string& other) {
    for (std::size_t at = text.find(old); at != std::string::npos;
         at = text.find(old, at + other.size()))
        text.replace(at, old.size(), other);
    return text;
}

inline std::vector<std::string> texts_of(const std::vector<state::Problem>& problems) {
    std::vector<std::string> texts;
    for (const state::Problem& problem : problems)
        texts.push_back(state::to_text(problem));
    return texts;
}

} // namespace slotwitness::procedures
