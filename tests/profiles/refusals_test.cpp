#include "files.hpp"

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;

tl::expected<Profile, std::vector<state::Problem>> with(const std::string& refusals) {
    return parse_profile("[profile]\nformat = 1\nfamily = \"Test\"\n[refusals]\n" + refusals +
                             "[query.planes]\nask = [\"tell\", \"planes\"]\nkind = \"plane\"\n"
                             "layout = \"table\"\n[query.planes.table]\ncolumns = [\"NAME\"]\n"
                             "edges = \"header\"\n[query.planes.cells]\nNAME = { as = \"name\" }\n",
                         "p.toml");
}

TEST(Refusals, are_told_by_the_profiles_words_in_either_case) {
    const auto profile = with("command = [\"may not ask\"]\naaa = [\"nobody decides\"]\n"
                              "line = [\"no seat left\"]\nlocked = [\"account is shut\"]\n");
    ASSERT_TRUE(profile) << state::to_text(profile.error().front());
    const auto told = [&](std::string_view text) {
        const auto found = profile->refusals.told_in(text);
        return found ? std::optional(found->refusal) : std::nullopt;
    };
    EXPECT_EQ(told("fault: you MAY NOT ask that\r\n"), Refusal::command);
    EXPECT_EQ(told("Nobody decides today"), Refusal::aaa);
    EXPECT_EQ(told("first line\nno seat left\n"), Refusal::line);
    EXPECT_EQ(told("this account is shut"), Refusal::locked);
    EXPECT_EQ(told("FAB3 running"), std::nullopt);
    EXPECT_EQ(told(""), std::nullopt);
    EXPECT_EQ(told("nobody decides: this account is shut"), Refusal::locked)
        << "what speaks against trying again counts";
    EXPECT_EQ(profile->refusals.told_in("NO SEAT LEFT")->words, "no seat left");
}

TEST(Refusals, are_none_where_the_profile_says_nothing) {
    const auto profile = with("");
    ASSERT_TRUE(profile);
    EXPECT_EQ(profile->refusals.told_in("account is shut"), std::nullopt);
}

TEST(Refusals, that_would_stand_in_any_line_are_refused_with_a_remedy) {
    for (const std::string words : {"", "no", " seat", "seat ", "two\\nlines"}) {
        const auto profile = with("line = [\"" + words + "\"]\n");
        ASSERT_FALSE(profile) << words;
        EXPECT_THAT(state::to_text(profile.error().front()),
                    HasSubstr("at least 4 characters of one line"));
    }
}

} // namespace
} // namespace slotwitness::profiles
