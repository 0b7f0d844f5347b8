#include <slotwitness/procedures/places.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::procedures {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

TEST(Places, are_names_in_angle_brackets) {
    EXPECT_THAT(places_in("Pull <tray>, then <module-2>."),
                ElementsAre(Place{5, 11, "tray"}, Place{18, 28, "module-2"}));
}

TEST(Places, what_is_no_name_stands_for_itself) {
    EXPECT_THAT(places_in("a < b, <>, <Tray>, <2nd>, <tray x>, <tray"), IsEmpty());
    EXPECT_THAT(places_in("<<tray>>"), ElementsAre(Place{1, 7, "tray"}));
}

TEST(Places, a_column_of_the_filled_text_is_found_again) {
    const auto filled = fill("module <module> shut", [](auto) { return "FABRIC3"; });
    EXPECT_EQ(filled.text, "module FABRIC3 shut");
    EXPECT_EQ(filled.column_before(1), 1U);
    EXPECT_EQ(filled.column_before(8), 8U) << "the value begins where its place does";
    EXPECT_EQ(filled.column_before(12), 8U) << "within a value";
    EXPECT_EQ(filled.column_before(15), 16U) << "the blank behind it";
    EXPECT_EQ(filled.column_before(16), 17U);
}

} // namespace
} // namespace slotwitness::procedures
