#include "../twins/folder.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/pack/check.hpp>
#include <slotwitness/pack/pack.hpp>
#include <slotwitness/replay/reread.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

namespace slotwitness::pack {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using Kind = PackError::Kind;

const std::string profile_text = R"([profile]
format = 1
family = "Sample"
[words.state]
up = "oper enabled"
[query.slots]
ask = ["tell", "slots"]
kind = "module"
lists = true
layout = "table"
[query.slots.table]
edges = "blanks"
columns = ["SLOT", "STATE"]
[query.slots.cells]
"SLOT" = { as = "name" }
"STATE" = { as = "word", words = "state" }
)";
const std::string answer_text = "FAB1 up\nFAB2 down\n";

profiles::Profile profile_of(const std::string& text) {
    auto profile = profiles::parse_profile(text, "profile.toml");
    EXPECT_TRUE(profile);
    return profile ? std::move(*profile) : profiles::Profile{};
}

Contents sample() {
    Contents contents{"edge-7", "Sample", profile_text, {}, {}};
    const units::Instant at{units::Duration{1'700'000'000'000}};
    witness::RunStarted run;
    run.boot_id = "b";
    run.profile = journal::digest_of(profile_text);
    contents.events.push_back({at, run});
    contents.events.push_back({at, witness::RoundStarted{1, {"slots", "trays"}}});
    const witness::Ending ending{true, 0, ""};
    const auto reading = std::make_shared<const state::Reading>(
        replay::read_answer(profile_of(profile_text), "slots", answer_text, ending));
    const std::string digest = journal::digest_of(answer_text);
    contents.answers[digest] = answer_text;
    contents.events.push_back({at, witness::Answered{1, "slots", at, digest, ending, reading}});
    contents.events.push_back(
        {at, witness::Failed{1, "trays", at, witness::NoAnswer::refused, "no"}});
    return contents;
}

std::string text_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}
void overwrite(const fs::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
}

class PackFolder : public testing::Test {
  protected:
    void write_sample() {
        const auto written = write(folder_, sample());
        ASSERT_TRUE(written) << written.error().text;
    }
    /// The one error of a pack that does not open.
    [[nodiscard]] PackError only_error() const {
        const auto opened = open(folder_);
        EXPECT_FALSE(opened);
        if (opened)
            return {};
        EXPECT_EQ(opened.error().size(), 1U);
        return opened.error().front();
    }

    twins::Folder parent_;
    const fs::path folder_ = parent_.path() / "pack";
    const std::string capture_ = journal::digest_of(answer_text);
};

TEST_F(PackFolder, what_is_written_is_read) {
    write_sample();
    const auto pack = open(folder_);
    ASSERT_TRUE(pack) << pack.error().front().text;
    EXPECT_EQ(pack->chassis, "edge-7");
    EXPECT_EQ(pack->family, "Sample");
    EXPECT_EQ(pack->captured, "2023-11-14T22:13:20.000Z");
    EXPECT_EQ(pack->profile, profile_text);
    ASSERT_EQ(pack->answers.size(), 1U);
    EXPECT_EQ(pack->answers[0].asking, "slots");
    EXPECT_EQ(pack->answers[0].bytes, answer_text);
    EXPECT_TRUE(pack->answers[0].ending.whole());
    EXPECT_EQ(pack->answers[0].reading["rows"].size(), 2U);
}

TEST_F(PackFolder, each_file_is_what_it_is_named) {
    write_sample();
    EXPECT_EQ(text_of(folder_ / "answers" / capture_), answer_text);
    EXPECT_EQ(text_of(folder_ / "profile.toml"), profile_text);
    for (const auto& file : fs::directory_iterator(folder_ / "readings"))
        EXPECT_EQ(journal::digest_of(text_of(file.path())), file.path().filename());
    const std::string events = text_of(folder_ / "events");
    EXPECT_EQ(std::count(events.begin(), events.end(), '\n'), 4);
    EXPECT_TRUE(events.ends_with("\n"));
}

TEST_F(PackFolder, only_the_pack_is_left_behind) {
    write_sample();
    EXPECT_EQ(std::distance(fs::directory_iterator(parent_.path()), fs::directory_iterator()), 1);
}

TEST_F(PackFolder, an_empty_folder_may_become_the_pack) {
    fs::create_directory(folder_);
    write_sample();
    EXPECT_TRUE(open(folder_));
    EXPECT_TRUE(open(folder_.string() + "/"));
}

TEST_F(PackFolder, what_stands_there_is_never_written_over) {
    fs::create_directory(folder_);
    overwrite(folder_ / "mine", "precious");
    const auto written = write(folder_, sample());
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().kind, Kind::refused);
    EXPECT_EQ(text_of(folder_ / "mine"), "precious");
    EXPECT_EQ(std::distance(fs::directory_iterator(folder_), fs::directory_iterator()), 1);
    const auto file = write(folder_ / "mine", sample());
    ASSERT_FALSE(file);
    EXPECT_EQ(file.error().kind, Kind::refused);
}

TEST_F(PackFolder, a_link_is_not_followed) {
    fs::create_directory(parent_.path() / "elsewhere");
    fs::create_directory_symlink(parent_.path() / "elsewhere", folder_);
    EXPECT_FALSE(write(folder_, sample()));
    EXPECT_TRUE(fs::is_empty(parent_.path() / "elsewhere"));
}

TEST_F(PackFolder, a_folder_that_cannot_be_made_is_told) {
    const auto written = write(parent_.path() / "nosuch" / "pack", sample());
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().kind, Kind::missing);
    EXPECT_THAT(written.error().text, HasSubstr("nosuch"));
}

TEST_F(PackFolder, a_changed_answer_is_named) {
    write_sample();
    overwrite(folder_ / "answers" / capture_, "FAB1 down\n");
    EXPECT_EQ(only_error().kind, Kind::damaged);
    EXPECT_THAT(only_error().text, HasSubstr("answers/" + capture_));
}

TEST_F(PackFolder, a_missing_answer_is_missing) {
    write_sample();
    fs::remove(folder_ / "answers" / capture_);
    EXPECT_EQ(only_error().kind, Kind::missing);
    EXPECT_THAT(only_error().text, HasSubstr(capture_));
}

TEST_F(PackFolder, a_changed_profile_is_named) {
    write_sample();
    overwrite(folder_ / "profile.toml", profile_text + "# more\n");
    EXPECT_EQ(only_error().kind, Kind::damaged);
    EXPECT_THAT(only_error().text, HasSubstr("profile.toml"));
}

TEST_F(PackFolder, a_changed_cut_or_shortened_chain_is_named) {
    write_sample();
    const std::string events = text_of(folder_ / "events");
    std::string changed = events;
    changed.replace(changed.find("\"trays\""), 7, "\"tries\"");
    const std::string shortened = events.substr(0, events.rfind('\n', events.size() - 2) + 1);
    const std::string cut = events.substr(0, events.size() - 1);
    for (const std::string& text : {changed, shortened, cut}) {
        overwrite(folder_ / "events", text);
        EXPECT_EQ(only_error().kind, Kind::damaged);
        EXPECT_THAT(only_error().text, HasSubstr("events"));
    }
}

TEST_F(PackFolder, a_later_format_is_refused) {
    write_sample();
    std::string text = text_of(folder_ / "pack.json");
    text.replace(text.find("\"format\": 1"), 11, "\"format\": 2");
    overwrite(folder_ / "pack.json", text);
    EXPECT_EQ(only_error().kind, Kind::damaged);
    EXPECT_THAT(only_error().text, HasSubstr("reads format 1"));
}

TEST_F(PackFolder, a_digest_that_is_a_path_reads_nothing_elsewhere) {
    parent_.write("secret", "x");
    Contents contents = sample();
    std::get<witness::Answered>(contents.events[2].what).capture = "../../secret";
    ASSERT_TRUE(write(folder_, contents));
    EXPECT_EQ(only_error().kind, Kind::damaged);
    EXPECT_THAT(only_error().text, HasSubstr("names no digest"));
}

TEST_F(PackFolder, no_folder_is_missing) {
    const auto opened = open(folder_);
    ASSERT_FALSE(opened);
    for (const PackError& error : opened.error())
        EXPECT_EQ(error.kind, Kind::missing);
}

TEST_F(PackFolder, it_reads_as_it_did) {
    write_sample();
    const auto checked = check(open(folder_).value(), profile_of(profile_text));
    ASSERT_TRUE(checked);
    ASSERT_EQ(checked->size(), 1U);
    EXPECT_TRUE(checked->front().changes.empty());
    EXPECT_EQ(checked->front().rows, 2U);
}

TEST_F(PackFolder, another_profile_shows_what_it_reads_differently) {
    write_sample();
    std::string text = profile_text;
    text.insert(text.find("up = "), "down = \"oper disabled\"\n");
    const auto checked = check(open(folder_).value(), profile_of(text));
    ASSERT_TRUE(checked);
    const auto& changes = checked->front().changes;
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_EQ(to_text(changes[0]), "module FAB2: oper was unknown, is now disabled");
    EXPECT_EQ(changes[0].at, (state::Position{2, 6}));
    EXPECT_EQ(changes[1].what, Change::What::remark_gone);
}

TEST_F(PackFolder, a_profile_without_the_query_is_a_difference) {
    write_sample();
    std::string text = profile_text;
    for (std::size_t at = text.find("query.slots"); at != std::string::npos;
         at = text.find("query.slots"))
        text.replace(at, 11, "query.other");
    const auto checked = check(open(folder_).value(), profile_of(text));
    ASSERT_TRUE(checked);
    ASSERT_EQ(checked->front().changes.size(), 1U);
    EXPECT_EQ(checked->front().changes[0].what, Change::What::query);
}

} // namespace
} // namespace slotwitness::pack
