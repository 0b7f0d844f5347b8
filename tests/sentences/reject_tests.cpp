#include <slotwitness/sentences/sentence.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

namespace slotwitness::sentences {
namespace {

struct Rejected {
    std::string_view text;
    std::size_t column;
    std::string_view found;
    std::string_view expected; ///< the whole text, or with "…" in the end its beginning
    std::string_view remedy;   ///< contained in the remedy
};

constexpr std::string_view state_expected = "a state (up, operational, …";
constexpr std::string_view condition_expected = "a condition: a kind (chassis, controller, …";
constexpr std::string_view kind_expected = "a kind (chassis, controller, module, plane, fan-tray, "
                                           "power-supply, port, neighbour, sensor, alarm)";
constexpr std::string_view end_expected = "\"and\", \"or\", \"for\", \"within\" or the end";

constexpr auto rejected = std::to_array<Rejected>({
    // conditions
    {"", 1, "end of text", condition_expected, "\"plane 3 shut\""},
    {"   ", 4, "end of text", condition_expected, "\"plane 3 shut\""},
    {"plan 3 up", 1, "plan", condition_expected, "did you mean \"plane\"?"},
    {"Plane 3 up", 1, "Plane", condition_expected, "did you mean \"plane\"?"},
    {"plane3 up", 1, "plane3", condition_expected, "did you mean \"plane\"?"},
    {"evrey plane up", 1, "evrey", condition_expected, "did you mean \"every\"?"},
    {"plane 3 up and", 15, "end of text", condition_expected, "\"plane 3 shut\""},
    {"plane 3 up and or plane 4 up", 16, "or", condition_expected, "begin with what to look at"},
    {"plane 3 up and for 10 s", 16, "for", condition_expected, "begin with what to look at"},
    {"not", 4, "end of text", condition_expected, "begin with what to look at"},
    {"()", 2, ")", condition_expected, "begin with what to look at"},
    {"every plan up", 7, "plan", kind_expected, "did you mean \"plane\"?"},
    {"every fantray up", 7, "fantray", kind_expected, "did you mean \"fan-tray\"?"},
    {"every power up", 7, "power", kind_expected, "did you mean \"power-supply\"?"},
    {"at most 1 modules up", 11, "modules", kind_expected, "did you mean \"module\"?"},
    {"every 3 up", 7, "3", kind_expected, "\"every plane up\""},
    // names
    {"plane", 6, "end of text", "a name", "\"plane 3\""},
    {"plane up", 7, "up", "a name", "in double quotes, as in \"up\""},
    {"plane for 10 s", 7, "for", "a name", "in double quotes, as in \"for\""},
    {"plane ü up", 7, "ü", "a name", "as the device lists it"},
    {"module \"\" up", 9, "\"", "a name", "between the double quotes"},
    {"module \"FAB3 up", 16, "end of text", "the rest of a name and its closing double quote",
     "close the name"},
    {"module \"a\\n\" up", 11, "n", "a double quote or a backslash", "\\\\ for a backslash"},
    {"every plane except up", 20, "up", "a name", "in double quotes"},
    {"every plane except 3, up", 23, "up", "a name", "in double quotes"},
    {"every plane except 3,, 4 up", 22, ",", "a name", "as the device lists it"},
    // predicates
    {"plane 3", 8, "end of text", state_expected, "\"plane 3 shut\""},
    {"plane 3 and plane 4 up", 9, "and", state_expected, "\"plane 3 shut\""},
    {"plane 3 opertional", 9, "opertional", state_expected, "did you mean \"operational\"?"},
    {"plane 3 not", 12, "end of text", state_expected, "not to be so"},
    {"plane 3 not not up", 13, "not", state_expected, "not to be so"},
    {"plane 3 is up", 9, "is", state_expected, ""},
    {"every plane not up", 13, "not", "a state without \"not\"", "\"at most 0 plane up\""},
    {"every plane up except 3", 16, "except", end_expected, "join a further condition"},
    {"module FAB3 admin lock", 19, "lock", "locked, unlocked, shutting-down or unknown",
     "did you mean \"locked\"?"},
    {"module FAB3 oper enable", 18, "enable", "enabled, disabled, testing or unknown",
     "did you mean \"enabled\"?"},
    {"module FAB3 usage none", 19, "none", "idle, active, busy or unknown", "\"usage idle\""},
    {"module FAB3 standby hot", 21, "hot",
     "hot-standby, cold-standby, providing-service or unknown", "did you mean \"hot-standby\"?"},
    {"module FAB3 alarm bad", 19, "bad",
     "under-repair, critical, major, minor, warning, indeterminate or unknown", "\"alarm major\""},
    {"alarm 17 severity", 18, "end of text",
     "critical, major, minor, warning, indeterminate or cleared", "\"severity major\""},
    {"sensor inlet sensor-status good", 28, "good", "ok, unavailable or nonoperational",
     "\"sensor-status ok\""},
    {"sensor inlet under 45 C", 14, "under", state_expected, "\"plane 3 shut\""},
    {"sensor inlet below", 19, "end of text", "a number with its unit", "\"below 45 C\""},
    {"sensor inlet below hot", 20, "hot", "a number with its unit", "\"below 45 C\""},
    {"sensor inlet below 45", 22, "end of text", "a unit (C, W, V, …", "\"45 C\""},
    {"sensor inlet below 45 and plane 3 up", 23, "and", "a unit (C, W, V, …", "\"45 C\""},
    {"sensor inlet below 45 F", 23, "F", "a unit (C, W, V, …", "\"45 C\""},
    {"sensor inlet below 4444444444444444444444 C", 20, "4444444444444444444444",
     "a number of at most 18 digits", "round the limit"},
    {"sensor inlet at 45 C", 17, "45", "\"most\" or \"least\"", "\"at most\" or \"at least\""},
    // groups and counts
    {"every plane served module FAB3 up", 20, "module", "\"by module\" and its name",
     "served by module FAB3"},
    {"every plane served by fan-tray T1 up", 20, "by", "\"by module\" and its name",
     "served by module FAB3"},
    {"every port served by module FAB3 up", 12, "served", state_expected, "modules serve planes"},
    {"every module served by module FAB3 up", 14, "served", state_expected, "modules serve planes"},
    {"every plane covered by fan-tray T1 up", 13, "covered", state_expected,
     "fan trays cover modules"},
    {"every module covered by module X up", 22, "by", "\"by fan-tray\" and its name",
     "covered by fan-tray TRAY1"},
    {"at moost 1 module up", 4, "moost", "\"most\" or \"least\"", "did you mean \"most\"?"},
    {"at most one module up", 9, "one", "a whole number", "say how many"},
    {"at most 1.5 module up", 9, "1.5", "a whole number", "say how many"},
    {"at most 4294967296 module up", 9, "4294967296", "a whole number below 4294967296",
     "say how many"},
    {"at least 0 module up", 10, "0", "a number above 0", "is always so"},
    // alarms
    {"no module degraded", 4, "module", "\"alarm\" or \"new alarm\"",
     "\"at most 0 module degraded\""},
    {"no alarm at major", 13, "major", "\"or above\" and a severity",
     "\"no alarm at or above major\""},
    {"no alarm at or above cleared", 22, "cleared",
     "critical, major, minor, warning or indeterminate", "the least severity that counts"},
    {"no new module", 8, "module", "\"alarm\"", "\"no new alarm since baseline\""},
    {"no new alarm", 13, "end of text", "\"since baseline\"", "\"no new alarm since baseline\""},
    // comparisons and capacity
    {"module FAB3 serial", 19, "end of text", "\"differs from baseline\" or \"as in baseline\"",
     "serial differs from baseline"},
    {"module FAB3 serial differs", 27, "end of text", "\"from baseline\"", "differs from baseline"},
    {"module FAB3 serial as baseline", 23, "baseline", "\"in baseline\"", "as in baseline"},
    {"module FAB3 serial as in yesterday", 26, "yesterday", "\"baseline\"", "only the baseline"},
    {"every port up in baseline", 26, "end of text", "\"is\" and a state",
     "\"every port up in baseline is up\""},
    {"every port up in baseline is", 29, "end of text", state_expected, "\"plane 3 shut\""},
    {"port eth1 up in baseline is up", 14, "in", end_expected, "join a further condition"},
    {"errors plane 3 not rising", 8, "plane", "\"of\"", "errors of plane 3"},
    {"errors of 3 not rising", 11, "3", "a kind (chassis, …", "say whose errors"},
    {"errors of plane 3 rising", 19, "rising", "\"not rising\"", "errors of plane 3 not rising"},
    {"capacity with plane 3", 10, "with", "\"without\"", "capacity without plane 3"},
    {"capacity without port eth1", 18, "port", "\"plane\", \"module\" or \"every\"",
     "say what will be missing"},
    {"capacity without every port covers load with 20 % margin", 24, "port",
     "\"plane\" or \"module\"", "which planes or modules"},
    {"capacity without plane 3 cover load", 26, "cover", "\"covers load\"",
     "did you mean \"covers\"?"},
    {"capacity without plane 3 covers all", 33, "all", "\"load\"", "covers load"},
    {"capacity without plane 3 covers load", 37, "end of text", "\"with\" and a margin",
     "\"with 20 % margin\""},
    {"capacity without plane 3 covers load with -5 % margin", 43, "-5", "a percentage",
     "\"with 20 % margin\""},
    {"capacity without plane 3 covers load with 20 margin", 46, "margin", "\"%\"", "in percent"},
    {"capacity without plane 3 covers load with 20 %", 47, "end of text", "\"margin\"",
     "\"with 20 % margin\""},
    // connectives and the end
    {"plane 3 up plane 4 up", 12, "plane", end_expected, "join a further condition"},
    {"plane 3 up wihtin 5 min", 12, "wihtin", end_expected, "did you mean \"within\"?"},
    {"plane 3 up adn plane 4 up", 12, "adn", end_expected, "did you mean \"and\"?"},
    {"plane 3 up)", 11, ")", end_expected, "join a further condition"},
    {"plane 3 up ü", 12, "ü", end_expected, "join a further condition"},
    {"(plane 3 up", 12, "end of text", "\"and\", \"or\" or \")\"", "close the parenthesis"},
    {"(plane 3 up for 10 s)", 13, "for", "\"and\", \"or\" or \")\"",
     "at the end of the whole sentence"},
    {"plane 3 up for 10 s and plane 4 up", 21, "and", "\"within\" or the end", "once each"},
    {"plane 3 up for 10 s for 20 s", 21, "for", "\"within\" or the end", "once each"},
    {"plane 3 up within 5 min within 6 min", 25, "within", "\"for\" or the end", "once each"},
    {"plane 3 up for 10 s within 5 min for 5 s", 34, "for", "the end", "once each"},
    // durations
    {"plane 3 up for", 15, "end of text", "a duration", "\"10 s\""},
    {"plane 3 up for ten s", 16, "ten", "a duration", "\"10 s\""},
    {"plane 3 up for -5 s", 16, "-5", "a duration", "\"10 s\""},
    {"plane 3 up for 10", 18, "end of text", "ms, s, min, h or d", "each with its unit"},
    {"plane 3 up for 10 sec", 19, "sec", "ms, s, min, h or d", "each with its unit"},
    {"plane 3 up for 5 m", 18, "m", "ms, s, min, h or d", "each with its unit"},
    {"plane 3 up for 1.5 h", 17, ".5", "ms, s, min, h or d", "whole numbers"},
    {"plane 3 up for 30 min 1 h", 25, "h", "a smaller unit than the one before",
     "larger unit first"},
    {"plane 3 up for 1 s 1 s", 22, "s", "a smaller unit than the one before", "each unit once"},
    {"plane 3 up for 0 s", 16, "0 s", "a duration above 0", "leave \"for\" or \"within\" out"},
    {"plane 3 up within 0 h 0 min", 19, "0 h 0 min", "a duration above 0", "\"10 s\""},
    {"plane 3 up within 366 d 1 ms", 19, "366 d 1 ms", "at most 366 d", "shorten"},
    {"plane 3 up for 99999999999999999999 d", 16, "99999999999999999999 d", "at most 366 d",
     "shorten"},
    {"plane 3 up for 5 min within 10 s", 29, "10 s", "a deadline longer than the hold",
     "for 10 s within 5 min"},
    {"plane 3 up for 10 s within 10 s", 28, "10 s", "a deadline longer than the hold",
     "for 10 s within 5 min"},
    {"plane 3 up within 10 s for 5 min", 28, "5 min", "a hold shorter than the deadline",
     "for 10 s within 5 min"},
    // bytes that no sentence has
    {"plane 3\tup", 8, "byte 0x09", state_expected, "without control characters"},
    {"plane 3 up\n", 11, "byte 0x0a", end_expected, "without control characters"},
    {"plane \x1b[31m3 up", 7, "byte 0x1b", "a name", "without control characters"},
    {std::string_view{"plane 3\0 up", 11}, 8, "byte 0x00", state_expected,
     "without control characters"},
    {"module \"a\x7f\" up", 10, "byte 0x7f", "the rest of a name and its closing double quote",
     "without control characters"},
    {"module \"a\xff\" up", 10, "byte 0xff", "the rest of a name and its closing double quote",
     "in UTF-8"},
    {"module \"\xc0\xaf\" up", 9, "byte 0xc0", "the rest of a name and its closing double quote",
     "in UTF-8"},
    {"module \"\xed\xa0\x80\" up", 9, "byte 0xed",
     "the rest of a name and its closing double quote", "in UTF-8"},
    {"module \"a\xc2\x85\" up", 10, "byte 0xc2", "the rest of a name and its closing double quote",
     "without control characters"},
});

TEST(parse, says_where_what_stands_there_what_may_and_what_to_do) {
    for (const Rejected& row : rejected) {
        const auto sentence = parse(row.text);
        ASSERT_FALSE(sentence) << row.text << " was read as " << to_text(*sentence);
        const state::Problem& problem = sentence.error();
        EXPECT_EQ(problem.where, "sentence");
        EXPECT_EQ(problem.at, (state::Position{1, row.column})) << row.text;
        EXPECT_EQ(problem.found, row.found) << row.text;
        const std::size_t given = row.expected.find("…");
        EXPECT_EQ(std::string_view{problem.expected}.substr(0, given),
                  row.expected.substr(0, given))
            << row.text;
        EXPECT_THAT(problem.remedy, testing::HasSubstr(row.remedy)) << row.text;
        EXPECT_FALSE(problem.remedy.empty()) << row.text;
    }
}

} // namespace
} // namespace slotwitness::sentences
