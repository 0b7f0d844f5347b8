#include "bench_desk.hpp"

#include <slotwitness/journal/store.hpp>

#include <boost/asio/executor_work_guard.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <thread>

namespace slotwitness::desk {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;
using units::Duration;

/// Each case in which the daemon runs and cannot do its work. A full disk is among those of the
/// live desk; profiles that are not good keep the daemon from starting.
class ReadinessTest : public testing::Test {
  protected:
    static void wait_until_ready(BenchDesk& bench) {
        bench.run_until([&] { return bench.desk().health().ready; });
    }

    Folder folder;
    std::string journal = folder.file("journal");
};

TEST_F(ReadinessTest, is_not_good_before_the_watch_has_begun) {
    BenchDesk bench(journal);
    bench.begin();
    EXPECT_FALSE(bench.desk().health().ready);
    EXPECT_THAT(bench.desk().health().reasons, ElementsAre("the watch of edge-7 has not begun"));
    wait_until_ready(bench);
    EXPECT_TRUE(bench.desk().health().reasons.empty());
}

TEST_F(ReadinessTest, is_not_good_while_the_daemon_stops) {
    BenchDesk bench(journal);
    bench.begin();
    wait_until_ready(bench);
    bench.desk().stop();
    EXPECT_FALSE(bench.desk().health().ready);
    EXPECT_THAT(bench.desk().health().reasons, ElementsAre("the daemon is stopping"));
}

TEST_F(ReadinessTest, is_not_good_while_a_disk_neither_takes_an_event_nor_refuses_it) {
    boost::asio::io_context disk;
    BenchDesk bench(journal);
    bench.journal_place = disk.get_executor();
    const auto ready_with_a_disk_that_turns = [&] {
        disk.restart();
        disk.poll();
        return bench.desk().health().ready;
    };
    bench.begin();
    bench.run_until(ready_with_a_disk_that_turns);
    bool is_recorded = false;
    auto wanting = bench.desk().want_baseline("edge-7", "the test");
    boost::asio::co_spawn(bench.loop(), std::move(wanting),
                          [&](const std::exception_ptr&, auto) { is_recorded = true; });
    bench.loop().poll(); // its event is on the way to the disk, which does not turn
    bench.advance(Duration(10'000));
    EXPECT_TRUE(bench.desk().health().ready);
    bench.advance(Duration(1));
    EXPECT_FALSE(bench.desk().health().ready);
    EXPECT_THAT(bench.desk().health().reasons, ElementsAre(HasSubstr("does not answer")));
    bench.run_until([&] { return ready_with_a_disk_that_turns() && is_recorded; });

    auto turns = boost::asio::make_work_guard(disk); // what is under way is recorded at the end
    disk.restart();
    std::thread turning([&] { disk.run(); });
    bench.stop();
    turns.reset();
    turning.join();
}

TEST_F(ReadinessTest, is_not_good_where_the_journal_cannot_be_recomputed) {
    {
        BenchDesk bench(journal);
        bench.begin();
        ASSERT_TRUE(bench.open("plane 3 shut within 5 min"));
    }
    const std::string forged = folder.file("forged");
    std::size_t altered = 0;
    {
        const auto honest = journal::open_sqlite(journal);
        const auto store = journal::open_sqlite(forged);
        ASSERT_TRUE(honest && store);
        const auto entries = (*honest)->entries("edge-7");
        ASSERT_TRUE(entries);
        for (const journal::Entry& entry : *entries) {
            nlohmann::json body = nlohmann::json::parse(entry.line);
            for (const char* chain : {"chassis", "seq", "prev"})
                body.erase(chain);
            for (auto& finding : body["findings"])
                if (finding.value("verdict", "") == "pending" && altered++ == 0)
                    finding["truth"] = "true";
            std::vector<journal::Capture> captures;
            for (const char* name : {"capture", "profile"})
                if (const auto digest = body["event"].find(name); digest != body["event"].end())
                    if (auto bytes = (*honest)->capture(digest->get<std::string>()).value())
                        captures.push_back({digest->get<std::string>(), std::move(*bytes)});
            ASSERT_TRUE((*store)->append("edge-7", body, captures));
        }
    }
    ASSERT_GT(altered, 0U);
    BenchDesk again(forged);
    again.machine.boottime_ms += 40'000;
    again.begin();
    again.run_until([&] { return !again.published().empty(); });
    EXPECT_FALSE(again.desk().health().ready);
    EXPECT_THAT(again.desk().health().reasons, ElementsAre(HasSubstr("cannot be recomputed")));
}

} // namespace
} // namespace slotwitness::desk
