#include "worked.hpp"

#include <gtest/gtest.h>

// What a passed gate is now, and what a restart of the daemon takes back.
namespace slotwitness::oracle {
namespace {

constexpr const char* four_seconds = "plane 3 down for 4 s";

TEST(WorkedStanding, goes_from_met_to_lost_to_settling_to_met) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {7'500, look(7'000, yes), "pass at 5500, met, true, held 6000", "the run goes on"},
            {9'000, look(8'500, no), "pass at 5500, lost, false, held 0",
             "no longer met; the verdict stays"},
            {11'000, look(10'500, yes), "pass at 5500, settling, true, held 0",
             "true again, not yet for 4 s"},
            {14'500, look(14'000, yes), "pass at 5500, settling, true, held 3000", ""},
            {15'500, look(15'000, yes), "pass at 5500, met, true, held 4000", "15000 - 11000"}}});
}

TEST(WorkedStanding, without_for_one_true_look_meets_it_again) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", ""},
            {3'000, look(2'500, no), "pass at 1000, lost, false, held 0", ""},
            {5'000, look(4'500, yes), "pass at 1000, met, true, held 0", "nothing to settle"}}});
}

TEST(WorkedStanding, is_unseen_when_no_look_was_answered_for_longer_than_g) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", ""},
            {6'000, ticks(), "pass at 1000, met, true, held 0", "6000 - 1000 = G"},
            {6'001, ticks(), "pass at 1000, unseen, unknown, held 0", "longer than G"},
            {7'000, look(6'500, yes), "pass at 1000, met, true, held 0", ""}}});
}

TEST(WorkedStanding, an_unknown_look_is_unseen_and_breaks_the_hold) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {7'000, look(6'500, unknown), "pass at 5500, unseen, unknown, held 0",
             "neither met nor seen false"},
            {9'000, look(8'500, yes), "pass at 5500, settling, true, held 0", "a new i"}}});
}

TEST(WorkedStanding, an_unknown_look_does_not_call_the_alarm_off) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", ""},
            {3'000, look(2'500, no), "pass at 1000, lost, false, held 0", ""},
            {5'000, look(4'500, unknown), "pass at 1000, lost, unknown, held 0",
             "not known to be true again"},
            {10'000, ticks(), "pass at 1000, lost, unknown, held 0", "10000 - 5000 = G"},
            {10'001, ticks(), "pass at 1000, unseen, unknown, held 0",
             "no look answered for longer than G"},
            {11'000, look(10'500, yes), "pass at 1000, met, true, held 0", ""}}});
}

TEST(WorkedStanding, a_missed_look_breaks_the_hold_and_is_unseen_only_after_g) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {7'000, no_answer(6'500), "pass at 5500, met, true, held 0",
             "the device said nothing new, but the run is over"},
            {10'500, no_answer(10'000), "pass at 5500, met, true, held 0", "10500 - 5500 = G"},
            {10'501, ticks(), "pass at 5500, unseen, unknown, held 0",
             "no look answered for longer than G"},
            {12'000, look(11'500, yes), "pass at 5500, settling, true, held 0", "a new i"},
            {16'500, look(16'000, yes), "pass at 5500, met, true, held 4000", ""}}});
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {7'000, no_answer(6'500), "pass at 5500, met, true, held 0", ""},
            {9'000, look(8'500, yes), "pass at 5500, settling, true, held 0",
             "a new i, though within G"}}});
}

TEST(WorkedStanding, a_gap_breaks_the_hold_of_a_passed_gate_too) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {10'001, look(9'800, yes), "pass at 5500, settling, true, held 0",
             "10001 - 5000 = G + 1"}}});
}

TEST(WorkedStanding, guard_ends_when_its_time_is_up) {
    check({"plane 3 down",
           plane_3_down({.gap = 50'000, .guard = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", "guarded until 21000"},
            {20'500, starts(), "pass at 1000, met, true, held 0", ""},
            {20'999, ticks(), "pass at 1000, met, true, held 0", ""},
            {21'000, answers(planes, 20'500, no), "pass at 1000, retired, false, held 0",
             "the answer first, then the end"},
            {22'000, look(21'500, yes), "pass at 1000, retired, false, held 0",
             "nobody looks after it"}}});
}

TEST(WorkedStanding, closing_a_passed_gate_retires_it) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", ""},
            {2'000, closes(), "pass at 1000, retired, true, held 0",
             "not cancelled: the verdict is decided once"},
            {3'000, look(2'500, no), "pass at 1000, retired, true, held 0", ""}}});
}

TEST(WorkedStanding, closing_a_failed_gate_changes_nothing) {
    check({"plane 3 down within 5 s",
           plane_3_down({.within = 5'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {5'001, ticks(), "fail seen-false at 5001, false, held 0", ""},
            {6'000, closes(), "fail seen-false at 5001, false, held 0", ""}}});
}

TEST(WorkedRestart, in_mid_hold_starts_the_hold_again_and_keeps_the_deadline) {
    check(
        {"plane 3 down for 4 s within 10 s",
         plane_3_down({.hold = 4'000, .within = 10'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, look(500, yes), "pending, true, held 0", ""},
          {3'000, look(2'500, yes), "pending, true, held 1500", ""},
          {3'500, restarts(), "pending, unknown, held 0", "readings are discarded"},
          {5'200, look(5'000, yes), "pending, true, held 0", "5000 - 1000 = H, but i is 5200 now"},
          {9'500, look(9'200, yes), "pass at 9500, met, true, held 4000", "before 10000"}}});
}

TEST(WorkedRestart, fails_early_if_the_hold_no_longer_fits) {
    check({"plane 3 down for 4 s within 10 s",
           plane_3_down({.hold = 4'000, .within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {5'000, look(4'500, yes), "pending, true, held 0", ""},
            {6'001, restarts(), "fail not-seen at 6001, unknown, held 0",
             "s = t = 6001: 10001 > 10000"}}});
}

TEST(WorkedRestart, finds_the_deadline_that_passed_while_it_was_down) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {70'000, restarts(), "fail seen-false at 10001, false, held 0",
             "due instants before the event come first"}}});
}

TEST(WorkedRestart, fails_pending_deadlines_as_not_seen_if_the_time_between_is_unknown) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {2'000, restarts_without_time(), "fail not-seen at 2000, unknown, held 0",
             "whether 10 s have passed cannot be known"}}});
}

TEST(WorkedRestart, without_a_deadline_an_unknown_time_only_starts_the_hold_again) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {2'000, restarts_without_time(), "pending, unknown, held 0", ""},
            {5'500, look(5'200, yes), "pending, true, held 0",
             "5200 - 1000 > H, but across a restart"},
            {9'800, look(9'500, yes), "pass at 9800, met, true, held 4000", ""}}});
}

TEST(WorkedRestart, discards_the_round_under_way) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, starts(), "pending, unknown, held 0", ""},
            {2'000, restarts(), "pending, unknown, held 0", ""},
            {6'500, ticks(), "pending, unknown, held 0", "that round was discarded, not overdue"},
            {7'500, look(7'000, yes), "pass at 7500, met, true, held 0", ""}}});
}

TEST(WorkedRestart, a_round_that_it_cuts_off_was_not_seen) {
    check(
        {"plane 3 down within 10 s",
         plane_3_down({.within = 10'000, .gap = 20'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, look(500, no), "pending, false, held 0", ""},
          {3'000, starts(), "pending, false, held 0", ""},
          {4'000, restarts(), "pending, unknown, held 0", "the answer to that round is lost"},
          {5'000, look(4'500, no), "pending, false, held 0", ""},
          {10'001, ticks(), "fail not-seen at 10001, false, held 0", "it might have been true"}}});
}

TEST(WorkedRestart, does_not_call_an_alarm_off) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pass at 1000, met, true, held 0", ""},
            {3'000, look(2'500, no), "pass at 1000, lost, false, held 0", ""},
            {4'000, restarts(), "pass at 1000, lost, unknown, held 0",
             "nothing says that it is true again"},
            {8'001, ticks(), "pass at 1000, unseen, unknown, held 0",
             "no look answered for longer than G"}}});
}

TEST(WorkedRestart, leaves_a_passed_gate_unseen_until_it_is_looked_at_again) {
    check({four_seconds,
           plane_3_down({.hold = 4'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'500, look(5'000, yes), "pass at 5500, met, true, held 4000", ""},
            {6'000, restarts_without_time(), "pass at 5500, unseen, unknown, held 0",
             "the verdict stays"},
            {8'000, look(7'500, yes), "pass at 5500, settling, true, held 0", "holds start again"},
            {12'300, look(12'000, yes), "pass at 5500, met, true, held 4000", ""}}});
}

TEST(WorkedRestart, does_not_touch_what_was_decided) {
    check({"plane 3 down within 5 s",
           plane_3_down({.within = 5'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {5'001, ticks(), "fail seen-false at 5001, false, held 0", ""},
            {6'000, restarts_without_time(), "fail seen-false at 5001, false, held 0", ""}}});
}

} // namespace
} // namespace slotwitness::oracle
