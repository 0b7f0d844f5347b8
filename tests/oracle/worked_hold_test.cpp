#include "worked.hpp"

#include <gtest/gtest.h>

// Hold and gap. Looks are written a -> b; the hold is a_n - R - b_i >= H, the gap b_{k+1} - a_k <=
// G.
namespace slotwitness::oracle {
namespace {

constexpr const char* ten_seconds = "plane 3 down for 10 s";

TEST(WorkedHold, is_met_by_a_look_asked_ten_seconds_after_the_first_was_answered) {
    check(
        {ten_seconds,
         plane_3_down({.hold = 10'000}),
         {{0, opens(), "pending, unknown, held 0", "nothing was looked at"},
          {1'000, look(500, yes), "pending, true, held 0", "b_i = 1000; one look is no hold"},
          {4'000, look(3'500, yes), "pending, true, held 2500", "3500 - 1000"},
          {8'000, look(7'500, yes), "pending, true, held 6500", "8000 - 3500 = 4500 <= G"},
          {12'000, look(11'500, yes), "pass at 12000, met, true, held 10500", "10500 >= 10000"}}});
}

TEST(WorkedHold, counts_its_own_length_and_not_one_millisecond_less) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", "b_i = 1000"},
            {5'000, look(4'500, yes), "pending, true, held 3500", ""},
            {9'000, look(8'500, yes), "pending, true, held 7500", ""},
            {11'800, look(10'999, yes), "pending, true, held 9999",
             "one short, though answered at 11800"},
            {12'500, look(11'900, yes), "pass at 12500, met, true, held 10900", ""}}});
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", "b_i = 1000"},
            {5'000, look(4'500, yes), "pending, true, held 3500", ""},
            {9'000, look(8'500, yes), "pending, true, held 7500", ""},
            {11'800, look(11'000, yes), "pass at 11800, met, true, held 10000",
             "the boundary counts"}}});
}

TEST(WorkedHold, waits_longer_by_the_age_that_the_device_allows_its_tables) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000, .refresh = 2'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", "b_i = 1000"},
            {2'500, look(2'000, yes), "pending, true, held 0", "2000 - 2000 - 1000 is below 0"},
            {6'000, look(5'500, yes), "pending, true, held 2500", "5500 - 2000 - 1000"},
            {10'000, look(9'500, yes), "pending, true, held 6500", ""},
            {11'500, look(11'000, yes), "pending, true, held 8000",
             "without R this one would have met it"},
            {13'500, look(12'999, yes), "pending, true, held 9999", ""},
            {13'800, look(13'600, yes), "pass at 13800, met, true, held 10600", ""}}});
}

TEST(WorkedHold, one_long_look_is_no_hold) {
    check({"plane 3 down for 1 s",
           plane_3_down({.hold = 1'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {4'000, look(0, yes), "pending, true, held 0", "i < n: two looks at least"},
            {5'000, look(5'000, yes), "pass at 5000, met, true, held 1000",
             "5000 - 4000; gap 5000 - 0 = G"}}});
}

TEST(WorkedHold, bears_a_gap_of_exactly_g) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pending, true, held 4000", "5500 - 500 = 5000 = G"},
            {10'000, look(9'500, yes), "pending, true, held 8500", "10000 - 5000 = G"},
            {14'500, look(14'000, yes), "pass at 14500, met, true, held 13000",
             "14500 - 9500 = G"}}});
}

TEST(WorkedHold, starts_again_after_a_gap_one_millisecond_over_g) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'501, look(5'000, yes), "pending, true, held 0", "5501 - 500 = G + 1: a new i"},
            {10'000, look(9'500, yes), "pending, true, held 3999", "9500 - 5501"},
            {14'500, look(14'000, yes), "pending, true, held 8499",
             "with the old i it would be 13000"},
            {16'000, look(15'501, yes), "pass at 16000, met, true, held 10000", "15501 - 5501"}}});
}

TEST(WorkedHold, measures_the_gap_from_asked_to_answered) {
    check({"plane 3 down for 6 s",
           plane_3_down({.hold = 6'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {2'500, look(500, yes), "pending, true, held 0", ""},
            {6'500, look(4'500, yes), "pending, true, held 0",
             "answered 4000 apart, asked 4000 apart, but 6500 - 500 = 6000 > G: it may have "
             "flipped in between"},
            {9'000, look(8'500, yes), "pending, true, held 2000",
             "the run begins with the second look"}}});
}

TEST(WorkedHold, is_shown_until_the_last_look_is_older_than_g) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {4'000, look(3'000, yes), "pending, true, held 2000", ""},
            {9'000, ticks(), "pending, true, held 2000", "9000 - 4000 = G"},
            {9'001, ticks(), "pending, unknown, held 0", "no look answered for longer than G"},
            {9'500, look(9'200, yes), "pending, true, held 0", "a new i"}}});
}

TEST(WorkedHold, starts_again_after_a_false_look) {
    check({ten_seconds,
           plane_3_down({.hold = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'000, look(4'500, yes), "pending, true, held 3500", ""},
            {8'000, look(7'500, no), "pending, false, held 0", "up again for a moment"},
            {9'000, look(8'500, yes), "pending, true, held 0", "a new i: b_i = 9000"},
            {13'000, look(12'500, yes), "pending, true, held 3500", ""},
            {17'000, look(16'500, yes), "pending, true, held 7500", ""},
            {19'500, look(19'000, yes), "pass at 19500, met, true, held 10000", "19000 - 9000"}}});
}

TEST(WorkedHold, starts_again_after_an_unknown_look) {
    check({"plane 3 down for 4 s",
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {3'000, look(2'500, unknown), "pending, unknown, held 0", "the device does not say"},
            {5'500, look(5'200, yes), "pending, true, held 0",
             "5200 - 1000 > H, but not all looks between are true"},
            {9'800, look(9'500, yes), "pass at 9800, met, true, held 4000", "9500 - 5500"}}});
}

TEST(WorkedHold, starts_again_after_a_missed_look) {
    check({"plane 3 down for 4 s",
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {3'000, no_answer(2'500), "pending, true, held 0",
             "the device said nothing new; the run is over"},
            {5'500, look(5'200, yes), "pending, true, held 0",
             "5500 - 500 = G, but a missed look lies between"},
            {9'800, look(9'500, yes), "pass at 9800, met, true, held 4000", ""}}});
}

TEST(WorkedHold, takes_an_answer_at_the_very_end_of_the_allowed_time) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {4'000, starts(), "pending, unknown, held 0", ""},
            {9'000, answers(planes, 4'000, yes), "pass at 9000, met, true, held 0",
             "9000 - 4000 = G: not more than G"}}});
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {4'000, starts(), "pending, unknown, held 0", ""},
            {9'001, answers(planes, 4'000, yes), "pending, unknown, held 0",
             "G + 1 is overdue by more than G: missed, though no tick came before the answer"}}});
}

TEST(WorkedHold, an_answer_of_an_overdue_round_is_no_look) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {4'000, starts(), "pending, unknown, held 0", ""},
            {9'002, answers(planes, 4'000, yes), "pending, unknown, held 0",
             "over G: the look was missed at 9001"},
            {10'000, look(9'500, yes), "pass at 10000, met, true, held 0", "a look of its own"}}});
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {4'000, starts(), "pending, unknown, held 0", ""},
            {9'001, ticks(), "pending, unknown, held 0", "missed"},
            {9'001, answers(planes, 4'000, yes), "pending, unknown, held 0", "too late"}}});
}

TEST(WorkedHold, a_cut_answer_ends_it_and_may_refute) {
    check(
        {"plane 3 down for 4 s",
         plane_3_down({.hold = 4'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, look(500, yes), "pending, true, held 0", ""},
          {3'000, cut_look(2'500, yes), "pending, unknown, held 0", "T0 unknown, T1 true: unknown"},
          {5'000, look(4'500, yes), "pending, true, held 0", "a new i"},
          {7'000, cut_look(6'500, no), "pending, false, held 0", "T0 unknown, T1 false: false"},
          {8'000, look(7'500, yes), "pending, true, held 0", ""},
          {12'500, look(12'000, yes), "pass at 12500, met, true, held 4000", "12500 - 7500 = G"}}});
}

TEST(WorkedHold, not_does_not_turn_a_cut_answer_into_a_pass) {
    Gate gate = plane_3_down({});
    gate.condition = negation(fact(planes));
    check({"not plane 3 down",
           gate,
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, cut_look(500, no), "pending, unknown, held 0",
             "T0: not unknown; T1: true confirms nothing"},
            {2'000, cut_look(1'500, yes), "pending, false, held 0", "T1 false refutes"},
            {3'000, look(2'500, no), "pass at 3000, met, true, held 0", "a whole answer"}}});
}

TEST(WorkedHold, starts_again_when_the_flap_count_moved_between_two_true_looks) {
    check(
        {"plane 3 down for 4 s",
         plane_3_down({.hold = 4'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, look_telling_flaps(500, yes, 7), "pending, true, held 0", ""},
          {4'000, look_telling_flaps(3'500, yes, 7), "pending, true, held 2500", "the same count"},
          {6'000, look_telling_flaps(5'500, yes, 9), "pending, true, held 0",
           "it was up in between: b_i = 6000"},
          {10'500, look_telling_flaps(10'000, yes, 9), "pass at 10500, met, true, held 4000",
           "10000 - 6000"}}});
}

TEST(WorkedHold, a_look_asked_before_the_opening_does_not_count) {
    check({"plane 3 down",
           plane_3_down({}),
           {{500, starts(), "not open", ""},
            {1'000, opens(), "pending, unknown, held 0", ""},
            {1'500, answers(planes, 999, yes), "pending, unknown, held 0", "a = 999 < opened"},
            {2'500, look(2'000, yes), "pass at 2500, met, true, held 0", ""}}});
}

TEST(WorkedHold, a_look_asked_at_the_instant_of_the_opening_counts) {
    check(
        {"plane 3 down",
         plane_3_down({}),
         {{500, starts(), "not open", ""},
          {1'000, opens(), "pending, unknown, held 0", ""},
          {1'500, answers(planes, 1'000, yes), "pass at 1500, met, true, held 0", "a = opened"}}});
}

Gate both_needed(Numbers numbers, Condition condition) {
    Gate gate = plane_3_down(numbers);
    gate.needs = {planes, modules};
    gate.condition = std::move(condition);
    return gate;
}

TEST(WorkedHold, a_look_of_two_queries_reaches_from_the_first_asked_to_the_last_answered) {
    check({"plane 3 down and module FAB3 oper enabled for 5 s",
           both_needed({.hold = 5'000, .gap = 7'000}, conjunction(fact(planes), fact(modules))),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, starts(), "pending, unknown, held 0", ""},
            {1'500, answers(planes, 1'000, yes), "pending, unknown, held 0", "half a look is none"},
            {2'000, answers(modules, 1'500, yes), "pending, true, held 0", "a = 1000, b = 2000"},
            {7'000, starts(), "pending, true, held 0", ""},
            {7'400, answers(modules, 7'100, yes), "pending, true, held 0",
             "they may come in any order"},
            {8'000, answers(planes, 7'000, yes), "pass at 8000, met, true, held 5000",
             "7000 - 2000 = H; 8000 - 1000 = G"}}});
}

TEST(WorkedHold, a_failed_query_makes_only_its_own_facts_unknown) {
    check(
        {"plane 3 down and module FAB3 oper enabled",
         both_needed({}, conjunction(fact(planes), fact(modules))),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, starts(), "pending, unknown, held 0", ""},
          {1'500, answers(planes, 1'000, yes), "pending, unknown, held 0", ""},
          {2'000, fails(modules, 1'500), "pending, unknown, held 0", "true and unknown is unknown"},
          {3'000, starts(), "pending, unknown, held 0", ""},
          {3'500, answers(planes, 3'000, no), "pending, unknown, held 0", ""},
          {4'000, fails(modules, 3'500), "pending, false, held 0", "false and unknown is false"}}});
    check(
        {"plane 3 down or module FAB3 oper enabled",
         both_needed({}, disjunction(fact(planes), fact(modules))),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, starts(), "pending, unknown, held 0", ""},
          {1'500, answers(planes, 1'000, no), "pending, unknown, held 0", ""},
          {2'000, fails(modules, 1'500), "pending, unknown, held 0", "false or unknown is unknown"},
          {3'000, starts(), "pending, unknown, held 0", ""},
          {3'500, answers(planes, 3'000, yes), "pending, unknown, held 0", ""},
          {4'000, fails(modules, 3'500), "pass at 4000, met, true, held 0",
           "true or unknown is true"}}});
}

TEST(WorkedHold, nothing_is_carried_over_from_the_round_before) {
    check({"plane 3 down and module FAB3 oper enabled",
           both_needed({}, conjunction(fact(planes), fact(modules))),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, starts(), "pending, unknown, held 0", ""},
            {1'500, answers(planes, 1'000, yes), "pending, unknown, held 0", ""},
            {2'000, fails(modules, 1'500), "pending, unknown, held 0", "the plane is down"},
            {2'500, starts(), "pending, unknown, held 0", ""},
            {2'700, fails(planes, 2'500), "pending, unknown, held 0", ""},
            {3'000, answers(modules, 2'700, yes), "pending, unknown, held 0",
             "the module is enabled, but whether the plane is down was asked in vain"}}});
}

} // namespace
} // namespace slotwitness::oracle
