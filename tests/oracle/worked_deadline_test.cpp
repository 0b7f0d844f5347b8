#include "driven.hpp"
#include "worked.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <gtest/gtest.h>

// Deadline, early failure and which failure it is. Early failure: s + H + R > opened + D.
namespace slotwitness::oracle {
namespace {

TEST(WorkedDeadline, counts_an_answer_at_exactly_opened_plus_d) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{500, opens(), "pending, unknown, held 0", "the deadline is 10500"},
            {2'000, look(1'500, no), "pending, false, held 0", ""},
            {10'500, look(9'000, yes), "pass at 10500, met, true, held 0",
             "the boundary is counted"}}});
}

TEST(WorkedDeadline, an_answer_one_millisecond_later_comes_too_late) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{500, opens(), "pending, unknown, held 0", ""},
            {2'000, look(1'500, no), "pending, false, held 0", ""},
            {10'501, look(9'000, yes), "fail seen-false at 10501, true, held 0",
             "true, but b_n = 10501; the one look in time was false"}}});
}

TEST(WorkedDeadline, fails_just_after_it_by_the_clock_alone) {
    check(
        {"plane 3 down within 10 s",
         plane_3_down({.within = 10'000, .gap = 20'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {2'000, look(1'500, no), "pending, false, held 0", ""},
          {10'000, ticks(), "pending, false, held 0", "an answer could still come at this instant"},
          {10'001, ticks(), "fail seen-false at 10001, false, held 0", ""},
          {11'000, look(10'500, yes), "fail seen-false at 10001, false, held 0", "decided once"}}});
}

TEST(WorkedDeadline, is_found_at_its_own_instant_by_the_next_event) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {2'000, look(1'500, no), "pending, false, held 0", ""},
            {14'000, look(13'000, yes), "fail seen-false at 10001, false, held 0",
             "due instants before the event come first"}}});
}

TEST(WorkedDeadline, an_answer_at_the_instant_of_a_tick_comes_before_it) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {10'000, look(9'000, yes), "pass at 10000, met, true, held 0", ""},
            {10'000, ticks(), "pass at 10000, met, true, held 0", ""},
            {10'001, ticks(), "pass at 10000, met, true, held 0", ""}}});
}

TEST(WorkedDeadline, early_when_no_look_has_begun_a_run_in_time) {
    check({"plane 3 down for 10 s within 60 s",
           plane_3_down({.hold = 10'000, .within = 60'000, .gap = 100'000, .refresh = 2'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {48'000, ticks(), "pending, false, held 0",
             "48000 + 10000 + 2000 = 60000: a look now could begin it"},
            {48'001, ticks(), "fail seen-false at 48001, false, held 0", "no longer"}}});
}

TEST(WorkedDeadline, a_first_true_look_at_the_last_possible_instant_keeps_it_open) {
    check({"plane 3 down for 10 s within 60 s",
           plane_3_down({.hold = 10'000, .within = 60'000, .gap = 30'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {50'000, look(49'000, yes), "pending, true, held 0", "50000 + 10000 = 60000"},
            {50'001, ticks(), "pending, true, held 0", "s = 50000 stays"},
            {60'000, look(60'000, yes), "pass at 60000, met, true, held 10000",
             "asked and answered at the deadline"}}});
}

TEST(WorkedDeadline, a_first_true_look_one_millisecond_later_is_in_vain) {
    check({"plane 3 down for 10 s within 60 s",
           plane_3_down({.hold = 10'000, .within = 60'000, .gap = 30'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {50'001, look(49'000, yes), "fail not-seen at 50001, true, held 0",
             "50001 + 10000 > 60000; nothing was ever seen false"}}});
}

TEST(WorkedDeadline, early_when_a_run_ends_too_late_for_another) {
    check({"plane 3 down for 10 s within 60 s",
           plane_3_down({.hold = 10'000, .within = 60'000, .gap = 30'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {40'000, look(39'000, yes), "pending, true, held 0", "met at 50000 at the earliest"},
            {49'500, look(49'000, yes), "pending, true, held 9000", ""},
            {50'500, look(50'000 - 1, no), "fail seen-false at 50500, false, held 0",
             "s = 50500: 60500 > 60000"}}});
}

TEST(WorkedDeadline, a_run_that_ends_in_time_for_another_stays_pending) {
    check({"plane 3 down for 10 s within 60 s",
           plane_3_down({.hold = 10'000, .within = 60'000, .gap = 30'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {40'000, look(39'000, yes), "pending, true, held 0", ""},
            {49'000, look(48'500, no), "pending, false, held 0", "49000 + 10000 <= 60000"},
            {49'800, look(49'500, yes), "pending, true, held 0",
             "false, then true again: b_i = 49800"},
            {60'000, look(59'800, yes), "pass at 60000, met, true, held 10000", ""}}});
}

TEST(WorkedDeadline, early_when_a_gap_ends_the_run_by_the_clock_alone) {
    check(
        {"plane 3 down for 10 s within 60 s",
         plane_3_down({.hold = 10'000, .within = 60'000, .gap = 5'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {48'000, look(47'000, yes), "pending, true, held 0", ""},
          {52'000, ticks(), "pending, true, held 0",
           "a look answered now would be within G of 47000"},
          {52'001, ticks(), "fail not-seen at 52001, true, held 0", "s = 52001: 62001 > 60000"}}});
}

TEST(WorkedDeadline, is_not_seen_if_it_still_could_with_the_missed_look) {
    check({"plane 3 down for 10 s within 20 s",
           plane_3_down({.hold = 10'000, .within = 20'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {200, look(100, no), "pending, false, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {6'000, no_answer(5'500), "pending, true, held 0", "no run any more"},
            {10'000, ticks(), "pending, true, held 0", "10000 + 10000 = 20000"},
            {10'001, ticks(), "fail not-seen at 10001, true, held 0",
             "no run: s = t; with the missed look true s = 1000, so it still could"}}});
}

TEST(WorkedDeadline, is_seen_false_if_the_look_in_the_middle_was_false) {
    check({"plane 3 down for 10 s within 20 s",
           plane_3_down({.hold = 10'000, .within = 20'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {200, look(100, no), "pending, false, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {6'000, look(5'500, no), "pending, false, held 0", ""},
            {10'001, ticks(), "fail seen-false at 10001, false, held 0",
             "no missed look to blame"}}});
}

TEST(WorkedDeadline, is_not_seen_if_it_would_have_passed_before_a_false_look) {
    check({"plane 3 down for 10 s within 20 s",
           plane_3_down({.hold = 10'000, .within = 20'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, yes), "pending, true, held 0", ""},
            {5'000, look(4'500, unknown), "pending, unknown, held 0", ""},
            {9'500, look(9'000, yes), "pending, true, held 0", "9500 + 10000 <= 20000"},
            {12'000, look(11'500, yes), "pending, true, held 2000",
             "with the unknown look true: 11500 - 1000 >= H"},
            {15'000, look(14'500, no), "fail not-seen at 15000, false, held 0",
             "it would have passed at 12000"}}});
}

TEST(WorkedDeadline, is_not_seen_if_one_unknown_look_could_have_been_the_true_one) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {2'000, look(1'500, no), "pending, false, held 0", ""},
            {5'000, look(4'500, unknown), "pending, unknown, held 0", "unknown never passes"},
            {7'000, look(6'500, no), "pending, false, held 0", ""},
            {10'001, ticks(), "fail not-seen at 10001, false, held 0",
             "true at 5000, it would have passed"}}});
}

TEST(WorkedDeadline, is_not_seen_if_a_round_was_overdue) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {2'000, starts(), "pending, false, held 0", ""},
            {7'001, ticks(), "pending, unknown, held 0", "missed: 2000 + G + 1"},
            {10'001, ticks(), "fail not-seen at 10001, unknown, held 0",
             "the missed look might have been true"}}});
}

TEST(WorkedDeadline, is_not_seen_if_the_flap_count_tells_of_a_change_between_two_false_looks) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look_telling_flaps(500, no, 4), "pending, false, held 0", ""},
            {3'000, look_telling_flaps(2'500, no, 6), "pending, false, held 0",
             "it was down in between, unseen"},
            {10'001, ticks(), "fail not-seen at 10001, false, held 0",
             "the move counts as an unknown look; true, it would have passed"}}});
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look_telling_flaps(500, no, 4), "pending, false, held 0", ""},
            {3'000, look_telling_flaps(2'500, no, 4), "pending, false, held 0", "it was not"},
            {10'001, ticks(), "fail seen-false at 10001, false, held 0", ""}}});
}

TEST(WorkedDeadline, a_round_still_under_way_is_not_yet_missed) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {9'000, starts(), "pending, false, held 0", ""},
            {10'001, ticks(), "fail seen-false at 10001, false, held 0", "what was seen was false"},
            {10'002, answers(planes, 9'000, yes), "fail seen-false at 10001, false, held 0",
             "decided once"}}});
}

TEST(WorkedDeadline, is_not_seen_if_nothing_was_looked_at) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {10'001, ticks(), "fail not-seen at 10001, unknown, held 0",
             "nothing was seen, so nothing seen false"}}});
    check({"plane 3 down for 4 s within 10 s",
           plane_3_down({.hold = 4'000, .within = 10'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {6'000, ticks(), "pending, unknown, held 0", ""},
            {6'001, ticks(), "fail not-seen at 6001, unknown, held 0", "6001 + 4000 > 10000"}}});
}

TEST(WorkedDeadline, falls_at_the_opening_if_hold_and_refresh_do_not_fit) {
    check({"plane 3 down for 10 s within 12 s",
           plane_3_down({.hold = 10'000, .within = 12'000, .refresh = 2'001}),
           {{700, opens(), "fail not-seen at 700, unknown, held 0",
             "s = t = opened: 10000 + 2001 > 12000"}}});
    check({"plane 3 down for 10 s within 12 s",
           plane_3_down({.hold = 10'000, .within = 12'000, .refresh = 2'000}),
           {{700, opens(), "pending, unknown, held 0", "it just fits"},
            {701, ticks(), "fail not-seen at 701, unknown, held 0", "and no longer"}}});
}

TEST(WorkedDeadline, a_hold_as_long_as_the_deadline_is_refused) {
    for (const char* sentence :
         {"plane 3 down for 10 s within 10 s", "plane 3 down for 10 s within 9999 ms"}) {
        EXPECT_FALSE(sentences::parse(sentence)) << sentence;
        Driven driven({plane_3_down({})}, {sentence});
        Event event;
        event.what = Happening::run_started;
        driven.step(event);
        event.what = Happening::opened;
        driven.step(event);
        EXPECT_TRUE(driven.refused(0)) << sentence;
        EXPECT_EQ(to_text(driven.said(0, 0)), "not open");
    }
    EXPECT_TRUE(sentences::parse("plane 3 down for 9999 ms within 10 s"));
}

TEST(WorkedDeadline, without_one_it_stays_pending_until_cancelled) {
    check({"plane 3 down",
           plane_3_down({}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {600'000, look(599'000, no), "pending, false, held 0", "nothing ends it"},
            {601'000, closes(), "cancelled at 601000, false, held 0", ""},
            {602'000, look(601'500, yes), "cancelled at 601000, false, held 0", "decided once"}}});
}

TEST(WorkedDeadline, a_cancel_at_the_instant_of_the_deadline_tick_comes_before_it) {
    check({"plane 3 down within 10 s",
           plane_3_down({.within = 10'000, .gap = 20'000}),
           {{0, opens(), "pending, unknown, held 0", ""},
            {1'000, look(500, no), "pending, false, held 0", ""},
            {10'001, closes(), "cancelled at 10001, false, held 0",
             "the event, then the due instant"}}});
    check(
        {"plane 3 down within 10 s",
         plane_3_down({.within = 10'000, .gap = 20'000}),
         {{0, opens(), "pending, unknown, held 0", ""},
          {1'000, look(500, no), "pending, false, held 0", ""},
          {10'002, closes(), "fail seen-false at 10001, false, held 0", "due before the event"}}});
}

} // namespace
} // namespace slotwitness::oracle
