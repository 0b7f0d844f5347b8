#include "noon.hpp"

#include <slotwitness/tokens/token.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

namespace slotwitness::tokens {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;

Wish engineer(std::string person = "A. Person") {
    return {std::move(person), Role::engineer, "", 12h};
}

TEST(token, is_of_the_characters_that_an_authorization_field_takes) { // b64token, RFC 6750 §2.1
    const auto made = make_token(engineer(), noon);
    ASSERT_TRUE(made) << made.error();
    EXPECT_THAT(made->text, testing::MatchesRegex("sw1\\.[a-z2-9]+\\.[a-z2-9]+"));
    EXPECT_EQ(made->text.size(), 4 + 8 + 1 + 32);
    EXPECT_EQ(made->text.substr(4, 8), made->token.id);
    EXPECT_EQ(made->token.expires, noon + 12h);
}

TEST(token, is_another_each_time) {
    std::set<std::string> ids;
    std::set<std::string> secrets;
    for (int i = 0; i < 200; ++i) {
        const auto made = make_token(engineer(), noon);
        ids.insert(made->token.id);
        secrets.insert(made->text.substr(13));
    }
    EXPECT_EQ(ids.size(), 200);
    EXPECT_EQ(secrets.size(), 200);
}

TEST(token, is_kept_as_its_digest_alone) {
    // printf sw1.k7fq2mxd.abc | sha256sum (GNU coreutils 9.1)
    const Token token{
        "k7fq2mxd",  "8a2119f962056cfa45b53fae9ee2bc27ed8790b830d35089b06c577dfcc16438",
        "A. Person", Role::viewer,
        "",          noon,
        noon + 1h,   {}};
    EXPECT_EQ(find({&token, 1}, "sw1.k7fq2mxd.abc"), &token);
}

TEST(token, is_found_by_the_whole_of_it_and_nothing_less) {
    const auto made = make_token(engineer(), noon);
    const auto other = make_token(engineer("B. Person"), noon);
    const std::vector<Token> kept{other->token, made->token};
    EXPECT_EQ(find(kept, made->text), &kept[1]);
    for (std::size_t at = 0; at < made->text.size(); ++at) {
        std::string changed = made->text;
        changed[at] = changed[at] == 'a' ? 'b' : 'a';
        EXPECT_EQ(find(kept, changed), nullptr) << at;
        EXPECT_EQ(find(kept, made->text.substr(0, at)), nullptr) << at;
    }
    EXPECT_EQ(find(kept, made->text + "a"), nullptr);
    EXPECT_EQ(find(kept, ""), nullptr);
    EXPECT_EQ(find(kept, "sw1." + made->token.id + "." + made->token.digest), nullptr);
}

struct Refused {
    std::string name;
    Wish wish;
    std::string told;
};
class refused_wish : public testing::TestWithParam<Refused> {};

TEST_P(refused_wish, says_what_is_wrong) {
    const auto made = make_token(GetParam().wish, noon);
    ASSERT_FALSE(made);
    EXPECT_THAT(made.error(), HasSubstr(GetParam().told));
}

INSTANTIATE_TEST_SUITE_P(
    wishes, refused_wish,
    testing::Values(
        Refused{"nobody", engineer(""), "1 to 64 bytes"},
        Refused{"long_name", engineer(std::string(65, 'a')), "1 to 64 bytes"},
        Refused{"line_feed", engineer("A\nPerson"), "printable"},
        Refused{"terminal_control", engineer("A\xC2\x9BPerson"), "printable"},
        Refused{"latin_1", engineer("\xC9ric"), "printable"},
        Refused{"blank_first", engineer(" A"), "begins and ends"},
        Refused{"no_time", Wish{"A", Role::viewer, "", 0s}, "lasts from"},
        Refused{"for_ever", Wish{"A", Role::viewer, "", std::chrono::days(367)}, "lasts from"},
        Refused{"rack_of_nothing", Wish{"A", Role::rack, "", 1h}, "--procedure"},
        Refused{"engineer_of_one", Wish{"A", Role::engineer, "k7fq2mxd", 1h}, "only a rack token"}),
    [](const auto& info) { return info.param.name; });

TEST(role, has_a_word_and_is_read_back_from_it) {
    for (const std::string& word : role_words())
        EXPECT_EQ(to_word(*role_of(word)), word);
    EXPECT_EQ(role_words().size(), 4);
    EXPECT_FALSE(role_of("Engineer"));
    EXPECT_EQ(to_text(Roles{Role::auditor, Role::viewer}), "viewer, auditor");
    EXPECT_FALSE((Roles{Role::auditor, Role::viewer}.contains(Role::rack)));
}

} // namespace
} // namespace slotwitness::tokens
