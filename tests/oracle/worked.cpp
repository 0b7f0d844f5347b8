#include "worked.hpp"

#include "driven.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <utility>

namespace slotwitness::oracle {
namespace {

Happens one(Event event) {
    return {{std::move(event)}, std::nullopt};
}

Event answer(Asking asking, Time asked, Truth truth) {
    Event event;
    event.what = Happening::answered;
    event.asking = asking;
    event.asked = asked;
    event.fact = truth;
    return event;
}

Event happening(Happening what) {
    Event event;
    event.what = what;
    return event;
}

/// The table's events in order, and after how many of them each line speaks.
struct Played {
    std::vector<Event> events;
    std::vector<std::size_t> seen;
};

Played play(const Table& table) {
    Played played;
    played.events.push_back(happening(Happening::run_started));
    int round = 0;
    const auto begin_round = [&](Time at) {
        Event start = happening(Happening::round_started);
        start.at = at;
        start.round = ++round;
        start.askings = table.gate.needs;
        played.events.push_back(start);
    };
    for (const Line& line : table.lines) {
        if (line.happens.round_started)
            begin_round(*line.happens.round_started);
        for (Event event : line.happens.events) {
            if (event.what == Happening::round_started) {
                begin_round(line.at);
                continue;
            }
            event.at = line.at;
            event.round = round;
            played.events.push_back(event);
        }
        played.seen.push_back(played.events.size());
    }
    for (std::size_t k = 1; k < played.events.size(); ++k)
        EXPECT_LE(played.events[k - 1].at, played.events[k].at) << "the table runs backwards";
    return played;
}

std::string place(const Line& line) {
    return "at " + std::to_string(line.at) + ": " + line.why;
}

void check_oracle(const Table& table, const Played& played) {
    const auto moments = judge(table.gate, 0, played.events, played.events.back().at);
    for (std::size_t n = 0; n < table.lines.size(); ++n) {
        const Line& line = table.lines[n];
        const auto spoken = std::ranges::find_if(moments, [&](const Moment& moment) {
            return moment.seen == played.seen[n] && moment.now == line.at;
        });
        ASSERT_NE(spoken, moments.end());
        EXPECT_EQ(to_text(spoken->said), line.said) << "oracle " << place(line);
    }
}

/// With `asked_ticks` each tick that the witness wants is played at its time, as the sequencer
/// does; without, it must find out by itself at the next event.
void check_witness(const Table& table, const Played& played, bool asked_ticks) {
    Driven driven({table.gate}, {table.sentence});
    const auto tick_before = [&](Time end) {
        while (asked_ticks && driven.next_due() && *driven.next_due() < end) {
            Event tick = happening(Happening::tick);
            tick.at = *driven.next_due();
            driven.step(tick);
            if (driven.next_due() && *driven.next_due() <= tick.at) {
                FAIL() << "a tick at " << tick.at << " is wanted again";
            }
        }
    };
    std::size_t line = 0;
    for (std::size_t k = 0; k < played.events.size(); ++k) {
        tick_before(played.events[k].at);
        driven.step(played.events[k]);
        ASSERT_EQ(driven.refused(0), std::nullopt);
        for (; line < table.lines.size() && played.seen[line] == k + 1; ++line)
            EXPECT_EQ(to_text(driven.said(0, table.lines[line].at)), table.lines[line].said)
                << "witness" << (asked_ticks ? " " : " without ticks ") << place(table.lines[line]);
    }
}

} // namespace

Happens opens() {
    return one(happening(Happening::opened));
}
Happens closes() {
    return one(happening(Happening::closed));
}
Happens ticks() {
    return one(happening(Happening::tick));
}
Happens restarts() {
    return one(happening(Happening::run_started));
}
Happens restarts_without_time() {
    Event event = happening(Happening::run_started);
    event.elapsed_known = false;
    return one(event);
}
Happens look(Time asked, Truth truth) {
    return {{answer(planes, asked, truth)}, asked};
}
Happens look_telling_flaps(Time asked, Truth truth, int flaps) {
    Happens made = look(asked, truth);
    made.events.front().flaps = flaps;
    return made;
}
Happens cut_look(Time asked, Truth as_read) {
    Happens made = look(asked, as_read);
    made.events.front().whole = false;
    return made;
}
Happens no_answer(Time asked) {
    Happens made = fails(planes, asked);
    made.round_started = asked;
    return made;
}
Happens starts() {
    return one(happening(Happening::round_started));
}
Happens answers(Asking asking, Time asked, Truth truth) {
    return one(answer(asking, asked, truth));
}
Happens fails(Asking asking, Time asked) {
    Event event = happening(Happening::failed);
    event.asking = asking;
    event.asked = asked;
    return one(event);
}

Gate plane_3_down(Numbers numbers) {
    Gate gate;
    gate.condition = fact(planes);
    gate.needs = {planes};
    gate.hold = numbers.hold;
    gate.within = numbers.within;
    gate.gap = numbers.gap;
    gate.refresh = numbers.refresh;
    gate.guard = numbers.guard;
    return gate;
}

void check(const Table& table) {
    const Played played = play(table);
    check_oracle(table, played);
    check_witness(table, played, true);
    check_witness(table, played, false);
}

} // namespace slotwitness::oracle
