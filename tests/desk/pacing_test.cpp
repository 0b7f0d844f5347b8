#include "bench_desk.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// What a chassis' budget and the entrance hold up, in the desk as a whole; their rules are tested
// in tests/watch.
namespace slotwitness::desk {
namespace {

using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;
using units::Duration;

class Pacing : public testing::Test {
  protected:
    Folder folder;
    std::string journal = folder.file("journal");
    /// Of the Quillon profile: identity when connecting, ten in an idle look; twice that is the
    /// least budget.
    static constexpr std::size_t at_entrance = 1, whole_look = 10, least = 22;
};

TEST_F(Pacing, a_look_that_the_budget_holds_up_leaves_its_gate_pending_and_the_chassis_says_so) {
    BenchDesk bench(journal);
    bench.settings.budget.queries_an_hour = least;
    bench.begin();
    bench.run_until([&] { return bench.looks() >= whole_look; });
    const auto gate = bench.open("plane 3 down within 3 h");
    ASSERT_TRUE(gate);
    bench.advance(Duration(2'000));
    bench.run_until([&] { return bench.looks() > whole_look; });
    EXPECT_EQ(bench.device->asked().size(), at_entrance + whole_look + 1);

    bench.device->answer("tell planes",
                         twins::tell_planes({{"1"}, {"2"}, {"3", "released", "dark"}}));
    bench.advance(Duration(2'000));
    bench.run_until([&] { return !bench.desk().chassis("edge-7")->held_up.empty(); });
    bench.loop().poll();
    EXPECT_EQ(bench.device->asked().size(), at_entrance + whole_look + 1);
    EXPECT_EQ(bench.gate(gate->finding.id).finding.verdict, witness::Verdict::pending);
    EXPECT_THAT(bench.desk().chassis("edge-7")->held_up,
                HasSubstr("the budget of 22 queries an hour"));

    bench.advance(Duration(200'000)); // half of the ninth of an hour that one of nine left takes
    bench.run_until(
        [&] { return bench.gate(gate->finding.id).finding.verdict == witness::Verdict::pass; });
}

TEST_F(Pacing, a_restart_gives_nothing_of_the_budget_back) {
    {
        BenchDesk bench(journal);
        bench.settings.budget.queries_an_hour = least;
        bench.begin();
        bench.run_until([&] { return bench.looks() >= whole_look; });
    }
    BenchDesk bench(journal);
    bench.settings.budget.queries_an_hour = least;
    bench.begin();
    bench.run_until([&] { return !bench.desk().chassis("edge-7")->held_up.empty(); });
    EXPECT_EQ(bench.device->connects(), 0U);
    bench.advance(Duration(61 * 60'000));
    bench.run_until([&] { return bench.looks() >= whole_look; });
}

TEST_F(Pacing, no_more_sessions_than_configured_are_set_up_at_once_and_all_come_in) {
    BenchDesk bench(journal);
    bench.reconnect.doors.at_once = 2;
    for (const char* name : {"edge-8", "edge-9", "edge-10", "edge-11"}) {
        bench.more.push_back(bench.settings);
        bench.more.back().name = name;
    }
    bench.device->hold_connects();
    bench.begin();
    bench.run_until([&] { return bench.device->connects() >= 2; });
    bench.loop().poll();
    EXPECT_EQ(bench.device->connects(), 2U);
    bench.device->release_connects();
    bench.run_until([&] { return bench.device->sessions() == 5; });
}

TEST_F(Pacing, a_chassis_that_waits_to_come_in_ends_with_the_desk) {
    BenchDesk bench(journal);
    bench.reconnect.doors.at_once = 1;
    bench.more.push_back(bench.settings);
    bench.more.back().name = "edge-8";
    bench.device->hold_connects();
    bench.begin();
    bench.run_until([&] { return bench.device->connects() >= 1; });
    bench.stop(); // the loop runs out of work
    EXPECT_EQ(bench.device->sessions(), 0U);
}

} // namespace
} // namespace slotwitness::desk
