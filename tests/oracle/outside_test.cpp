#include "driven.hpp"
#include "worked.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <iterator>
#include <span>

// Outside checks: published examples of "historically" over a bounded past, H[a:b] p: p held at
// every instant from b ago to a ago. Our hold must agree where both mean the same, and must not
// share the vacuous truth that such operators have before enough past exists.
namespace slotwitness::oracle {
namespace {

using Instants = std::vector<Time>;

/// The instants at which the hold is met, when plane 3 is looked at in no time at each of them; by
/// the oracle.
struct Met {
    Instants oracle;
    Instants witness;
};

Met met_instants(Time hold, Time end, bool (*down)(Time)) {
    const Gate gate = plane_3_down({.hold = hold, .gap = 1});
    std::vector<Event> events(2);
    events[0].what = Happening::run_started;
    events[1].what = Happening::opened;
    for (Time at = 0; at <= end; ++at) {
        Event start;
        start.at = at;
        start.what = Happening::round_started;
        start.round = static_cast<int>(at) + 1;
        start.askings = {planes};
        Event answer = start;
        answer.what = Happening::answered;
        answer.asking = planes;
        answer.asked = at;
        answer.fact = down(at) ? Truth::yes : Truth::no;
        events.push_back(start);
        events.push_back(answer);
    }
    Met met;
    for (const Moment& moment : judge(gate, 0, events, end))
        if (moment.said.standing == Standing::met &&
            events[moment.seen - 1].what == Happening::answered)
            met.oracle.push_back(moment.now);
    Driven driven({gate}, {sentence_of(gate)});
    for (const Event& event : events) {
        driven.step(event);
        if (event.what == Happening::answered && driven.said(0, event.at).standing == Standing::met)
            met.witness.push_back(event.at);
    }
    return met;
}

Instants from_to(Time first, Time last) {
    Instants all;
    for (Time at = first; at <= last; ++at)
        all.push_back(at);
    return all;
}

// From the literature on discrete-time metric temporal logic (a published worked trace, recomputed
// here by the definition of H): p = 0 1 1 1 1 1 1 1 1 1 0; H[0:4] p = 0 0 0 0 0 1 1 1 1 1 0; H[2:4]
// p = 1 1 0 0 0 1 1 1 1 1 1.
constexpr bool p[] = {false, true, true, true, true, true, true, true, true, true, false};
constexpr bool h_0_4[] = {false, false, false, false, false, true, true, true, true, true, false};
constexpr bool h_2_4[] = {true, true, false, false, false, true, true, true, true, true, true};

bool historically(Time from, Time to, Time at) {
    for (Time back = from; back <= to; ++back)
        if (at - back >= 0 && !p[at - back])
            return false;
    return true;
}

TEST(OutsideDiscrete, the_published_rows_follow_from_the_definition) {
    for (Time at = 0; at <= 10; ++at) {
        EXPECT_EQ(historically(0, 4, at), h_0_4[at]) << at;
        EXPECT_EQ(historically(2, 4, at), h_2_4[at]) << at;
    }
}

TEST(OutsideDiscrete, a_hold_of_four_is_met_where_historically_0_to_4_is_true) {
    const Met met = met_instants(4, 10, [](Time at) { return p[at]; });
    Instants published;
    for (Time at = 0; at <= 10; ++at)
        if (h_0_4[at])
            published.push_back(at);
    EXPECT_EQ(met.oracle, published);
    EXPECT_EQ(met.witness, published);
}

TEST(OutsideDiscrete, a_hold_is_never_vacuously_met_at_the_beginning) {
    // H[0:4] of a p that is always true is true at once; so is H[2:4] at 0 and 1 above.
    const Met always = met_instants(4, 10, [](Time) { return true; });
    EXPECT_EQ(always.oracle, from_to(4, 10));
    EXPECT_EQ(always.witness, from_to(4, 10));
    const Met met = met_instants(4, 10, [](Time at) { return p[at]; });
    for (const Time vacuous : {0, 1}) {
        ASSERT_TRUE(h_2_4[vacuous]);
        EXPECT_EQ(std::ranges::count(met.oracle, vacuous), 0);
        EXPECT_EQ(std::ranges::count(met.witness, vacuous), 0);
    }
}

// From the literature on dense-time monitors (a published worked example): p is true on 10-20,
// 115-156, 175-248 and 287-300; H[0:24] p is true on (139,156] and (199,248].
struct Interval {
    Time after;
    Time up_to;
};
constexpr Interval dense_p[] = {{10, 20}, {115, 156}, {175, 248}, {287, 300}};
constexpr Interval dense_h[] = {{139, 156}, {199, 248}};

bool inside(std::span<const Interval> intervals, Time at) {
    return std::ranges::any_of(
        intervals, [at](const Interval& one) { return one.after < at && at <= one.up_to; });
}

TEST(OutsideDense, a_hold_of_24_is_met_only_where_historically_0_to_24_is_true) {
    const Met met = met_instants(24, 315, [](Time at) { return inside(dense_p, at); });
    for (const Instants& instants : {met.oracle, met.witness}) {
        for (const Time at : instants)
            EXPECT_TRUE(inside(dense_h, at)) << at;
        // The first look in an interval is one after its open end: a hold is met one look later,
        // never earlier.
        Instants all = from_to(140, 156);
        std::ranges::copy(from_to(200, 248), std::back_inserter(all));
        EXPECT_EQ(instants, all);
    }
}

} // namespace
} // namespace slotwitness::oracle
