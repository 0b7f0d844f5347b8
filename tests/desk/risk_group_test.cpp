#include "health_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// Of the chassis of one risk group only one is worked on at a time.
namespace slotwitness::desk {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;
using Opened = tl::expected<ProcedureView, Refusal>;

class RiskGroup : public testing::Test {
  protected:
    Folder folder;
    std::string journal = folder.file("journal");

    /// edge-7 and edge-8 of one group, edge-9 of none.
    static void begin(BenchDesk& bench) {
        bench.settings.risk_group = "core-a";
        for (const char* name : {"edge-8", "edge-9"}) {
            bench.more.push_back(bench.settings);
            bench.more.back().name = name;
        }
        bench.more.back().risk_group.clear();
        twins::begin_with_health_check(bench);
    }
    static Opened open(BenchDesk& bench, const std::string& chassis) {
        auto opening = bench.desk().open_procedure(twins::health_check_of(chassis));
        return bench.await(std::move(opening));
    }
    static void close(BenchDesk& bench, const std::string& id) {
        auto closing = bench.desk().act(witness::ProcedureClosed{
            id, witness::Closing::closed_degraded, "the test", "T-1", "the test ends it"});
        const auto closed = bench.await(std::move(closing));
        ASSERT_TRUE(closed) << state::to_text(closed.error().problem);
    }
    static void expect_refused(const Opened& opened, const std::string& because) {
        ASSERT_FALSE(opened);
        EXPECT_EQ(opened.error().kind, Refusal::Kind::bad_procedure);
        EXPECT_THAT(opened.error().problem.found, HasSubstr(because));
        EXPECT_EQ(opened.error().problem.expected, "one procedure at a time in risk group core-a");
        EXPECT_EQ(opened.error().problem.remedy, "close that one first");
    }
};

TEST_F(RiskGroup, a_chassis_names_its_own_procedure_as_long_as_it_is_under_way) {
    BenchDesk bench(journal);
    begin(bench);
    const Opened first = open(bench, "edge-9");
    ASSERT_TRUE(first);
    const std::string& id = first->record.opened.id;
    EXPECT_EQ(bench.desk().chassis("edge-9")->procedure, id);
    EXPECT_FALSE(bench.desk().chassis("edge-7")->procedure);
    std::vector<std::optional<std::string>> listed;
    for (const ChassisSummary& chassis : bench.desk().all_chassis())
        listed.push_back(chassis.procedure);
    EXPECT_THAT(listed, ElementsAre(std::nullopt, std::nullopt, id));
    close(bench, id);
    EXPECT_FALSE(bench.desk().chassis("edge-9")->procedure);
}

TEST_F(RiskGroup, a_second_procedure_is_refused_with_the_one_that_is_under_way) {
    BenchDesk bench(journal);
    begin(bench);
    const auto first = open(bench, "edge-7");
    ASSERT_TRUE(first) << state::to_text(first.error().problem);
    const std::string& id = first->record.opened.id;
    expect_refused(open(bench, "edge-8"), "procedure " + id + " under way on edge-7");
    EXPECT_TRUE(open(bench, "edge-9")) << "it is of no group";
    close(bench, id);
    EXPECT_TRUE(open(bench, "edge-8"));
    expect_refused(open(bench, "edge-7"), "under way on edge-8");
}

TEST_F(RiskGroup, it_is_refused_after_a_restart_as_well) {
    std::string id;
    {
        BenchDesk bench(journal);
        begin(bench);
        const auto first = open(bench, "edge-7");
        ASSERT_TRUE(first) << state::to_text(first.error().problem);
        id = first->record.opened.id;
    }
    {
        BenchDesk again(journal);
        begin(again);
        expect_refused(open(again, "edge-8"), "procedure " + id + " under way on edge-7");
        close(again, id);
    }
    BenchDesk again(journal);
    begin(again);
    EXPECT_TRUE(open(again, "edge-8"));
}

/// Neither is in the journal when the other is asked for.
TEST_F(RiskGroup, of_two_that_are_opened_at_once_one_is_refused) {
    BenchDesk bench(journal);
    begin(bench);
    std::vector<Opened> came;
    for (const char* chassis : {"edge-7", "edge-8"}) {
        auto opening = bench.desk().open_procedure(twins::health_check_of(chassis));
        boost::asio::co_spawn(bench.loop(), std::move(opening),
                              [&came](const std::exception_ptr&, Opened opened) {
                                  came.push_back(std::move(opened));
                              });
    }
    bench.run_until([&] { return came.size() == 2; });
    EXPECT_NE(came[0].has_value(), came[1].has_value());
    expect_refused(came[0] ? came[1] : came[0], "under way on edge-");
}

TEST_F(RiskGroup, a_retry_that_overtakes_its_answer_opens_no_second_one) {
    BenchDesk bench(journal);
    begin(bench);
    std::vector<Opened> came;
    for (int i = 0; i < 2; ++i) {
        auto opening = bench.desk().open_procedure(twins::health_check_of("edge-7", "key-1"));
        boost::asio::co_spawn(bench.loop(), std::move(opening),
                              [&came](const std::exception_ptr&, Opened opened) {
                                  came.push_back(std::move(opened));
                              });
    }
    bench.run_until([&] { return came.size() == 2; });
    const Opened& refused = came[0] ? came[1] : came[0];
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, Refusal::Kind::in_flight);
    auto again = bench.desk().open_procedure(twins::health_check_of("edge-7", "key-1"));
    EXPECT_TRUE(bench.await(std::move(again)));
    EXPECT_EQ(bench.desk().procedures().size(), 1U);
}

TEST_F(RiskGroup, a_disk_that_was_full_is_written_again_though_nobody_asks_for_anything) {
    BenchDesk bench(journal);
    begin(bench);
    *bench.disk_full = true;
    auto closing = bench.desk().want_baseline("edge-7", "the test");
    EXPECT_FALSE(bench.await(std::move(closing)));
    EXPECT_FALSE(bench.desk().health().ready);
    *bench.disk_full = false;
    bench.advance(units::Duration(1'000)); // no round is due for long
    bench.run_until([&] { return bench.desk().health().ready; });
}

} // namespace
} // namespace slotwitness::desk
