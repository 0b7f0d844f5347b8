#include <slotwitness/timeline/tracks.hpp>

#include <gtest/gtest.h>

namespace slotwitness::timeline {
namespace {

using namespace std::chrono_literals;

constexpr units::Duration gap = 10s;

Instant second(int count) {
    return Instant(1'000'000ms) + count * 1s;
}
const TrackName plane_three{"plane", "3"};
const TrackName plane_four{"plane", "4"};

std::vector<Span> spans_of(const Tracks& tracks, const TrackName& name) {
    for (const Tracks::Shown& shown : tracks.shown())
        if (shown.track == name)
            return shown.spans;
    return {};
}

TEST(tracks, make_one_span_of_looks_that_agree) {
    Tracks tracks(100);
    for (const int at : {0, 2, 4})
        tracks.tell(plane_three, "up", second(at), gap);
    EXPECT_EQ(spans_of(tracks, plane_three), (std::vector<Span>{{second(0), second(4), "up"}}));
    EXPECT_TRUE(tracks.shown().front().open);
}

TEST(tracks, leave_open_when_a_state_changed_between_two_looks) {
    Tracks tracks(100);
    tracks.tell(plane_three, "up", second(0), gap);
    tracks.tell(plane_three, "up", second(2), gap);
    tracks.tell(plane_three, "down", second(4), gap);
    EXPECT_EQ(spans_of(tracks, plane_three),
              (std::vector<Span>{{second(0), second(2), "up"}, {second(4), second(4), "down"}}));
}

TEST(tracks, never_bridge_a_gap_though_both_sides_agree) {
    Tracks tracks(100);
    tracks.tell(plane_three, "up", second(0), gap);
    tracks.tell(plane_three, "up", second(10), gap); // the longest that is none
    tracks.tell(plane_three, "up", second(21), gap);
    EXPECT_EQ(spans_of(tracks, plane_three),
              (std::vector<Span>{{second(0), second(10), "up"}, {second(21), second(21), "up"}}));
}

TEST(tracks, end_where_they_were_told_last) {
    Tracks tracks(100);
    tracks.tell(plane_three, "up", second(0), gap);
    tracks.tell(plane_four, "up", second(0), gap);
    tracks.end(plane_three);
    tracks.tell(plane_three, "up", second(2), gap);
    EXPECT_EQ(spans_of(tracks, plane_three).size(), 2U);
    tracks.end(plane_four);
    EXPECT_TRUE(tracks.shown().at(0).open);
    EXPECT_FALSE(tracks.shown().at(1).open);
}

TEST(tracks, keep_the_newest_spans_and_tell_from_when_on_none_is_missing) {
    Tracks tracks(3);
    EXPECT_FALSE(tracks.dropped_until());
    tracks.tell(plane_four, "up", second(0), gap);
    tracks.end(plane_four);
    for (int at = 1; at <= 5; ++at)
        tracks.tell(plane_three, at % 2 == 0 ? "up" : "down", second(at), gap);
    EXPECT_EQ(spans_of(tracks, plane_four), std::vector<Span>());
    EXPECT_EQ(spans_of(tracks, plane_three).size(), 4U); // three that ended, one that goes on
    EXPECT_EQ(spans_of(tracks, plane_three).front().from, second(2));
    EXPECT_EQ(tracks.dropped_until(), second(1));
}

TEST(tracks, outlive_a_part_that_changes_at_every_look) {
    Tracks tracks(1);
    for (int at = 0; at < 10; ++at)
        tracks.tell(plane_three, at % 2 == 0 ? "up" : "down", second(at), gap);
    EXPECT_EQ(spans_of(tracks, plane_three),
              (std::vector<Span>{{second(8), second(8), "up"}, {second(9), second(9), "down"}}));
}

} // namespace
} // namespace slotwitness::timeline
