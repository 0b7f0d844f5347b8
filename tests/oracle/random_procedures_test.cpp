#include "procedure_compare.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <iostream>
#include <map>
#include <set>
#include <sstream>

// The witness against the brute-force oracle on random procedures. Which paths a course takes is
// counted from the oracle alone, so that a generator that no longer reaches them fails here.
namespace slotwitness::oracle {
namespace {

using Paths = std::set<std::string>;

bool any_is(const std::vector<StepTold>& steps, Stage stage) {
    return std::ranges::count(steps, stage, &StepTold::stage) > 0;
}

/// The paths that lead from what was told to what is.
void note_paths(const Happened& happened, const Told& before, const Told& now, Paths& paths) {
    const auto note = [&](bool taken, const char* path) {
        if (taken)
            paths.insert(path);
    };
    const bool is_device = happened.deed == Deed::none;
    const auto did = [&](Deed deed) { return happened.deed == deed && !now.refused; };
    const bool running = now.cooling.began && !now.cooling.ended;
    const bool ran = before.cooling.began && !before.cooling.ended;
    const bool restarted =
        is_device && before.open && happened.event.what == Happening::run_started;

    note(now.word == Word::state_met, "STATE MET");
    note(now.word == Word::call, "CALL");
    note(before.word == Word::state_met && now.word == Word::wait && now.step == before.step &&
             is_device,
         "STATE MET no more");
    for (std::size_t n = 0; n < std::min(before.rules.size(), now.rules.size()); ++n) {
        note(now.rules[n].lost, "rule lost");
        note(now.rules[n].lost && !before.rules[n].lost && before.phase == Phase::backing_out,
             "rule lost on the way back");
        note(now.rules[n].accepted, "rule answered for");
        note(before.rules[n].accepted && !now.rules[n].accepted && now.rules[n].active,
             "rule answered for, true again");
        note(before.rules[n].active && !now.rules[n].active && now.phase == Phase::forward,
             "rule ended");
    }
    const auto steps = [&](const std::vector<StepTold>& then, const std::vector<StepTold>& steps) {
        for (std::size_t n = 0; n < std::min(then.size(), steps.size()); ++n) {
            note(steps[n].lost, "step lost");
            note(steps[n].accepted, "step answered for");
            note(then[n].accepted && !steps[n].accepted, "step answered for, no more");
            note(then[n].stage == Stage::confirmed && steps[n].stage == Stage::done &&
                     steps[n].effect == Verdict::pass,
                 "effect seen");
            note(steps[n].stage == Stage::fact && steps[n].fact == Verdict::fail, "fact overdue");
            note(steps[n].stage == Stage::confirmed && steps[n].effect == Verdict::fail,
                 "effect overdue");
            const bool alone = now.word == Word::call && steps[n].stage == Stage::confirmed &&
                               steps[n].effect == Verdict::pending && before.word == Word::wait &&
                               is_device && !running;
            note(alone, "perhaps at another chassis");
        }
    };
    steps(before.steps, now.steps);
    steps(before.back_out, now.back_out);
    note(any_is(now.back_out, Stage::done), "step back done");
    note(running, "clock runs");
    note(now.cooling.passed, "clock passed");
    note(now.cooling.accepted, "clock answered for");
    note(now.cooling.ended.has_value(), "clock ended");
    note(before.cooling.ended && running, "clock runs again");
    note(now.cooling.turning_back, "turned back");
    note(did(Deed::forecast) && now.cooling.limit != before.cooling.limit, "limit shortened");
    note(restarted, "restart");
    note(restarted && before.word == Word::state_met, "restart under STATE MET");
    note(restarted && !happened.lost_rules.empty() && now.word == Word::stop,
         "loss of a rule carried over");
    note(restarted && !happened.lost_steps.empty() && now.word == Word::stop,
         "loss of a step carried over");
    note(restarted && ran && !happened.event.elapsed_known, "restart without time, clock runs");
    note(did(Deed::forced), "forced");
    note(did(Deed::skipped), "skipped");
    note(did(Deed::unconfirmed), "confirmation taken back");
    note(now.refused && happened.deed == Deed::unconfirmed && happened.ago == 1, "undo refused");
    note(did(Deed::tried_again), "tried again");
    note(did(Deed::back_out), "way back");
    note(did(Deed::closed_done), "closed as done");
    note(did(Deed::closed_backed_out), "closed as backed out");
    note(did(Deed::closed_degraded), "closed degraded");
    note(did(Deed::gate_opened), "name taken");
    note(did(Deed::shift_taken), "shift taken");
    note(did(Deed::chassis_named) && now.chassis.same == Truth::yes, "right chassis");
    note(now.chassis.lost, "another chassis");
    note(now.chassis.lost && !before.chassis.lost && is_device,
         "another chassis, as it now reports");
    note(now.chassis.accepted, "chassis answered for");
    note(before.chassis.accepted && now.chassis.same == Truth::yes,
         "chassis answered for, right after all");
    note(before.chassis.accepted && now.chassis.lost, "chassis answered for, another now");
    note(now.refused && happened.deed == Deed::chassis_named && happened.complete,
         "too short an end");
    note(now.refused && happened.deed == Deed::released && happened.ago == 1 &&
             happened.step == before.step && before.phase == Phase::forward &&
             !before.chassis.read && before.word == Word::wait,
         "release before the chassis is named refused");
    note(now.refused && happened.deed == Deed::confirmed && happened.ago == 1 &&
             happened.read_back == Happened::ReadBack::wrong,
         "wrong code refused");
    note(now.refused && happened.deed == Deed::released && happened.ago == 1, "release refused");
    note(now.refused && happened.step == before.step && happened.ago > 1 && happened.complete &&
             (happened.deed == Deed::confirmed || happened.deed == Deed::skipped),
         "act upon an older state refused");
    note(now.refused && happened.deed == Deed::gate_closed, "closing its gate refused");
}

TEST(RandomProcedures, the_witness_says_what_the_oracle_says_after_every_event) {
    const std::uint64_t courses = how_many(1'000);
    std::map<std::string, std::uint64_t> counts;
    int differing = 0;
    for (std::uint64_t seed = 1; seed <= courses && differing < 3; ++seed) {
        const auto [course, told] = random_course(seed);
        ASSERT_TRUE(well_formed(course)) << "seed " << seed;
        Paths paths;
        for (std::size_t k = 1; k < told.size(); ++k)
            note_paths(course.happened[k], told[k - 1], told[k], paths);
        for (const std::string& path : paths)
            ++counts[path];
        const Ticks ticks = seed % 2 == 0 ? Ticks::asked_for : Ticks::left_out;
        if (!difference(course, told, ticks))
            continue;
        const Course small = minimised(course, ticks);
        ADD_FAILURE() << "seed " << seed << (ticks == Ticks::asked_for ? "" : ", without ticks")
                      << "\n"
                      << to_text(small) << *difference(small, judge(small), ticks);
        ++differing;
    }
    std::ostringstream table;
    for (const auto& [name, count] : counts)
        table << "  " << name << ": " << count << "\n";
    std::cout << courses << " courses\n" << table.str();
    // Each must be taken often enough that a mistake there would show.
    for (const char* path : {"CALL",
                             "STATE MET",
                             "STATE MET no more",
                             "act upon an older state refused",
                             "another chassis",
                             "another chassis, as it now reports",
                             "chassis answered for",
                             "chassis answered for, right after all",
                             "clock answered for",
                             "clock ended",
                             "clock passed",
                             "clock runs again",
                             "closed as backed out",
                             "closed as done",
                             "closed degraded",
                             "closing its gate refused",
                             "effect overdue",
                             "effect seen",
                             "fact overdue",
                             "forced",
                             "limit shortened",
                             "name taken",
                             "release before the chassis is named refused",
                             "release refused",
                             "restart",
                             "restart under STATE MET",
                             "restart without time, clock runs",
                             "right chassis",
                             "rule answered for",
                             "rule answered for, true again",
                             "rule ended",
                             "rule lost",
                             "shift taken",
                             "skipped",
                             "step answered for",
                             "step back done",
                             "step lost",
                             "too short an end",
                             "tried again",
                             "turned back",
                             "way back",
                             "wrong code refused"})
        EXPECT_GE(counts[path], courses / 50) << path;
    for (const char* rarer : {"chassis answered for, another now", "perhaps at another chassis",
                              "loss of a rule carried over", "loss of a step carried over",
                              "rule lost on the way back", "step answered for, no more"})
        EXPECT_GE(counts[rarer], courses / 500) << rarer;
}

} // namespace
} // namespace slotwitness::oracle
