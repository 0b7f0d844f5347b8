#include <slotwitness/state/blanks.hpp>

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::state {
namespace {

TEST(TrailingBlanks, end_at_the_last_byte_that_is_none) {
    // Eight bytes are looked at together: each length, each place, each byte.
    for (std::size_t size = 0; size <= 26; ++size) {
        const std::string blank(size, ' ');
        ASSERT_EQ(trailing_blanks(blank), size);
        for (std::size_t at = 0; at < size; ++at)
            for (int byte = 0; byte < 256; ++byte) {
                std::string text = blank;
                text[at] = static_cast<char>(byte);
                ASSERT_EQ(trailing_blanks(text), byte == ' ' ? size : size - at - 1)
                    << "byte " << byte << " at " << at << " of " << size;
            }
    }
}

TEST(TrailingBlanks, blanks_before_the_last_ink_do_not_count) {
    for (std::size_t before = 0; before <= 17; ++before)
        for (std::size_t after = 0; after <= 17; ++after) {
            const std::string text = "x" + std::string(before, ' ') + "y" + std::string(after, ' ');
            ASSERT_EQ(trailing_blanks(text), after) << "after " << before;
        }
}

} // namespace
} // namespace slotwitness::state
