#include "../../daemon/program/progress.hpp"

#include <gmock/gmock.h>

#include <sstream>

namespace slotwitness::program {
namespace {

using std::chrono::milliseconds;
using testing::HasSubstr;
using testing::Not;

units::Instant at(std::int64_t seconds) {
    return units::Instant(
        milliseconds(1'795'608'000'000 + seconds * 1'000)); // 2026-11-25T12:00:00Z
}

/// Three of ten seconds held, seen last at 3 s, until a minute.
witness::GateFinding pending() {
    witness::GateFinding finding;
    finding.opened = at(0);
    finding.deadline = at(60);
    finding.truth = witness::Truth::yes;
    finding.last_look = witness::Look{at(2), at(3)};
    finding.held = milliseconds(3'000);
    finding.needs = milliseconds(10'000);
    finding.because.text = "The device reports module FAB3: admin locked.";
    return finding;
}

TEST(progress, tells_looks_seen_time_held_and_time_left) {
    Progress progress;
    EXPECT_EQ(progress.line(pending()),
              "2026-11-25T12:00:03.000Z  pending  true  look 1  held 3 s of 10 s  left 57 s  "
              "The device reports module FAB3: admin locked.");
}

TEST(progress, counts_a_look_once) {
    Progress progress;
    witness::GateFinding finding = pending();
    finding.last_look.reset();
    EXPECT_THAT(progress.line(finding), HasSubstr("  look 0  "));
    EXPECT_THAT(progress.line(pending()), HasSubstr("  look 1  "));
    EXPECT_THAT(progress.line(pending()), HasSubstr("  look 1  "));
    finding.last_look = witness::Look{at(4), at(5)};
    EXPECT_THAT(progress.line(finding), HasSubstr("  look 2  "));
}

TEST(progress, has_nothing_left_once_decided_or_without_a_deadline) {
    witness::GateFinding finding = pending();
    finding.deadline.reset();
    EXPECT_THAT(Progress().line(finding), Not(HasSubstr("left")));
    finding = pending();
    finding.verdict = witness::Verdict::fail;
    finding.failure = witness::Failure::seen_false;
    EXPECT_THAT(Progress().line(finding), HasSubstr("fail (seen false)  true"));
    EXPECT_THAT(Progress().line(finding), Not(HasSubstr("left")));
    finding = pending();
    finding.last_look = witness::Look{at(61), at(62)};
    EXPECT_THAT(Progress().line(finding), HasSubstr("left 0 s"));
}

TEST(progress, is_written_over_on_a_terminal_until_something_is_new) {
    std::ostringstream out;
    Shown shown(out, 8);
    witness::GateFinding finding = pending();
    shown.show(finding, "first line");
    shown.show(finding, "the second");
    finding.truth = witness::Truth::no;
    shown.show(finding, "not so now");
    EXPECT_EQ(out.str(), "\x1b[Jfirst\nline\n\x1b[Jthe sec…\r\x1b[Jnot so\nnow\n");
}

TEST(progress, is_a_line_each_where_there_is_no_terminal) {
    std::ostringstream out;
    Shown shown(out, 0);
    shown.show(pending(), "first line");
    shown.show(pending(), "the second");
    EXPECT_EQ(out.str(), "first line\nthe second\n");
}

// What a device prints must not move a terminal's cursor, or colour a word.
TEST(progress, shows_the_device_s_text_and_never_obeys_it) {
    witness::GateFinding finding = pending();
    finding.because.text = "reports \x1b[2J";
    EXPECT_THAT(Progress().line(finding), Not(HasSubstr("\x1b")));
    witness::Because because;
    because.cites.push_back({"modules", "", {7, 1}, "FAB3 \x1b[31mrunning\nREV 2"});
    EXPECT_EQ(cited(because), "    modules:7:1  FAB3 \\x1B[31mrunning\n                 REV 2\n");
}

TEST(progress, shows_a_line_once_whatever_rests_on_it) {
    witness::Because because;
    because.cites = {{"planes", "a", {3, 17}, "1  engaged"},
                     {"planes", "a", {3, 31}, "1  engaged"},
                     {"planes", "a", {4, 17}, "2  engaged"},
                     {"planes", "b", {4, 17}, "2  engaged"},
                     {"planes", "b", {0, 0}, ""},
                     {"planes", "b", {0, 0}, ""}};
    EXPECT_EQ(cited(because), "    planes:3  1  engaged\n"
                              "    planes:4:17  2  engaged\n"
                              "    planes:4:17  2  engaged\n"
                              "    planes, the whole answer  \n");
}

} // namespace
} // namespace slotwitness::program
