#include <slotwitness/marked/legible.hpp>

#include <gtest/gtest.h>

namespace slotwitness::marked {
namespace {

TEST(Legible, plain_text_is_as_it_is) {
    EXPECT_EQ(legible("FAB1  running").text, "FAB1  running");
    EXPECT_EQ(legible("FAB1  running").width, 13U);
}

TEST(Legible, a_code_point_is_one_place) {
    EXPECT_EQ(legible("38 °C").text, "38 °C");
    EXPECT_EQ(legible("38 °C").width, 5U);
    EXPECT_EQ(place_of("38 °C x", 8), 6U) << "the byte of x";
}

TEST(Legible, what_a_terminal_acts_on_is_spelt_out) {
    EXPECT_EQ(legible("a\x1b[2Jb").text, "a\\x1B[2Jb");
    EXPECT_EQ(legible("\t\x7f").text, "\\x09\\x7F");
    EXPECT_EQ(legible("\xc2\x9b").text, "\\xC2\\x9B") << "CSI of C1";
    // Written as bytes, so that the source itself misleads nobody.
    // NOLINTBEGIN(misc-misleading-bidirectional)
    EXPECT_EQ(legible("\xe2\x80\xae").text, "\\xE2\\x80\\xAE") << "right-to-left override";
    EXPECT_EQ(legible("\xe2\x81\xa6").text, "\\xE2\\x81\\xA6") << "left-to-right isolate";
    // NOLINTEND(misc-misleading-bidirectional)
    EXPECT_EQ(legible("\xff").text, "\\xFF");
}

TEST(Legible, places_count_what_is_shown) {
    EXPECT_EQ(place_of("a\x1b"
                       "b",
                       3),
              5U);
    EXPECT_EQ(place_of("abc", 1), 0U);
    EXPECT_EQ(place_of("abc", 0), 0U);
    EXPECT_EQ(place_of("abc", 99), 3U) << "the end";
}

} // namespace
} // namespace slotwitness::marked
