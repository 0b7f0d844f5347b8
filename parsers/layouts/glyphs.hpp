#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// How many bytes the UTF-8 sequence at the beginning of `text` has (RFC 3629, section 4); 1 if
/// there is none.
[[nodiscard]] std::size_t sequence_length(std::string_view text);

/// A line as its reader counts it: one place a code point, so that a column stands where it is
/// seen. A byte that is not part of valid UTF-8 (RFC 3629) has a place of its own.
class Glyphs {
  public:
    Glyphs() = default;
    explicit Glyphs(std::string_view line) { show(line); }

    /// Shows another line, in the memory of the one before.
    void show(std::string_view line);
    /// The same for one that is known to have nothing but ASCII.
    void show_ascii(std::string_view line) {
        line_ = line;
        size_ = line.size();
        is_ascii_ = true;
    }

    [[nodiscard]] std::size_t size() const { return size_; }
    /// Past the end of a line everything is blank.
    [[nodiscard]] bool is_blank(std::size_t place) const {
        return place >= size_ || line_[offset(place)] == ' ';
    }
    /// Byte offset of a place; of the end for places past it.
    [[nodiscard]] std::size_t byte_of(std::size_t place) const {
        return place < size_ ? offset(place) : line_.size();
    }
    /// The place that holds the byte at `offset`.
    [[nodiscard]] std::size_t place_of(std::size_t offset) const;
    [[nodiscard]] std::string_view between(std::size_t begin, std::size_t end) const {
        return line_.substr(byte_of(begin), byte_of(end) - byte_of(begin));
    }
    [[nodiscard]] std::string_view line() const { return line_; }
    /// Each place is one byte, at its own offset.
    [[nodiscard]] bool is_ascii() const { return is_ascii_; }

  private:
    [[nodiscard]] std::size_t offset(std::size_t place) const {
        return is_ascii_ ? place : starts_[place];
    }

    std::string_view line_;
    std::size_t size_ = 0;
    bool is_ascii_ = true;            ///< each place is its own offset
    std::vector<std::size_t> starts_; ///< otherwise: of each place
};

} // namespace slotwitness::layouts
