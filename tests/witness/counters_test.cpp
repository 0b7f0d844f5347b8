#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

Sheet counting(const char* errors) {
    return Sheet({Kind::plane}).row(Kind::plane, "3", {{Attribute::errors, quantity(errors)}});
}

constexpr const char* sentence = "errors of plane 3 not rising";

TEST(errors, are_not_rising_if_an_earlier_look_showed_as_many) {
    World world = opened(sentence);
    world.look(1, 2, counting("7"));
    EXPECT_EQ(world.gate().truth, U);
    EXPECT_EQ(world.gate().because.reason, Reason::nothing_earlier);
    world.look(3, 4, counting("7"));
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    ASSERT_EQ(world.gate().because.cites.size(), 2U) << "the line now and the line then";
    EXPECT_EQ(world.gate().because.cites[0].capture, "capture-at-4");
    EXPECT_EQ(world.gate().because.cites[1].capture, "capture-at-2");
}

TEST(errors, that_rose_are_seen_false_and_those_that_fell_are_unknown) {
    World world = opened(std::string(sentence) + " for 1 h");
    auto look = [&, t = std::int64_t{0}](const char* errors) mutable {
        t += 10;
        world.look(t, t + 1, counting(errors));
        return world.gate().truth;
    };
    EXPECT_EQ(look("7"), U);
    EXPECT_EQ(look("8"), F);
    EXPECT_EQ(world.gate().because.cites.size(), 2U);
    EXPECT_EQ(look("8"), T);
    EXPECT_EQ(look("2"), U) << "the counter began again: how many came in between nobody knows";
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
    EXPECT_EQ(look("2"), T);
    EXPECT_EQ(look("3"), F);
}

TEST(errors, are_compared_across_looks_that_do_not_tell) {
    World world = opened(std::string(sentence) + " for 1 h");
    world.look(1, 2, counting("7"));
    world.silence(3, 4);
    world.look(5, 6, Sheet({Kind::plane}).row(Kind::plane, "3"));
    EXPECT_EQ(world.gate().truth, U);
    world.look(7, 8, counting("8"));
    EXPECT_EQ(world.gate().truth, F);
}

TEST(errors, of_an_answer_that_is_not_whole_may_have_risen_and_confirm_nothing) {
    World world = opened(std::string(sentence) + " for 1 h");
    world.look(1, 2, counting("7"));
    world.look(3, 4, counting("7").cut());
    EXPECT_EQ(world.gate().truth, U);
    world.look(5, 6, counting("9").cut());
    EXPECT_EQ(world.gate().truth, F);
    world.look(7, 8, counting("7"));
    EXPECT_EQ(world.gate().truth, T) << "what was cut is not remembered";
}

// With a refresh of 10 a look asked at 9 may show the very table that the one at 2 showed.
TEST(errors, of_the_same_table_shown_twice_prove_nothing) {
    World world = opened(std::string(sentence) + " for 1 h", {.refresh = 10});
    world.look(1, 2, counting("7"));
    world.look(11, 12, counting("7"));
    EXPECT_EQ(world.gate().truth, U) << "11 - 10 is before 2";
    EXPECT_EQ(world.gate().because.reason, Reason::nothing_earlier);
    world.look(12, 13, counting("7"));
    EXPECT_EQ(world.gate().truth, T) << "12 - 10 is not";
    world.look(14, 15, counting("8"));
    EXPECT_EQ(world.gate().truth, F);
    world.look(24, 25, counting("8"));
    EXPECT_EQ(world.gate().truth, U) << "as at 15, which the table may still be of";
    world.look(25, 26, counting("8"));
    EXPECT_EQ(world.gate().truth, T);
}

TEST(errors, seen_before_a_restart_or_by_another_gate_are_none) {
    World world = opened(std::string(sentence) + " for 1 h");
    world.look(1, 2, counting("7"));
    world.run(3);
    world.look(4, 5, counting("7"));
    EXPECT_EQ(world.gate().because.reason, Reason::nothing_earlier);
    world.open(6, sentence, {.id = "other"});
    world.look(7, 8, counting("7"));
    EXPECT_EQ(world.gate().truth, T);
    EXPECT_EQ(world.gate("other").because.reason, Reason::nothing_earlier);
}

TEST(errors, of_a_group_are_those_of_each) {
    World world = opened("errors of every plane except 1 not rising for 1 h");
    auto look = [&, t = std::int64_t{0}](const char* second, const char* third) mutable {
        t += 10;
        Sheet sheet({Kind::plane});
        for (const auto& [name, errors] :
             {std::pair{"1", "5"}, std::pair{"2", second}, std::pair{"3", third}})
            sheet.row(Kind::plane, name, {{Attribute::errors, quantity(errors)}});
        world.look(t, t + 1, sheet);
        return world.gate().truth;
    };
    EXPECT_EQ(look("7", "0"), U);
    EXPECT_EQ(look("7", "0"), T);
    EXPECT_EQ(look("7", "1"), F);
    EXPECT_EQ(look("6", "1"), U);
}

TEST(errors, that_are_no_bare_number_are_unknown) {
    World world = opened(sentence);
    world.look(1, 2, counting("7 W"));
    world.look(3, 4, counting("7 W"));
    EXPECT_EQ(world.gate().truth, U);
    EXPECT_EQ(world.gate().because.reason, Reason::fact_missing);
}

} // namespace
} // namespace slotwitness::witness::test
