#include "compare.hpp"

#include <gtest/gtest.h>

#include <iostream>
#include <map>
#include <sstream>

// The witness against the brute-force oracle on random traces. How a trace ends and which
// boundaries it touches is counted from the oracle alone, so that a generator that no longer
// reaches them fails here.
namespace slotwitness::oracle {
namespace {

using Counts = std::map<std::string, std::uint64_t>;

void count_end(const Said& end, Time hold, Counts& counts) {
    switch (end.verdict) {
    case Verdict::pending:
        ++counts[end.open ? "pending" : "not open"];
        break;
    case Verdict::pass:
        ++counts["pass"];
        ++counts[end.retired ? "pass, retired" : "pass, guarded"];
        ++counts[hold > 0 ? "pass with a hold" : "pass without `for`"];
        break;
    case Verdict::fail:
        ++counts[end.failure == Failure::not_seen ? "fail not seen" : "fail seen false"];
        break;
    case Verdict::cancelled:
        ++counts["cancelled"];
        break;
    }
}

void count_boundaries(const Trace& trace, std::size_t number, const std::vector<Moment>& moments,
                      Counts& counts) {
    const Gate& gate = trace.gates[number];
    const auto looks = looks_of(gate, number, trace.events, trace.events.size(), trace.until);
    Time opened = 0;
    for (const Event& event : trace.events)
        if (event.what == Happening::opened && event.gate == number)
            opened = event.at;
    const auto hit = [&](bool whether, const char* name) {
        if (whether)
            ++counts[name];
    };
    for (std::size_t n = 0; n < looks.size(); ++n) {
        const Look& look = looks[n];
        if (look.moved) {
            hit(true, "moved between two looks");
            continue;
        }
        hit(look.missed, "missed look");
        hit(!look.missed && look.truth == Truth::unknown, "unknown look");
        hit(look.asked == opened, "asked at the opening");
        hit(look.baseline && look.truth != Truth::unknown, "compared with a baseline");
        if (gate.condition.shape == Condition::Shape::not_rising) {
            hit(look.truth == Truth::yes, "errors not rising");
            hit(look.truth == Truth::no, "errors rising");
        }
        if (gate.within) {
            hit(look.answered == opened + *gate.within, "answered at the deadline");
            hit(look.answered == opened + *gate.within + 1, "answered 1 ms after the deadline");
            hit(gate.hold > 0 && look.answered + gate.hold + gate.refresh == opened + *gate.within,
                "last instant to begin a run");
        }
        if (n == 0)
            continue;
        hit(look.answered - looks[n - 1].asked == gate.gap, "gap of exactly G");
        hit(look.answered - looks[n - 1].asked == gate.gap + 1, "gap of G + 1 ms");
        hit(look.run != looks[n - 1].run, "restart between two looks");
        hit(look.baseline && look.baseline != looks[n - 1].baseline &&
                looks[n - 1].truth == Truth::yes && look.truth == Truth::yes,
            "another baseline between two true looks");
    }
    std::optional<Standing> before;
    for (const Moment& moment : moments) {
        const Said& said = moment.said;
        if (said.decided == moment.now && said.verdict == Verdict::pass && before == std::nullopt)
            hit(gate.hold > 0 && said.held == gate.hold, "met with exactly H");
        if (said.standing != before && said.standing) {
            hit(*said.standing == Standing::lost, "lost");
            hit(*said.standing == Standing::settling, "settling");
            hit(*said.standing == Standing::unseen, "unseen");
        }
        before = said.standing;
    }
    const Said& end = moments.back().said;
    if (end.verdict == Verdict::fail && gate.within && *end.decided <= opened + *gate.within)
        ++counts["failed early"];
}

TEST(RandomTraces, the_witness_says_what_the_oracle_says_at_every_moment) {
    const std::uint64_t traces = how_many(3'000);
    Counts counts;
    int differing = 0;
    for (std::uint64_t seed = 1; seed <= traces && differing < 3; ++seed) {
        const Trace trace = random_trace(seed);
        ASSERT_TRUE(well_formed(trace)) << "seed " << seed;
        for (std::size_t n = 0; n < trace.gates.size(); ++n) {
            const auto moments = judge(trace.gates[n], n, trace.events, trace.until);
            count_end(moments.back().said, trace.gates[n].hold, counts);
            count_boundaries(trace, n, moments, counts);
        }
        for (const Ticks ticks : {Ticks::asked_for, Ticks::left_out}) {
            if (!difference(trace, ticks))
                continue;
            const Trace small = minimised(trace, ticks);
            ADD_FAILURE() << "seed " << seed << (ticks == Ticks::asked_for ? "" : ", without ticks")
                          << "\n"
                          << to_text(small) << *difference(small, ticks);
            ++differing;
            break;
        }
    }
    std::ostringstream table;
    for (const auto& [name, count] : counts)
        table << "  " << name << ": " << count << "\n";
    std::cout << traces << " traces\n" << table.str();
    // Each must be met often enough that a mistake there would show.
    for (const char* ending :
         {"pass", "pass, retired", "pass, guarded", "pass with a hold", "fail not seen",
          "fail seen false", "pending", "failed early", "gap of exactly G", "gap of G + 1 ms",
          "met with exactly H", "missed look", "unknown look", "lost", "settling", "unseen"})
        EXPECT_GE(counts[ending], traces / 50) << ending;
    for (const char* rarer :
         {"cancelled", "answered at the deadline", "answered 1 ms after the deadline",
          "last instant to begin a run", "moved between two looks", "asked at the opening",
          "restart between two looks", "compared with a baseline", "errors not rising",
          "errors rising", "another baseline between two true looks"})
        EXPECT_GE(counts[rarer], traces / 200) << rarer;
}

} // namespace
} // namespace slotwitness::oracle
