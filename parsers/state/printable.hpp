#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace slotwitness::state {

/// How many bytes at the beginning of `text` are printable ASCII (0x20 to 0x7e). Nearly every line
/// of an answer is nothing else, so it is told eight bytes at a time.
[[nodiscard]] inline std::size_t printable_ascii(std::string_view text) {
    constexpr std::size_t width = sizeof(std::uint64_t);
    // The upper bit of some byte is set where one is above 0x7f, is 0x7f, or is below 0x20. Only
    // such a byte carries or borrows, and into higher ones: the lowest that is marked is one.
    const auto marks = [](const char* at) {
        constexpr std::uint64_t ones = 0x0101'0101'0101'0101;
        std::uint64_t bytes = 0;
        std::memcpy(&bytes, at, sizeof bytes);
        return (bytes | (bytes + ones) | (bytes - 0x20 * ones)) & (0x80 * ones);
    };
    constexpr bool first_is_lowest = std::endian::native == std::endian::little;
    const char* const begin = text.data();
    const char* const end = begin + text.size();
    const char* at = begin;
    if (text.size() >= width) {
        const char* const last = end - width;
        for (; at <= last; at += width)
            if (const std::uint64_t marked = marks(at)) {
                if constexpr (first_is_lowest)
                    return static_cast<std::size_t>(at - begin + std::countr_zero(marked) / 8);
                break;
            }
        // The rest of a text of so many bytes is looked at together with those before it.
        if (at > last && marks(last) == 0)
            return text.size();
    }
    while (at < end && *at >= ' ' && *at <= '~')
        ++at;
    return static_cast<std::size_t>(at - begin);
}

} // namespace slotwitness::state
