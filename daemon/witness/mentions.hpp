#pragma once

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace slotwitness::witness {

/// Which of many unread lines name a component, as `names` says it. Each line is gone through once,
/// however many components are looked for: a device may print as many of both as an answer holds.
class Mentions {
  public:
    struct Line {
        std::size_t answer = 0;                ///< its number in the look
        const state::UnreadLine* it = nullptr; ///< outlives this
        std::string lower;                     ///< its text, and what else it may name
    };

    Mentions() = default;
    Mentions(Mentions&&) = default; // a copy's words would stand in the texts of the other
    Mentions& operator=(Mentions&&) = default;

    void add(std::size_t answer, const state::UnreadLine& line);
    /// The first line, as they were added, that names it; null: none does.
    [[nodiscard]] const Line* first(std::string_view name) const;

  private:
    /// Where a word begins.
    struct Place {
        std::uint32_t line = 0;
        std::uint32_t at = 0;
    };
    std::deque<Line> lines_; ///< words stand in their texts
    std::unordered_map<std::string_view, std::vector<Place>> words_;
};

/// `name` stands in `line` as a word of its own: no letter or digit touches it. Case does not
/// matter, so that a garbled line names too much rather than too little.
[[nodiscard]] bool names(std::string_view line, std::string_view name);

} // namespace slotwitness::witness
