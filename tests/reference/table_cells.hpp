#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// Where the cells of a row stand, by the reference.
namespace slotwitness::reference {

/// A line as characters; what is not UTF-8 counts a byte a character.
struct Characters {
    std::vector<std::string> all;

    explicit Characters(const std::string& line);
    [[nodiscard]] bool blank(std::size_t at) const { return at >= all.size() || all[at] == " "; }
    [[nodiscard]] std::size_t bytes_before(std::size_t at) const {
        std::size_t bytes = 0;
        for (std::size_t i = 0; i < std::min(at, all.size()); ++i)
            bytes += all[i].size();
        return bytes;
    }
    [[nodiscard]] std::string text(std::size_t begin, std::size_t end) const {
        std::string result;
        for (std::size_t i = begin; i < std::min(end, all.size()); ++i)
            result += all[i];
        return result;
    }
};

struct Column {
    std::string label;
    std::size_t begin = 0;
    std::size_t end = 0;
    bool right = false;
};

/// [begin, end) of a cell's text; the same number twice if it is empty.
using Span = std::pair<std::size_t, std::size_t>;

/// Between and beside the runs of dashes there is nothing.
[[nodiscard]] std::optional<std::vector<Span>> under_rule(const Characters& row,
                                                          const std::vector<Column>& columns);
/// Where each column begins that is not the first: a blank stands before it.
[[nodiscard]] std::optional<std::vector<Span>> under_header(const Characters& row,
                                                            const std::vector<Column>& columns);

} // namespace slotwitness::reference
