#include "schedule.hpp"

#include "../oracle/chance.hpp"
#include "known.hpp"

#include <algorithm>
#include <array>
#include <iterator>

namespace slotwitness::simulation {

namespace {

using oracle::Chance;
using Kind = Act::Kind;

/// How often each is drawn, of how many, and for how long it may last.
struct Draw {
    Kind kind;
    int weight;
    int shortest_ms;
    int longest_ms;
    std::string_view words;
};

constexpr std::array draws{
    Draw{Kind::release_plane, 7, 0, 0, "the engineer releases plane"},
    Draw{Kind::engage_plane, 4, 0, 0, "the engineer engages plane"},
    Draw{Kind::degrade_plane, 2, 500, 4'000, "some paths are gone of plane"},
    Draw{Kind::flap_plane, 4, 200, 4'000, "dark by itself is plane"},
    Draw{Kind::release_module, 5, 0, 0, "the engineer releases module FAB"},
    Draw{Kind::engage_module, 3, 0, 0, "the engineer engages module FAB"},
    Draw{Kind::pull_module, 3, 500, 8'000, "somebody pulls module FAB"},
    Draw{Kind::pull_tray, 3, 500, 8'000, "somebody pulls fan tray TRAY"},
    Draw{Kind::slow, 4, 500, 3'500, "answers are slow"},
    Draw{Kind::lose, 3, 500, 6'000, "answers never come"},
    Draw{Kind::cut, 3, 500, 4'000, "answers are cut"},
    Draw{Kind::garble, 3, 500, 4'000, "answers are garbled"},
    Draw{Kind::contradict, 2, 500, 4'000, "two rows contradict each other about plane"},
    Draw{Kind::refuse_command, 2, 500, 3'000, "queries are refused"},
    Draw{Kind::refuse_session, 2, 500, 5'000, "no session is let in"},
    Draw{Kind::another_chassis, 2, 1'000, 6'000, "another chassis answers at the address"},
    Draw{Kind::drop, 3, 0, 0, "the router session drops"},
    Draw{Kind::full_disk, 5, 200, 5'000, "the disk is full"},
    Draw{Kind::slow_disk, 4, 200, 4'000, "no commit ends"},
    Draw{Kind::sleep, 2, 500, 9'000, "the machine sleeps"},
    Draw{Kind::step_clock, 2, 1'000, 30'000, "the wall clock steps"},
    Draw{Kind::kill, 4, 0, 4'000, "the daemon is killed"},
    Draw{Kind::open_gate, 12, 0, 0, "a gate is opened"},
    Draw{Kind::open_gate_again, 5, 0, 0, "a gate is asked for with the key of an earlier one"},
    Draw{Kind::close_gate, 2, 0, 0, "a gate is deleted"},
    Draw{Kind::go_on, 5, 0, 0, "somebody goes on with the procedure"},
    Draw{Kind::go_on_twice, 4, 0, 0, "two people go on with the procedure at once"},
    Draw{Kind::act_late, 3, 0, 0, "somebody acts upon what they saw before"},
    Draw{Kind::back_out, 1, 0, 0, "the engineer begins the way back"},
    Draw{Kind::take_shift, 1, 0, 0, "another engineer takes the shift"},
    Draw{Kind::force, 1, 0, 0, "the engineer forces the step"},
    Draw{Kind::close_procedure, 1, 0, 0, "the engineer closes the procedure as degraded"},
    Draw{Kind::open_procedure, 1, 0, 0, "a procedure is opened"},
};

const Draw& draw_of(Kind kind) {
    return *std::find_if(draws.begin(), draws.end(),
                         [kind](const Draw& draw) { return draw.kind == kind; });
}

Act drawn(Chance& chance, const Schedule& schedule) {
    static constexpr int all = [] {
        int sum = 0;
        for (const Draw& draw : draws)
            sum += draw.weight;
        return sum;
    }();
    auto left = chance.up_to(all - 1);
    const Draw* draw = draws.data();
    for (; left >= draw->weight; ++draw)
        left -= draw->weight;
    Act act;
    act.at = Time(chance.between(200, schedule.lasts.count() - 1'000));
    act.kind = draw->kind;
    act.chassis = static_cast<unsigned>(chance.up_to(schedule.chassis - 1));
    act.which = static_cast<unsigned>(chance.up_to(9'999));
    act.lasts = Time(chance.between(draw->shortest_ms, draw->longest_ms));
    act.twist = chance.in_a_hundred(50);
    return act;
}

std::string seconds(Time time) {
    std::string text = std::to_string(time.count() % 1'000);
    return std::to_string(time.count() / 1'000) + "." + std::string(3 - text.size(), '0') + text +
           " s";
}

std::string to_text(const Act& act) {
    const Draw& draw = draw_of(act.kind);
    std::string text = seconds(act.at) + "  ";
    if (act.kind < Kind::full_disk || act.kind > Kind::kill)
        text += chassis_name(act.chassis) + ": ";
    text += draw.words;
    const std::string three = std::to_string(act.which % 3 + 1);
    switch (act.kind) {
    case Kind::release_plane:
    case Kind::engage_plane:
    case Kind::degrade_plane:
    case Kind::flap_plane:
    case Kind::contradict:
        text += " " + three;
        break;
    case Kind::release_module:
    case Kind::engage_module:
    case Kind::pull_module:
        text += three;
        break;
    case Kind::pull_tray:
        text += std::to_string(act.which % 2 + 1);
        break;
    case Kind::cut:
        text += " after " + std::to_string(act.which % 400) + " bytes";
        break;
    case Kind::open_gate:
    case Kind::open_gate_again:
        text += ": " + wish_of(act).sentence;
        break;
    case Kind::full_disk:
        text += act.twist ? ", and keeps what it did not confirm" : "";
        break;
    case Kind::step_clock:
        text += act.twist ? " back" : " on";
        break;
    case Kind::kill:
        text += act.twist ? ", and the machine booted" : "";
        break;
    case Kind::go_on:
        text += act.twist ? ", rashly" : "";
        break;
    case Kind::slow:
    case Kind::lose:
    case Kind::garble:
    case Kind::refuse_command:
    case Kind::refuse_session:
    case Kind::another_chassis:
    case Kind::drop:
    case Kind::slow_disk:
    case Kind::sleep:
    case Kind::close_gate:
    case Kind::open_procedure:
    case Kind::go_on_twice:
    case Kind::act_late:
    case Kind::back_out:
    case Kind::take_shift:
    case Kind::force:
    case Kind::close_procedure:
        break;
    }
    if (draw.longest_ms > 0)
        text += ", " + seconds(act.lasts);
    return text;
}

} // namespace

Schedule schedule_of(std::uint64_t seed) {
    Chance chance(seed);
    Schedule schedule;
    schedule.seed = seed;
    schedule.chassis = chance.in_a_hundred(85) ? 2 : 3;
    schedule.parallel = static_cast<unsigned>(chance.between(1, 2));
    // People do little at random for long enough: on some chassis a procedure goes on steadily,
    // and of these a few for longer, and without much ado.
    const bool works = chance.in_a_hundred(25);
    const bool quietly = works && chance.in_a_hundred(12);
    schedule.lasts = Time(quietly ? chance.between(34'000, 42'000) : chance.between(5'000, 9'000));
    schedule.replays = chance.in_a_hundred(25);
    const auto add = [&](Kind kind, Time at, unsigned chassis) {
        Act act;
        act.at = at;
        act.kind = kind;
        act.chassis = chassis;
        act.which = static_cast<unsigned>(chance.up_to(9'999));
        act.twist = chance.in_a_hundred(10);
        schedule.acts.push_back(act);
    };
    if (works) {
        const auto chassis = static_cast<unsigned>(chance.up_to(schedule.chassis - 1));
        Time at(chance.between(300, 1'500));
        add(Kind::open_procedure, at, chassis);
        while (at < schedule.lasts) {
            at += Time(chance.between(500, 1'600));
            add(chance.in_a_hundred(85) ? Kind::go_on : Kind::go_on_twice, at, chassis);
        }
    }
    for (auto left = chance.between(quietly ? 0 : 6, quietly ? 3 : 14); left > 0; --left)
        schedule.acts.push_back(drawn(chance, schedule));
    std::stable_sort(schedule.acts.begin(), schedule.acts.end(),
                     [](const Act& left, const Act& right) { return left.at < right.at; });
    return schedule;
}

Wish wish_of(const Act& act) {
    const unsigned which = act.which;
    Wish wish;
    wish.sentence = all_known()[which % asked_of_gates].condition;
    if (const unsigned hold = which / asked_of_gates % 4; hold > 0)
        wish.sentence += " for " + std::to_string(hold) + " s";
    wish.sentence += " within " + std::to_string(3 + which / 50 % 6) + " s";
    wish.gap = Time(which % 2 == 0 ? 1'800 : 0);
    wish.guard = Time(1'000 * (which / 10 % 5)); // none: until it is deleted
    return wish;
}

std::string chassis_name(unsigned number) {
    return "edge-" + std::to_string(number + 1);
}

std::string to_text(const Schedule& schedule) {
    std::string text = std::to_string(schedule.chassis) + " chassis, " +
                       std::to_string(schedule.parallel) + " queries at once, " +
                       seconds(schedule.lasts) + "\n";
    for (const Act& act : schedule.acts)
        text += to_text(act) + "\n";
    return text;
}

} // namespace slotwitness::simulation
