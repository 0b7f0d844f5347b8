#include <slotwitness/state/printable.hpp>

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::state {
namespace {

TEST(PrintableAscii, ends_before_the_first_byte_that_is_none) {
    // Eight bytes are looked at together, and the last ones with those before them: each length,
    // each place, each byte.
    for (std::size_t size = 0; size <= 26; ++size) {
        const std::string plain(size, '~');
        ASSERT_EQ(printable_ascii(plain), size);
        for (std::size_t at = 0; at < size; ++at)
            for (int byte = 0; byte < 256; ++byte) {
                std::string text = plain;
                text[at] = static_cast<char>(byte);
                const bool is_printable = byte >= 0x20 && byte <= 0x7e;
                ASSERT_EQ(printable_ascii(text), is_printable ? size : at)
                    << "byte " << byte << " at " << at << " of " << size;
            }
    }
}

TEST(PrintableAscii, sees_the_first_of_several) {
    for (const int first : {0x00, 0x1f, 0x7f, 0x80, 0xff})
        for (const int second : {0x00, 0x1f, 0x7f, 0x80, 0xff})
            for (std::size_t at = 0; at < 17; ++at)
                for (std::size_t apart = 1; at + apart < 18; ++apart) {
                    std::string text(18, ' ');
                    text[at] = static_cast<char>(first);
                    text[at + apart] = static_cast<char>(second);
                    ASSERT_EQ(printable_ascii(text), at);
                }
}

} // namespace
} // namespace slotwitness::state
