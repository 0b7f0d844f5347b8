#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A line as its reader counts it: one place a code point, so that a column stands where it is
/// seen. A byte that is not part of valid UTF-8 (RFC 3629) has a place of its own.
class Glyphs {
  public:
    explicit Glyphs(std::string_view line);

    [[nodiscard]] std::size_t size() const { return starts_.size() - 1; }
    /// Past the end of a line everything is blank.
    [[nodiscard]] bool is_blank(std::size_t place) const {
        return place >= size() || line_[starts_[place]] == ' ';
    }
    /// Byte offset of a place; of the end for places past it.
    [[nodiscard]] std::size_t byte_of(std::size_t place) const {
        return starts_[place < size() ? place : size()];
    }
    /// The place that holds the byte at `offset`.
    [[nodiscard]] std::size_t place_of(std::size_t offset) const;
    [[nodiscard]] std::string_view between(std::size_t begin, std::size_t end) const {
        return line_.substr(byte_of(begin), byte_of(end) - byte_of(begin));
    }

  private:
    std::string_view line_;
    std::vector<std::size_t> starts_; ///< of each place, and the length of the line
};

} // namespace slotwitness::layouts
