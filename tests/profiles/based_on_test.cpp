#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const ProfileFile release_4{"release-4.toml", R"([profile]
format = 1
family = "Example"
[words.state]
running = "oper enabled"
[query.slots]
ask    = ["tell", "slots"]
kind   = "module"
lists  = true
layout = "table"
[query.slots.table]
edges   = "header"
columns = ["SLOT", "STATE"]
[query.slots.cells]
"SLOT"  = { as = "name" }
"STATE" = { as = "word", words = "state" }
)"};

const ProfileFile release_5{"release-5.toml", R"([profile]
based-on = "release-4.toml"
[query.slots.table]
columns = ["STATE", "SLOT"]
)"};

tl::expected<Profile, std::vector<state::Problem>> parsed(std::vector<ProfileFile> files) {
    return parse_profile(files);
}

std::vector<std::string> problems(std::vector<ProfileFile> files) {
    std::vector<std::string> lines;
    if (const auto profile = parsed(std::move(files)); !profile)
        for (const state::Problem& problem : profile.error())
            lines.push_back(state::to_text(problem));
    return lines;
}

TEST(BasedOn, a_release_that_moves_one_column_is_three_lines) {
    EXPECT_EQ(based_on(release_5.text), "release-4.toml");
    EXPECT_EQ(based_on(release_4.text), std::nullopt);
    EXPECT_EQ(based_on("[profile"), std::nullopt);
    const auto profile = parsed({release_5, release_4});
    ASSERT_TRUE(profile) << testing::PrintToString(problems({release_5, release_4}));
    EXPECT_EQ(profile->family, "Example");
    const auto reading = read(*profile, "slots", "STATE    SLOT\nrunning  FAB3\n", true);
    ASSERT_EQ(reading.rows.size(), 1U);
    EXPECT_EQ(reading.rows[0].name, "FAB3");
    EXPECT_EQ(reading.rows[0].facts.at(state::Attribute::oper).value,
              state::Value{state::OperState::enabled});
}

TEST(BasedOn, the_text_that_the_journal_keeps_reads_the_same_alone) {
    const auto profile = parsed({release_5, release_4});
    ASSERT_TRUE(profile);
    const auto alone = parse_profile(profile->text, "journal");
    ASSERT_TRUE(alone) << testing::PrintToString(problems({{"journal", profile->text}}));
    constexpr std::string_view answer = "STATE    SLOT\nrunning  FAB3\nbroken   FAB4\n";
    EXPECT_EQ(read(*profile, "slots", answer, true), read(*alone, "slots", answer, true));
    EXPECT_EQ(alone->text, profile->text);
}

TEST(BasedOn, a_problem_names_the_file_in_which_it_stands) {
    ProfileFile wrong_words = release_4;
    wrong_words.text.replace(wrong_words.text.find("enabled"), 7, "enabld!");
    ProfileFile wrong_column = release_5;
    wrong_column.text += "colums = [\"A\"]\n";
    EXPECT_THAT(problems({wrong_column, wrong_words}),
                ElementsAre(HasSubstr("release-4.toml:5:11: found \"enabld!\""),
                            HasSubstr("release-5.toml:5:1: found \"colums\"")));
}

TEST(BasedOn, a_profile_without_the_other_or_in_a_circle_is_refused) {
    EXPECT_THAT(problems({release_5}),
                testing::Contains(HasSubstr("release-5.toml:2:12: found \"release-4.toml\"")));
    ProfileFile circle = release_4;
    circle.text.insert(circle.text.find("format"), "based-on = \"release-5.toml\"\n");
    EXPECT_THAT(problems({release_5, circle}),
                testing::Contains(HasSubstr("not based on this one in turn")));
}

TEST(BasedOn, text_that_is_no_toml_is_named_in_its_file) {
    EXPECT_THAT(problems({release_5, {"release-4.toml", "[profile\n"}}),
                ElementsAre(HasSubstr("release-4.toml:1:")));
}

} // namespace
} // namespace slotwitness::profiles
