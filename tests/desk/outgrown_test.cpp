#include "health_check.hpp"

#include <slotwitness/desk/outgrown.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

// The profile is changed while the daemon is down: what is open was planned by the former one.
namespace slotwitness::desk {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using twins::BenchDesk;
using twins::Folder;
using twins::tell_planes;
using units::Duration;
using witness::Verdict;

constexpr Duration a_while{2'000};

using Change = std::function<void(profiles::Profile&)>;

void change_profile(ChassisSettings& settings, const Change& change) {
    auto profile = std::make_shared<profiles::Profile>(*settings.profile);
    change(*profile);
    settings.profile = std::move(profile);
}
void let_answers_be(Duration old, profiles::Profile& profile) {
    profile.queries.at("planes").refresh = old;
}
void make_planes_unknown(profiles::Profile& profile) {
    profile.queries.erase("planes");
}

class ChangedProfile : public testing::Test {
  protected:
    /// Opened by the fixture's profile, and judged after a restart by a changed one.
    witness::GateFinding judged_after(const Change& change) {
        const std::string shut = tell_planes({{"1"}, {"2"}, {"3", "released", "dark"}});
        std::string id;
        {
            BenchDesk bench(journal_);
            bench.begin();
            id = bench.open("plane 3 shut for 10 s within 1 min")->finding.id;
        }
        BenchDesk again(journal_);
        change_profile(again.settings, change);
        again.device->answer("tell planes", shut);
        again.begin();
        again.advance_until(a_while,
                            [&] { return again.gate(id).finding.verdict != Verdict::pending; });
        return again.gate(id).finding;
    }

    Folder folder_;
    std::string journal_ = folder_.file("journal");
};

TEST_F(ChangedProfile, whose_answers_may_be_older_confirms_nothing_that_was_opened_before) {
    const auto finding =
        judged_after([](profiles::Profile& now) { let_answers_be(Duration(600'000), now); });
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.failure, witness::Failure::not_seen);
    EXPECT_THAT(finding.because.text, HasSubstr("the profile was changed since gate"));
    EXPECT_THAT(finding.because.text, HasSubstr("Give the former profile back"));
}

TEST_F(ChangedProfile, whose_answers_are_as_new_or_newer_goes_on) {
    EXPECT_EQ(
        judged_after([](profiles::Profile& now) { let_answers_be(Duration(0), now); }).verdict,
        Verdict::pass);
}

TEST_F(ChangedProfile, is_weighed_against_all_that_a_procedure_asks) {
    BenchDesk bench(journal_);
    twins::begin_with_health_check(bench);
    auto opening = bench.desk().open_procedure(twins::health_check_of("edge-7"));
    const auto opened = bench.await(std::move(opening));
    ASSERT_TRUE(opened) << state::to_text(opened.error().problem);
    replay::Recovered past;
    past.procedures.push_back(opened->record);
    EXPECT_THAT(outgrown(bench.settings, past), IsEmpty());

    for (const Change& change :
         {Change{[](profiles::Profile& now) { let_answers_be(Duration(600'000), now); }},
          Change{make_planes_unknown}}) {
        ChassisSettings changed = bench.settings;
        change_profile(changed, change);
        EXPECT_THAT(outgrown(changed, past), HasSubstr("since procedure"));
    }
    past.procedures.back().finding.phase = witness::Phase::closed;
    ChassisSettings changed = bench.settings;
    change_profile(changed, make_planes_unknown);
    EXPECT_THAT(outgrown(changed, past), IsEmpty());
}

} // namespace
} // namespace slotwitness::desk
