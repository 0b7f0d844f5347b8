#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace slotwitness::state {

/// How many bytes at the beginning of `text` are printable ASCII (0x20 to 0x7e). Nearly every line
/// of an answer is nothing else, so it is told eight bytes at a time.
[[nodiscard]] inline std::size_t printable_ascii(std::string_view text) {
    constexpr std::uint64_t ones = 0x0101'0101'0101'0101;
    std::size_t at = 0;
    for (; text.size() - at >= sizeof(std::uint64_t); at += sizeof(std::uint64_t)) {
        std::uint64_t bytes = 0;
        std::memcpy(&bytes, text.data() + at, sizeof bytes);
        // The upper bit of some byte is set where one is above 0x7f, is 0x7f, or is below 0x20.
        // Only such a byte carries or borrows, so that without one no neighbour is mistaken.
        if (((bytes | (bytes + ones) | (bytes - 0x20 * ones)) & (0x80 * ones)) != 0)
            break;
    }
    while (at < text.size() && text[at] >= ' ' && text[at] <= '~')
        ++at;
    return at;
}

} // namespace slotwitness::state
