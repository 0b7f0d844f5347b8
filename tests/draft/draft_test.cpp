#include <slotwitness/draft/draft.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>

namespace slotwitness::draft {
namespace {

using testing::HasSubstr;
using testing::Not;

std::string drafted(const std::string& text) {
    const std::array samples{Sample{"sample", text}};
    return draft_profile(samples);
}

profiles::Profile parsed(const std::string& toml) {
    auto profile = profiles::parse_profile(toml, "draft.toml");
    if (profile)
        return std::move(*profile);
    for (const state::Problem& problem : profile.error())
        ADD_FAILURE() << state::to_text(problem) << "\n" << toml;
    return {};
}

state::Reading reread(const std::string& text, const std::string& query = "sample") {
    return profiles::read(parsed(drafted(text)), query, text, true);
}

/// The draft reads all of the text.
void expect_reads(const std::string& text, std::size_t rows) {
    const std::string toml = drafted(text);
    const state::Reading reading = profiles::read(parsed(toml), "sample", text, true);
    EXPECT_EQ(reading.rows.size(), rows) << toml << text;
    for (const state::UnreadLine& line : reading.unread)
        ADD_FAILURE() << line.line << ": " << line.text << "\nexpected " << line.expected << "\n"
                      << toml;
}

std::string file_text(const std::filesystem::path& path) {
    std::ifstream in{path, std::ios::binary};
    EXPECT_TRUE(in.is_open()) << path;
    return {std::istreambuf_iterator<char>{in}, {}};
}

struct Fixture {
    const char* name;
    std::size_t rows;
    friend void PrintTo(const Fixture& fixture, std::ostream* out) { *out << fixture.name; }
};
class Healthy : public testing::TestWithParam<Fixture> {};

TEST_P(Healthy, is_wholly_read_by_its_draft) {
    expect_reads(
        file_text(std::string(SLOTWITNESS_FIXTURES "/quillon/healthy/") + GetParam().name + ".txt"),
        GetParam().rows);
}

INSTANTIATE_TEST_SUITE_P(Fixtures, Healthy,
                         testing::Values(Fixture{"alarms", 0}, Fixture{"chassis", 1},
                                         Fixture{"controllers", 2}, Fixture{"module-detail", 1},
                                         Fixture{"modules", 14}, Fixture{"neighbours", 32},
                                         Fixture{"planes", 6}, Fixture{"ports", 32},
                                         Fixture{"sensors", 24}, Fixture{"supplies", 4},
                                         Fixture{"trays", 3}));

TEST(Draft, several_texts_make_one_profile) {
    std::vector<Sample> samples;
    for (const char* name : {"modules", "planes", "trays"})
        samples.push_back({name, file_text(std::string(SLOTWITNESS_FIXTURES "/quillon/healthy/") +
                                           name + ".txt")});
    const profiles::Profile profile = parsed(draft_profile(samples));
    EXPECT_EQ(profile.queries.size(), 3U);
    EXPECT_TRUE(profiles::read(profile, "trays", samples[2].text, true).wholly_read());
}

TEST(Draft, a_word_is_a_comment_to_be_mapped_and_until_then_unknown_with_a_remark) {
    const std::string text = "SLOT  STATE\nFAB1  running\nFAB2  running\nFAB3  dark\n";
    EXPECT_THAT(drafted(text), HasSubstr("# \"running\" = \"oper ?\"\n"));
    EXPECT_THAT(drafted(text), HasSubstr("# \"dark\" = \"oper ?\"\n"));
    const state::Reading reading = reread(text);
    ASSERT_EQ(reading.rows.size(), 3U);
    EXPECT_EQ(reading.rows[0].facts.at(state::Attribute::oper).value,
              state::Value(state::Unknown{}));
    ASSERT_EQ(reading.remarks.size(), 3U);
    EXPECT_THAT(reading.remarks[2].text, HasSubstr("\"dark\""));
}

TEST(Draft, a_mapped_word_counts) {
    std::string toml = drafted("SLOT  STATE\nFAB1  running\nFAB2  running\n");
    const std::string comment = "# \"running\" = \"oper ?\"";
    toml.replace(toml.find(comment), comment.size(), "\"running\" = \"oper enabled\"");
    const state::Reading reading =
        profiles::read(parsed(toml), "sample", "SLOT  STATE\nFAB1  running\n", true);
    ASSERT_EQ(reading.rows.size(), 1U);
    EXPECT_EQ(reading.rows[0].facts.at(state::Attribute::oper).value,
              state::Value(state::OperState::enabled));
    EXPECT_TRUE(reading.remarks.empty());
}

TEST(Draft, a_comment_taken_away_without_a_meaning_is_refused) {
    std::string toml = drafted("SLOT  STATE\nFAB1  running\nFAB2  running\n");
    toml.erase(toml.find("# \"running\""), 2);
    EXPECT_FALSE(profiles::parse_profile(toml, "draft.toml"));
}

TEST(Draft, numbers_that_end_at_one_column_are_right_aligned) {
    const std::string toml = drafted("NAME   SIZE RO TYPE\n"
                                     "vda  274877  0 disk\n"
                                     "zram0     0  0 disk\n");
    EXPECT_THAT(toml, HasSubstr("columns = [\"NAME\", \"SIZE\", \"RO\", \"TYPE\"]"));
    EXPECT_THAT(toml, HasSubstr("right-aligned = [\"SIZE\", \"RO\"]"));
}

TEST(Draft, a_blank_within_a_label_parts_nothing_where_cells_run_through) {
    EXPECT_THAT(drafted("UNIT FILE      STATE\nboot.mount-it  static\nx.mount        masked\n"),
                HasSubstr("columns = [\"UNIT FILE\", \"STATE\"]"));
}

TEST(Draft, a_quantity_is_read_where_its_unit_leaves_no_choice) {
    const std::string toml = drafted("TRAY   SPEED    LOAD\n"
                                     "T1  5400 rpm  1 Gb/s\n"
                                     "T2  5300 rpm  2 Gb/s\n");
    EXPECT_THAT(toml, HasSubstr("attribute = \"speed\""));
    EXPECT_THAT(toml, HasSubstr("capacity or load?"));
    EXPECT_THAT(toml, Not(HasSubstr("attribute = \"load\"")));
}

TEST(Draft, a_bare_prefix_may_be_a_size_as_well_as_a_rate) {
    EXPECT_THAT(drafted("PART  ROOM\nA1    400G\nA2    20G\n"), HasSubstr("a size: text?"));
    EXPECT_THAT(drafted("PORT  RATE\nA1    400 Gb/s\nA2    20 Gb/s\n"),
                HasSubstr("a rate: capacity or load?"));
}

TEST(Draft, paths_and_identifiers_are_no_words_of_a_state) {
    const std::string toml = drafted("SLOT  KEPT-AT    OWNER  STATE      PAIR\n"
                                     "A1    /var/kept  root   up         up/up\n"
                                     "A2    /var/kept  root   not ready  up/down\n"
                                     "A3    var/kept/  root   up         up/up\n"
                                     "A4    a/b/c      guest  up         up/up\n");
    EXPECT_THAT(toml, HasSubstr("[words.state]"));
    EXPECT_THAT(toml, HasSubstr("[words.pair]"));
    EXPECT_THAT(toml, Not(HasSubstr("[words.kept-at]")));
    EXPECT_THAT(toml, Not(HasSubstr("[words.owner]")));
}

TEST(Draft, sensors_may_each_have_a_unit_of_their_own) {
    EXPECT_THAT(drafted("SENSOR     VALUE\ninlet     24.0 C\ndraw    4720.0 W\n"),
                HasSubstr("right-aligned = [\"VALUE\"]"));
    EXPECT_THAT(drafted("SENSOR     VALUE\ninlet     24.0 C\ndraw    4720.0 W\n"),
                HasSubstr("attribute = \"reading\""));
}

TEST(Draft, titles_and_footers_are_passed_over_by_name) {
    const std::string text = "All slots\n\nSLOT  STATE\nFAB1  up\nFAB2  up\n\n2 slots listed.\n";
    expect_reads(text, 2);
    EXPECT_THAT(drafted(text), HasSubstr("pass-over = [\"All slots\"]"));
    EXPECT_THAT(drafted(text), HasSubstr("1*DIGIT %s\" slots listed.\""));
}

TEST(Draft, a_line_amid_the_rows_is_never_passed_over) {
    const std::string text = "SLOT  STATE  SERIAL\nFAB1  up     A1\n"
                             "FAB2 overheated A2\nFAB3  up     A3\nFAB4  up     A4\n"
                             "FAB5  up     A5\nFAB6  up     A6\nFAB7  up     A7\n";
    const std::string toml = drafted(text);
    EXPECT_THAT(toml, Not(HasSubstr("pass-over")));
    const state::Reading reading = profiles::read(parsed(toml), "sample", text, true);
    ASSERT_EQ(reading.unread.size(), 1U) << toml;
    EXPECT_EQ(reading.unread[0].line, 3U);
    EXPECT_THAT(toml, HasSubstr("the first is line 3"));
}

TEST(Draft, boxes_records_and_json_are_found) {
    expect_reads("+------+-------+\n| SLOT | STATE |\n+------+-------+\n| FAB1 | up    |\n"
                 "| FAB2 | down  |\n+------+-------+\n",
                 2);
    expect_reads("Serial ..... 1\nState ...... up\n", 1);
    expect_reads("name=a\nstate=up\n\nname=b\nstate=down\n", 2);
    expect_reads("Name: a  State: up\n\nName: b  State: down\n", 2);
    expect_reads("Frame: a\nPower:\n  Rail A: 3 V\n  Rails:\n    - x\n    - y\n", 1);
    expect_reads(R"({"at":1,"slots":[{"name":"a","on":true,"in":{"x":1}},{"name":"b"}]})", 2);
    expect_reads(R"({"a":{"on":true},"b":{"on":false}})", 2);
    expect_reads(R"({"serial":"x","on":true})", 1);
}

TEST(Draft, no_command_that_a_device_knows_is_made_up) {
    const profiles::Profile profile = parsed(drafted("SLOT  STATE\nFAB1  up\n"));
    EXPECT_EQ(profiles::request_bytes(profile, {"sample", {}}), "not-written-yet");
}

TEST(Draft, any_text_gives_a_profile) {
    for (const std::string text :
         {"", "\n\n", "x", "\xff\xfe: \"\\", "A A\n- -\n", "\x1b[31mred\x1b[0m\n"})
        static_cast<void>(parsed(drafted(text)));
}

/// Programs of this machine as devices.
struct Live {
    const char* name;
    const char* command;
    friend void PrintTo(const Live& live, std::ostream* out) { *out << live.name; }
};
class LiveText : public testing::TestWithParam<Live> {};

TEST_P(LiveText, is_wholly_read_by_its_draft) {
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(
        ::popen((std::string(GetParam().command) + " 2>/dev/null").c_str(), "r"), &::pclose);
    ASSERT_TRUE(pipe);
    std::string text;
    for (int byte = std::fgetc(pipe.get()); byte != EOF; byte = std::fgetc(pipe.get()))
        text += static_cast<char>(byte);
    if (text.empty())
        GTEST_SKIP() << "this machine answers nothing to " << GetParam().command;
    const state::Reading reading = reread(text);
    EXPECT_FALSE(reading.rows.empty()) << drafted(text);
    for (const state::UnreadLine& line : reading.unread)
        ADD_FAILURE() << line.line << ": " << line.text << "\nexpected " << line.expected << "\n"
                      << drafted(text);
}

INSTANTIATE_TEST_SUITE_P(
    Linux, LiveText,
    testing::Values(Live{"lsblk", "lsblk -l -b -o NAME,FSTYPE,SIZE,RO,TYPE,MAJ:MIN"},
                    Live{"lsblk_json", "lsblk --json -b -o NAME,FSTYPE,SIZE,RO,TYPE"},
                    Live{"lscpu", "lscpu"}, Live{"links", "ip -br link"}, Live{"lsns", "lsns"},
                    Live{"unit_files", "systemctl list-unit-files --full --no-pager"}),
    [](const auto& info) { return std::string(info.param.name); });

TEST(Draft, of_a_text_with_tabs_gives_them_a_width) {
    const std::string text = "Settings for port7:\n\tSpeed: 1000Mb/s\n\tLink detected: yes\n";
    EXPECT_THAT(drafted(text), HasSubstr("[terminal]\ntab-width = 8"));
    EXPECT_THAT(drafted(text), Not(HasSubstr("u0009")));
    EXPECT_THAT(drafted("Speed: 1000Mb/s\n"), Not(HasSubstr("tab-width")));
    expect_reads(text, 1);
}

TEST(Draft, of_a_heading_with_a_colon_takes_its_last_word_for_the_name) {
    const std::string text = "Settings for port7:\n    Speed: 1000Mb/s\n    Link detected: yes\n";
    expect_reads(text, 1);
    EXPECT_EQ(reread(text).rows.at(0).name, "port7");
    EXPECT_EQ(reread("Port port7\n    Speed: 1000Mb/s\n    Lane: up\n").rows.at(0).name, "port7");
}

} // namespace
} // namespace slotwitness::draft
