#include <slotwitness/desk/desk.hpp>

#include <gtest/gtest.h>

namespace slotwitness::desk {
namespace {

using units::Duration;
using units::Instant;

Instant at(std::int64_t ms) {
    return Instant(Duration(ms));
}

GateView passed(witness::Standing standing) {
    GateView view;
    view.revision = 6;
    view.finding.verdict = witness::Verdict::pass;
    view.finding.standing = standing;
    view.finding.truth = witness::Truth::yes;
    view.finding.last_look = witness::Look{at(900), at(1'000)};
    view.finding.valid_until = at(5'000);
    return view;
}

TEST(AsOf, until_its_end_a_view_stands_as_it_is) {
    const GateView view = as_of(passed(witness::Standing::met), at(5'000));
    EXPECT_EQ(view.finding.standing, witness::Standing::met);
    EXPECT_EQ(view.revision, 6u);
}

TEST(AsOf, a_millisecond_later_it_is_unseen_and_the_revision_has_moved) {
    const GateView view = as_of(passed(witness::Standing::met), at(5'001));
    EXPECT_EQ(view.finding.standing, witness::Standing::unseen);
    EXPECT_EQ(view.finding.truth, witness::Truth::unknown);
    EXPECT_EQ(view.finding.verdict, witness::Verdict::pass);
    EXPECT_NE(view.revision, 6u);
    EXPECT_NE(view.finding.because.text.find("1970-01-01T00:00:01.000Z"), std::string::npos);
}

TEST(AsOf, silence_does_not_take_an_alarm_back) {
    EXPECT_EQ(as_of(passed(witness::Standing::lost), at(9'000)).finding.standing,
              witness::Standing::lost);
}

TEST(AsOf, a_retired_gate_stays_as_it_was) {
    GateView view = passed(witness::Standing::met);
    view.finding.retired = true;
    EXPECT_EQ(as_of(view, at(9'000)).finding.truth, witness::Truth::yes);
}

TEST(AsOf, a_pending_gate_that_was_true_is_unknown) {
    GateView view = passed(witness::Standing::met);
    view.finding.verdict = witness::Verdict::pending;
    view.finding.standing.reset();
    EXPECT_EQ(as_of(view, at(5'001)).finding.truth, witness::Truth::unknown);
}

TEST(Shown, until_its_end_it_is_one_view_and_from_then_on_another) {
    const Snapshot snapshot(passed(witness::Standing::met));
    const auto before = snapshot.at(at(5'000));
    EXPECT_EQ(before->finding.standing, witness::Standing::met);
    EXPECT_EQ(snapshot.at(at(1'000)), before);
    const auto after = snapshot.at(at(5'001));
    EXPECT_EQ(after->finding.standing, witness::Standing::unseen);
    EXPECT_EQ(snapshot.at(at(9'000)), after);
}

TEST(Shown, what_is_made_of_a_view_is_made_once_and_anew_of_the_next) {
    Snapshot snapshot(passed(witness::Standing::met));
    int made = 0;
    const auto revision = [&](const GateView& view) {
        ++made;
        return std::to_string(view.revision);
    };
    EXPECT_EQ(snapshot.at(at(1'000))->once(revision), "6");
    EXPECT_EQ(snapshot.at(at(2'000))->once(revision), "6");
    EXPECT_EQ(made, 1);
    EXPECT_EQ(snapshot.at(at(6'000))->once(revision), "7") << "its confidence has run out";
    snapshot.change([](GateView& view) {
        view.revision = 8;
        view.finding.valid_until = at(7'000);
    });
    EXPECT_EQ(snapshot.at(at(6'000))->once(revision), "8");
    EXPECT_EQ(snapshot.at(at(8'000))->once(revision), "9");
}

TEST(Shown, whoever_has_a_view_keeps_it_as_it_was) {
    Snapshot snapshot(passed(witness::Standing::met));
    const auto before = snapshot.at(at(1'000));
    snapshot.change([](GateView& view) { view.finding.standing = witness::Standing::lost; });
    EXPECT_EQ(before->finding.standing, witness::Standing::met);
    EXPECT_EQ(snapshot.at(at(1'000))->finding.standing, witness::Standing::lost);
}

} // namespace
} // namespace slotwitness::desk
