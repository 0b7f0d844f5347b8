#include "bench_desk.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::desk {
namespace {

using testing::HasSubstr;
using testing::SizeIs;
using timeline::Condition;
using twins::BenchDesk;
using twins::Folder;
using twins::tell_planes;
using units::Duration;

/// What the desk shows of a chassis beside its components.
class ShownChassisTest : public testing::Test {
  protected:
    static std::optional<AnswerView> answer(BenchDesk& bench, const std::string& asking) {
        const auto answers = bench.desk().answers("edge-7");
        for (const AnswerView& view : *answers)
            if (view.asking == asking)
                return view;
        return std::nullopt;
    }
    static timeline::Told plane_3(BenchDesk& bench) {
        const auto view = bench.desk().timeline("edge-7");
        for (const timeline::Part& part : view->shown.parts)
            if (part.component == witness::Component{state::Kind::plane, "3"})
                return part.told;
        return {};
    }
    static std::vector<timeline::Span> spans(BenchDesk& bench) {
        const auto view = bench.desk().timeline("edge-7");
        for (const auto& track : view->shown.tracks)
            if (track.track == timeline::TrackName{"plane", "3"})
                return track.spans;
        return {};
    }
    Folder folder;
    std::string journal = folder.file("journal");
    const std::string shut = tell_planes({{"1"}, {"2"}, {"3", "released", "dark"}});
};

TEST_F(ShownChassisTest, has_the_very_bytes_of_the_newest_answer) {
    BenchDesk bench(journal);
    bench.device->answer("tell planes", shut);
    bench.begin();
    bench.run_until([&] { return answer(bench, "planes").has_value(); });
    const AnswerView view = *answer(bench, "planes");
    EXPECT_EQ(*view.bytes, shut);
    EXPECT_EQ(view.capture, journal::digest_of(shut));
    EXPECT_TRUE(view.ending.whole());
    EXPECT_LE(view.asked, view.answered);
    EXPECT_FALSE(bench.desk().answers("edge-9"));
    EXPECT_FALSE(bench.desk().timeline("edge-9"));
}

TEST_F(ShownChassisTest, has_the_faces_of_its_profile) {
    BenchDesk bench(journal);
    bench.begin();
    const ChassisView view = *bench.desk().chassis("edge-7");
    ASSERT_TRUE(view.faces.contains(profiles::Side::rear));
    EXPECT_EQ(view.faces.at(profiles::Side::rear).at(1).at(2).name, "FAB3");
    EXPECT_EQ(view.faces.at(profiles::Side::rear).at(2).at(2).name, "");
}

TEST_F(ShownChassisTest, counts_as_what_is_now_for_as_long_as_the_pace_allows) {
    BenchDesk bench(journal);
    bench.begin();
    bench.run_until([&] { return bench.desk().chassis("edge-7")->last_answer.has_value(); });
    const ChassisView idle = *bench.desk().chassis("edge-7");
    EXPECT_EQ(*idle.valid_until - *idle.last_answer, longest_gap(bench.settings));
    ASSERT_TRUE(bench.open("plane 3 shut"));
    const ChassisView pending = *bench.desk().chassis("edge-7");
    EXPECT_EQ(*pending.valid_until - *pending.last_answer, pending_gap(bench.settings));
    EXPECT_LT(pending_gap(bench.settings), longest_gap(bench.settings));
}

TEST_F(ShownChassisTest, is_told_in_the_list_as_when_it_is_asked_for_alone) {
    BenchDesk bench(journal);
    bench.more.push_back(bench.settings);
    bench.more.back().name = "edge-8";
    bench.device->answer("tell planes", shut + "!! table busy\n");
    bench.begin();
    ASSERT_TRUE(bench.open("plane 3 up"));
    bench.advance_until(Duration(2'000), [&] { return answer(bench, "planes").has_value(); });
    const ChassisView alone = *bench.desk().chassis("edge-7");
    const std::vector<ChassisSummary> all = bench.desk().all_chassis();
    ASSERT_THAT(all, SizeIs(2));
    const ChassisSummary& listed = all.front();
    EXPECT_EQ(listed.name, "edge-7");
    EXPECT_EQ(listed.last_answer, alone.last_answer);
    EXPECT_EQ(listed.valid_until, alone.valid_until);
    EXPECT_EQ(listed.gates_pending, 1U);
    EXPECT_EQ(all.back().gates_pending, 0U);
    ASSERT_THAT(alone.unread, SizeIs(1));
    EXPECT_EQ(alone.unread.front().text, "!! table busy");
    EXPECT_EQ(listed.unread_lines, 1U);
}

TEST_F(ShownChassisTest, keeps_its_timeline_over_a_restart_while_a_gate_is_open) {
    units::Instant began;
    {
        BenchDesk bench(journal);
        bench.device->answer("tell planes", shut);
        bench.begin();
        ASSERT_TRUE(bench.open("plane 3 up"));
        bench.advance_until(Duration(2'000),
                            [&] { return plane_3(bench).condition == Condition::shut; });
        began = spans(bench).front().from;
        bench.stop();
    }
    BenchDesk bench(journal);
    bench.machine.boottime_ms += 60'000;
    bench.machine.wall_ms += 60'000;
    bench.device->answer("tell planes", shut);
    bench.begin();
    EXPECT_EQ(spans(bench).front().from, began);
    bench.advance_until(Duration(2'000), [&] { return spans(bench).size() == 2; });
    EXPECT_EQ(plane_3(bench).condition, Condition::shut);
    EXPECT_GT(spans(bench)[1].from, spans(bench)[0].until)
        << "nobody looked while the daemon was away";
}

TEST_F(ShownChassisTest, knows_no_part_while_the_journal_takes_nothing) {
    BenchDesk bench(journal);
    bench.device->answer("tell planes", shut);
    bench.begin();
    ASSERT_TRUE(bench.open("plane 3 up"));
    bench.advance_until(Duration(2'000),
                        [&] { return plane_3(bench).condition == Condition::shut; });
    *bench.disk_full = true;
    bench.advance_until(Duration(2'000), [&] { return !bench.published().back().stored; });
    EXPECT_EQ(plane_3(bench).condition, Condition::unknown);
    EXPECT_THAT(plane_3(bench).why, HasSubstr("disk is full"));
}

} // namespace
} // namespace slotwitness::desk
