#include "world.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <map>
#include <set>

namespace slotwitness::witness::test {
namespace {

/// A random life of a chassis with three gates: rounds that are answered, cut, unknown, failed,
/// late, superseded or never answered, restarts, closings. Times are coarse, so that many instants
/// coincide.
std::vector<Event> random_life() {
    std::vector<Event> life;
    RunStarted run;
    run.inventory = {{Kind::plane, {"1", "2", "3"}}};
    life.push_back({at(0), run});
    const auto pick = [](int below) { return *rc::gen::inRange(0, below); };
    const auto span = [&](int most) { return std::int64_t{500} * pick(most); };
    const auto gate = [&](const char* id, const char* sentence, std::int64_t t) {
        life.push_back({at(t), GateOpened{id,
                                          sentence,
                                          {"planes"},
                                          ms(2'000 + span(9)),
                                          ms(span(4)),
                                          ms(span(20)),
                                          "engineer",
                                          ""}});
    };
    gate("a", "plane 3 shut for 4 s within 20 s", 0);
    gate("b", "plane 3 shut within 15 s", span(3));
    std::stable_sort(life.begin(), life.end(),
                     [](const Event& l, const Event& r) { return l.at < r.at; });
    std::int64_t t = life.back().at.time_since_epoch().count();
    gate("c", "not plane 3 up for 3 s", t);

    const Sheet sheets[] = {shut,
                            shut,
                            shut,
                            shut,
                            up,
                            unclear,
                            Sheet(shut).cut(),
                            Sheet(up).cut(),
                            Sheet(shut).unread("3 odd"),
                            planes({{"1", 'u'}, {"2", 'u'}})};
    const int rounds = pick(14);
    for (RoundNumber round = 1; round <= static_cast<RoundNumber>(rounds); ++round) {
        t += span(8);
        if (pick(20) == 0) {
            run.elapsed_known = pick(2) == 0;
            life.push_back({at(t), run});
        }
        if (pick(20) == 0)
            life.push_back({at(t), GateClosed{pick(2) == 0 ? "a" : "c", "engineer"}});
        life.push_back({at(t), RoundStarted{round, {"planes"}}});
        if (pick(8) == 0)
            continue; // never answered
        const Instant asked = at(t);
        t += span(pick(6) == 0 ? 20 : 3);
        if (pick(6) == 0) {
            life.push_back({at(t), Failed{round, "planes", asked, NoAnswer::timed_out, ""}});
            continue;
        }
        const Sheet& sheet = sheets[pick(static_cast<int>(std::size(sheets)))];
        const auto reading = std::make_shared<const state::Reading>(sheet.reading());
        life.push_back(
            {at(t),
             Answered{round, "planes", asked, "c", {true, reading->whole ? 0 : 1, ""}, reading}});
    }
    life.push_back({at(t + 60'000), Tick{}});
    return life;
}

/// Steps through a life. With `obey`, a tick comes at each instant asked for, as the daemon sends
/// it.
std::vector<Finding> findings_of(const std::vector<Event>& life, bool obey) {
    Witness witness;
    std::vector<Finding> found;
    std::optional<Instant> due;
    const auto tell = [&](const Event& event) {
        Outcome outcome = witness.step(event);
        found.insert(found.end(), outcome.findings.begin(), outcome.findings.end());
        RC_ASSERT(!outcome.next_due || *outcome.next_due > event.at);
        due = outcome.next_due;
    };
    for (const Event& event : life) {
        while (obey && due && *due < event.at)
            tell({*due, Tick{}});
        tell(event);
    }
    return found;
}

void same(const std::vector<Finding>& left, const std::vector<Finding>& right) {
    RC_ASSERT(left.size() == right.size());
    for (std::size_t i = 0; i < left.size(); ++i) {
        RC_ASSERT(left[i].index() == right[i].index());
        if (const auto* gate = std::get_if<GateFinding>(&left[i]))
            RC_ASSERT(*gate == std::get<GateFinding>(right[i]));
        if (const auto* missed = std::get_if<RoundMissed>(&left[i]))
            RC_ASSERT(*missed == std::get<RoundMissed>(right[i]));
    }
}

void expect(bool held) {
    EXPECT_TRUE(held);
}

TEST(ticks, that_come_when_asked_for_or_not_at_all_change_no_finding) {
    expect(rc::check([] {
        const auto life = random_life();
        same(findings_of(life, true), findings_of(life, false));
    }));
}

TEST(ticks, that_nobody_asked_for_change_no_finding) {
    expect(rc::check([] {
        const auto life = random_life();
        auto ticked = life;
        const int more = *rc::gen::inRange(1, 30);
        for (int i = 0; i < more; ++i) {
            const Instant instant = at(std::int64_t{250} * *rc::gen::inRange(0, 200));
            const auto place =
                std::upper_bound(ticked.begin(), ticked.end(), instant,
                                 [](Instant t, const Event& event) { return t < event.at; });
            ticked.insert(place, {instant, Tick{}});
        }
        std::erase_if(ticked, [&](const Event& event) { return event.at > life.back().at; });
        same(findings_of(ticked, false), findings_of(life, false));
    }));
}

TEST(a_life, never_shows_more_confidence_than_known) {
    expect(rc::check([] {
        std::map<std::string, GateFinding> last;
        for (const Finding& finding : findings_of(random_life(), true)) {
            const auto* gate = std::get_if<GateFinding>(&finding);
            if (gate == nullptr)
                continue;
            if (gate->verdict == Verdict::pass && gate->standing == Standing::met &&
                gate->because.reason != Reason::missed_look)
                RC_ASSERT(gate->truth == Truth::yes);
            if (gate->standing == Standing::settling && gate->because.reason != Reason::missed_look)
                RC_ASSERT(gate->truth == Truth::yes);
            RC_ASSERT(gate->failure.has_value() == (gate->verdict == Verdict::fail));
            RC_ASSERT(gate->decided.has_value() == (gate->verdict != Verdict::pending));
            RC_ASSERT(gate->guarded == (gate->verdict == Verdict::pass && !gate->retired));
            RC_ASSERT(gate->standing.has_value() == gate->guarded);
            if (gate->decided && gate->deadline && gate->verdict == Verdict::pass)
                RC_ASSERT(*gate->decided <= *gate->deadline);
            const auto before = last.find(gate->id);
            if (before != last.end() && before->second.decided) {
                RC_ASSERT(!before->second.retired);
                RC_ASSERT(before->second.verdict == gate->verdict);
                RC_ASSERT(before->second.decided == gate->decided);
            }
            last[gate->id] = *gate;
        }
        for (const auto& [id, gate] : last)
            if (gate.deadline)
                RC_ASSERT(gate.verdict != Verdict::pending);
    }));
}

} // namespace
} // namespace slotwitness::witness::test
