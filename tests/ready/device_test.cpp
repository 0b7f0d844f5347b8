#include "bench.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// Is it the chassis that was meant, with software that the profile was tried with?
namespace slotwitness::ready::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(ReadyDevice, another_chassis_holds_the_work_up_and_nothing_else_of_it_counts) {
    Bench bench;
    bench.serial = "QL49999999";
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up),
                ElementsAre(HasSubstr("reports QL40000017, and QL49999999 is configured")));
    EXPECT_THAT(report.now, IsEmpty());
    for (const Finding& finding : report.findings)
        EXPECT_NE(finding.about, "queries");
    EXPECT_THAT(about(report, "chassis serial").remedy, HasSubstr("label on the chassis"));
}

TEST(ReadyDevice, a_serial_that_nobody_states_is_advice) {
    Bench bench;
    bench.serial.reset();
    const Finding finding = about(bench.check(), "chassis serial");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.says, HasSubstr("the device reports QL40000017"));
}

TEST(ReadyDevice, a_serial_that_the_profile_does_not_read_is_advice) {
    Bench bench;
    bench.rewrite_profile("identity = \"chassis\"", "#");
    EXPECT_EQ(about(bench.check(), "chassis serial").weight, Weight::advice);
}

TEST(ReadyDevice, a_serial_that_is_not_told_holds_the_work_up) {
    Bench bench;
    bench.answer("tell chassis", "Chassis quillon\n");
    const Finding finding = about(bench.check(), "chassis serial");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("not known"));
}

TEST(ReadyDevice, software_that_the_profile_was_not_tried_with_holds_the_work_up) {
    Bench bench;
    bench.rewrite_profile("from = \"Quillon 7.2\"", "from = \"Quillon 7.2.5\"");
    const Report report = bench.check();
    EXPECT_EQ(report.count(Weight::holds_up), 1U) << "and not each sentence for the same reason";
    const Finding finding = about(report, "software");
    EXPECT_THAT(finding.says, HasSubstr("only proven for software Quillon 7.2.5 to Quillon 7.3"));
    EXPECT_THAT(finding.remedy, HasSubstr("no gate passes"));
    bench.allow_unproven = {"Quillon 7.2.1"};
    EXPECT_EQ(about(bench.check(), "software").weight, Weight::as_needed);
}

TEST(ReadyDevice, a_profile_that_does_not_say_what_it_was_tried_with_is_advice) {
    Bench bench;
    bench.rewrite_profile("[proven-for]\nquery = \"chassis\"\nfrom = \"Quillon 7.2\"\n"
                          "to = \"Quillon 7.3\"\n",
                          "");
    const Finding finding = about(bench.check(), "software");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.says, HasSubstr("not known"));
}

TEST(ReadyDevice, software_that_was_not_told_holds_the_work_up) {
    Bench bench;
    bench.spoil = [](Look& look) {
        for (Tried& tried : look.tried)
            if (tried.asking == "chassis")
                tried.came = witness::Silent{"chassis", witness::NoAnswer::refused, "refused"};
    };
    EXPECT_EQ(about(bench.check(), "software").weight, Weight::holds_up);
}

} // namespace
} // namespace slotwitness::ready::test
