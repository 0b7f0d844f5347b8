#include "bench.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// Is the spare among the parts that fit?
namespace slotwitness::ready::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(ReadySpare, a_part_that_is_not_listed_holds_the_work_up) {
    Bench bench;
    bench.arguments["spare-part"] = "QF-32-9";
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up), ElementsAre(HasSubstr("spare: QF-32-9")));
    const Finding finding = about(report, "spare");
    EXPECT_THAT(finding.says, HasSubstr("by parts list 12-7: QF-32-2 revision R3, R4"));
    EXPECT_THAT(finding.remedy, HasSubstr("Fit no other"));
}

TEST(ReadySpare, another_revision_is_advice) {
    Bench bench;
    bench.arguments["spare-revision"] = "R7";
    const Finding finding = about(bench.check(), "spare");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.remedy, HasSubstr("who keeps that list"));
}

TEST(ReadySpare, that_nobody_states_what_fits_is_advice) {
    Bench bench;
    bench.rewrite_procedure("[compatibility]\ndocument = \"parts list 12-7\"\n"
                            "part     = \"spare-part\"\nrevision = \"spare-revision\"\n"
                            "[[compatibility.fits]]\npart      = \"QF-32-2\"\n"
                            "revisions = [\"R3\", \"R4\"]\n",
                            "");
    bench.rewrite_procedure("Unpack the spare <spare>",
                            "Unpack the spare <spare> <spare-part> <spare-revision>");
    const Finding finding = about(bench.check(), "spare");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.says, HasSubstr("not known whether it fits"));
}

TEST(ReadySpare, what_is_only_reseated_needs_none) {
    Bench bench("reseat-fabric-module");
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up), IsEmpty());
    for (const Finding& finding : report.findings)
        EXPECT_NE(finding.about, "spare");
}

} // namespace
} // namespace slotwitness::ready::test
