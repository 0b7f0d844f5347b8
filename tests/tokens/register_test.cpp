#include "../twins/folder.hpp"
#include "noon.hpp"

#include <slotwitness/tokens/register.hpp>
#include <slotwitness/tokens/token_file.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::tokens {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;

class register_of_tokens : public testing::Test {
  protected:
    register_of_tokens() { keep({made.token}); }
    void keep(const std::vector<Token>& tokens) {
        ASSERT_TRUE(
            edit_tokens(path, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
                all = tokens;
                return {};
            }));
    }
    bool knows(const Made& token) { return *register_.find(token.text) != nullptr; }

    twins::Folder folder;
    std::string path = folder.file("tokens");
    Made made = *make_token({"A. Person", Role::engineer, "", 12h}, noon);
    WallTime time = noon;
    Register register_{path, [this] { return time; }};
};

TEST_F(register_of_tokens, sees_what_was_made_and_revoked_since_at_once) {
    EXPECT_TRUE(knows(made));
    const Made later = *make_token({"B. Person", Role::viewer, "", 12h}, noon);
    EXPECT_FALSE(knows(later));
    keep({made.token, later.token});
    EXPECT_TRUE(knows(later));
    made.token.revoked = noon;
    keep({made.token, later.token});
    EXPECT_EQ((*register_.find(made.text))->revoked, noon);
    keep({later.token});
    EXPECT_FALSE(knows(made));
}

TEST_F(register_of_tokens, knows_nobody_while_the_file_is_gone_bad_or_open_to_others) {
    std::filesystem::remove(path);
    EXPECT_FALSE(register_.find(made.text));
    EXPECT_THAT(register_.look().error(), HasSubstr("there is no token file"));
    keep({made.token});
    EXPECT_TRUE(knows(made));
    folder.write("tokens", "[[token]\n");
    EXPECT_THAT(register_.find(made.text).error(), HasSubstr("tokens:1"));
    std::filesystem::remove(path);
    keep({made.token});
    EXPECT_TRUE(knows(made));
    std::filesystem::permissions(path, std::filesystem::perms(0644));
    EXPECT_THAT(register_.find(made.text).error(), HasSubstr("chmod 600"));
}

TEST_F(register_of_tokens, has_a_time_that_never_goes_back) {
    time = noon + 12h;
    EXPECT_EQ(register_.now(), noon + 12h);
    time = noon;
    EXPECT_EQ(register_.now(), noon + 12h);
}

} // namespace
} // namespace slotwitness::tokens
