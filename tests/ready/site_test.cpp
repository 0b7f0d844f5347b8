#include "bench.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// The machine that is to watch.
namespace slotwitness::ready::test {
namespace {

using testing::HasSubstr;

TEST(ReadySite, a_journal_that_cannot_be_kept_holds_the_work_up) {
    Bench bench;
    bench.site.journal_trouble = "there is no folder /nowhere";
    const Finding finding = about(bench.check(), "journal");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("/nowhere"));
    EXPECT_THAT(finding.remedy, HasSubstr("what cannot be recorded never passes"));
}

TEST(ReadySite, a_clock_that_may_be_wrong_is_advice) {
    Bench bench;
    bench.site.clock_synchronised = false;
    EXPECT_EQ(about(bench.check(), "clock").weight, Weight::advice);
}

TEST(ReadySite, a_procedure_that_the_daemon_cannot_open_is_told) {
    Bench bench;
    bench.site.listed = Site::Listed::no;
    EXPECT_EQ(about(bench.check(), "procedure").weight, Weight::advice);
    bench.site.listed = Site::Listed::other_text;
    const Finding finding = about(bench.check(), "procedure");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("another text"));
}

TEST(ReadySite, whatever_holds_up_or_advises_says_what_to_do) {
    Bench bench;
    bench.site = {"full", false, Site::Listed::no};
    bench.serial.reset();
    bench.peak_load.reset();
    bench.arguments["module"] = "FAB9";
    bench.arguments["spare-part"] = "none";
    bench.order("fault garble");
    for (const Finding& finding : bench.check().findings)
        EXPECT_EQ(finding.remedy.empty(), finding.weight == Weight::as_needed) << finding.about;
}

} // namespace
} // namespace slotwitness::ready::test
