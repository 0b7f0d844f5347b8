#include "world.hpp"

#include <slotwitness/witness/truth.hpp>

#include <gtest/gtest.h>

namespace slotwitness::witness {
namespace {

using test::F;
using test::T;
using test::U;

constexpr Truth order[] = {T, F, U}; // the order of Kleene's tables

// S. C. Kleene, Introduction to Metamathematics, 1952, section 64, pp. 332-335: the strong tables.
TEST(kleene, negation_is_the_strong_table) {
    constexpr Truth table[] = {F, T, U};
    for (int q = 0; q < 3; ++q)
        EXPECT_EQ(negate(order[q]), table[q]) << q;
}

TEST(kleene, conjunction_is_the_strong_table) {
    constexpr Truth table[3][3] = {{T, F, U}, {F, F, F}, {U, F, U}};
    for (int q = 0; q < 3; ++q)
        for (int r = 0; r < 3; ++r)
            EXPECT_EQ(both(order[q], order[r]), table[q][r]) << q << r;
}

TEST(kleene, disjunction_is_the_strong_table) {
    constexpr Truth table[3][3] = {{T, T, T}, {T, F, U}, {T, U, U}};
    for (int q = 0; q < 3; ++q)
        for (int r = 0; r < 3; ++r)
            EXPECT_EQ(either(order[q], order[r]), table[q][r]) << q << r;
}

// The same tables through the evaluator: plane 1 is up, plane 2 is not, of plane 3 nothing is
// known.
TEST(kleene, sentences_follow_the_tables) {
    const View look = test::view({test::planes({{"1", 'u'}, {"2", 'd'}, {"3", '?'}})});
    const Inventory inventory = test::inventory({{state::Kind::plane, {"1", "2", "3"}}});
    for (int q = 0; q < 3; ++q) {
        const std::string left = "plane " + std::to_string(q + 1) + " up";
        EXPECT_EQ(test::truth(left, look, inventory).truth, order[q]);
        EXPECT_EQ(test::truth("not " + left, look, inventory).truth, negate(order[q]));
        for (int r = 0; r < 3; ++r) {
            const std::string right = "plane " + std::to_string(r + 1) + " up";
            EXPECT_EQ(test::truth(left + " and " + right, look, inventory).truth,
                      both(order[q], order[r]));
            EXPECT_EQ(test::truth(left + " or " + right, look, inventory).truth,
                      either(order[q], order[r]));
        }
    }
}

// Where Kleene differs from Łukasiewicz: U implies U is U, not true.
TEST(kleene, unknown_implies_unknown_is_unknown) {
    EXPECT_EQ(either(negate(U), U), U);
}

TEST(kleene, words_are_the_three_of_the_api) {
    EXPECT_EQ(to_word(T), "true");
    EXPECT_EQ(to_word(U), "unknown");
    EXPECT_EQ(to_word(F), "false");
}

} // namespace
} // namespace slotwitness::witness
