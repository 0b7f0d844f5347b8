#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace slotwitness::state {

/// How many blanks (0x20) stand at the end of `text`. Columns are mostly blanks, so they are told
/// eight at a time.
[[nodiscard]] inline std::size_t trailing_blanks(std::string_view text) {
    constexpr std::size_t width = sizeof(std::uint64_t);
    constexpr std::uint64_t blanks = 0x2020'2020'2020'2020;
    std::size_t end = text.size();
    while (end >= width) {
        std::uint64_t bytes = 0;
        std::memcpy(&bytes, text.data() + end - width, width);
        const std::uint64_t ink = bytes ^ blanks;
        if (ink == 0) {
            end -= width;
            continue;
        }
        // The last byte in memory is the highest where the lowest comes first.
        const int zeros = std::endian::native == std::endian::little ? std::countl_zero(ink)
                                                                     : std::countr_zero(ink);
        return text.size() - end + static_cast<std::size_t>(zeros) / 8;
    }
    while (end > 0 && text[end - 1] == ' ')
        --end;
    return text.size() - end;
}

} // namespace slotwitness::state
