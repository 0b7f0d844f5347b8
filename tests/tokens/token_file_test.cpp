#include "../twins/folder.hpp"
#include "noon.hpp"

#include <slotwitness/tokens/token_file.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <thread>

namespace slotwitness::tokens {
namespace {

using twins::Folder;

using namespace std::chrono_literals;
using testing::AllOf;
using testing::HasSubstr;

Token some(std::string id) {
    return {std::move(id), std::string(64, 'a'), "A. Person", Role::engineer, "",
            noon,          noon + 12h,           {}};
}

tl::expected<void, std::string> add(const std::string& path, Token token) {
    return edit_tokens(path, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
        all.push_back(std::move(token));
        return {};
    });
}

TEST(token_file, keeps_everything_of_a_token) {
    Token rack = some("k7fq2mxd");
    rack.person = "\xC3\x89ric \"Rick\" O\\Neill";
    rack.role = Role::rack;
    rack.procedure = "p2k7fq2m";
    rack.revoked = noon + 1h;
    const std::vector<Token> all{some("abcdefgh"), rack};
    const auto read = parse_tokens({"tokens", to_text(all)});
    ASSERT_TRUE(read) << state::to_text(read.error().front());
    EXPECT_EQ(*read, all);
}

TEST(token_file, reads_a_time_with_another_zone) {
    std::string text = to_text(std::vector{some("abcdefgh")});
    text.replace(text.find("2026-11-25T12:00:00.000Z"), 24, "2026-11-25T14:00:00+02:00");
    EXPECT_EQ(parse_tokens({"tokens", text})->front().made, noon);
}

TEST(token_file, names_the_place_of_each_fault_and_then_gives_no_token) {
    std::string text = to_text(std::vector{some("abcdefgh"), some("abcdefgh")});
    text.replace(text.find("engineer"), 8, "engneer");
    text.replace(text.find("2026-11-25T12:00:00.000Z"), 24, "\"noon\"");
    const auto read = parse_tokens({"tokens", text});
    ASSERT_FALSE(read);
    std::string all;
    for (const state::Problem& problem : read.error())
        all += state::to_text(problem) + "\n";
    EXPECT_THAT(all, AllOf(HasSubstr("tokens:7:8: found \"engneer\""),
                           HasSubstr("tokens:8:8: found \"noon\", expected a time with its zone"),
                           HasSubstr("tokens:12:6: found \"abcdefgh\"")));
}

TEST(token_file, is_made_with_its_first_token_for_its_user_alone) {
    const Folder folder;
    ASSERT_TRUE(add(folder.file("tokens"), some("abcdefgh")));
    EXPECT_EQ(std::filesystem::status(folder.file("tokens")).permissions(),
              std::filesystem::perms(0600));
    EXPECT_EQ(load_tokens(folder.file("tokens"))->size(), 1);
    EXPECT_FALSE(std::filesystem::exists(folder.file("tokens.new")));
}

TEST(token_file, that_others_may_read_is_refused) {
    const Folder folder;
    ASSERT_TRUE(add(folder.file("tokens"), some("abcdefgh")));
    std::filesystem::permissions(folder.file("tokens"), std::filesystem::perms(0640));
    EXPECT_THAT(load_tokens(folder.file("tokens")).error(), HasSubstr("chmod 600"));
    EXPECT_FALSE(add(folder.file("tokens"), some("bcdefghj")));
}

TEST(token_file, that_is_not_there_says_how_it_is_made) {
    EXPECT_THAT(load_tokens(Folder().file("tokens")).error(), HasSubstr("token make"));
}

TEST(token_file, stays_as_it_is_where_the_edit_or_the_reading_fails) {
    const Folder folder;
    folder.write("tokens", "[[token]\n");
    EXPECT_FALSE(add(folder.file("tokens"), some("abcdefgh")));
    EXPECT_EQ(folder.text("tokens"), "[[token]\n");
    folder.write("tokens", "");
    const auto refused = edit_tokens(
        folder.file("tokens"), [](std::vector<Token>& all) -> tl::expected<void, std::string> {
            all.push_back(some("abcdefgh"));
            return tl::unexpected<std::string>("no");
        });
    EXPECT_EQ(refused.error(), "no");
    EXPECT_EQ(folder.text("tokens"), "");
}

TEST(token_file, takes_all_edits_of_two_at_a_time) {
    const Folder folder;
    const auto many = [&](const std::string& letter) {
        for (int i = 0; i < 20; ++i)
            ASSERT_TRUE(add(folder.file("tokens"), some(letter + std::to_string(i))));
    };
    std::thread other(many, "b");
    many("a");
    other.join();
    EXPECT_EQ(load_tokens(folder.file("tokens"))->size(), 40);
}

TEST(token_file, forgets_what_ended_long_ago_when_one_is_added) {
    const Folder folder;
    const std::string file = folder.file("tokens");
    const auto add = [&](WallTime now) {
        const auto made = make_token({"A", Role::viewer, "", 1h}, now);
        EXPECT_TRUE(keep_token(file, made->token, now));
    };
    add(noon);
    add(noon + std::chrono::days(90));
    EXPECT_EQ(load_tokens(file)->size(), 2U);
    add(noon + std::chrono::days(91));
    EXPECT_EQ(load_tokens(file)->size(), 2U);
}

TEST(token_file, takes_no_more_of_one_rack_than_may_count_at_a_time) {
    const Folder folder;
    const std::string file = folder.file("tokens");
    const auto add = [&](Role role, const std::string& procedure, WallTime now) {
        const auto made = make_token({"A", role, procedure, 1h}, now);
        return keep_token(file, made->token, now);
    };
    for (std::size_t i = 0; i < most_of_a_rack; ++i)
        ASSERT_TRUE(add(Role::rack, "p1", noon));
    const auto refused = add(Role::rack, "p1", noon + 59min);
    ASSERT_FALSE(refused);
    EXPECT_THAT(refused.error(), testing::HasSubstr("procedure p1 has 32 rack tokens already"));
    EXPECT_TRUE(add(Role::rack, "p2", noon));
    EXPECT_TRUE(add(Role::viewer, "", noon));
    EXPECT_TRUE(add(Role::rack, "p1", noon + 1h)) << "the others have expired";
}

} // namespace
} // namespace slotwitness::tokens
