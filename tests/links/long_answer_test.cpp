#include "ways.hpp"

#include <slotwitness/twins/folder.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// Answers that are long: keys exchanged again in their midst, and one of 100 MB, each by every way
// of asking. OpenSSH's server.

namespace slotwitness::links::test {
namespace {

using By = profiles::Reach::By;
using ::testing::HasSubstr;

constexpr units::Duration plenty_of_time{120'000};
constexpr int many = 100'000; ///< numbers, of 590 KB: RekeyLimit 64K is met nine times
constexpr auto hundred_megabytes = "yes | head -c 100000000";

class LongAnswer : public ::testing::TestWithParam<By> {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing())
            GTEST_SKIP() << *missing;
        ASSERT_TRUE(prepare_ssh());
    }
    Asking asking(int last, const std::string& more) {
        switch (GetParam()) {
        case By::command:
            return by_command(last);
        case By::shell:
            return by_shell(last);
        case By::netconf:
            return by_netconf(folder_.path(), last, more);
        }
        return {};
    }
    std::unique_ptr<Link> connected(Asking& asking, std::size_t longest) {
        sshd_ = twins::Sshd::start(asking.server);
        asking.limits.timeout = plenty_of_time;
        asking.limits.longest_answer = longest;
        auto link = make_ssh_link(loop_.get_executor(), target_of(*sshd_), asking.limits);
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text;
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link, const std::string& query) {
        auto approved_query = approved(query);
        return run(loop_, link.ask(std::move(approved_query)));
    }

    twins::Folder folder_;
    std::unique_ptr<twins::Sshd> sshd_;
    asio::io_context loop_;
};

TEST_P(LongAnswer, loses_nothing_while_keys_are_exchanged_again_and_again) {
    auto asking = LongAnswer::asking(many, "true");
    asking.server.more.emplace_back("RekeyLimit 64K");
    const auto link = connected(asking, 8 << 20);
    expect_right(ask(*link, asking.query), asking);
}

TEST_P(LongAnswer, of_100_megabytes_is_cut_at_the_profiles_limit_told_so_and_the_link_goes_on) {
    constexpr std::size_t longest = 1'000'000;
    auto asking = LongAnswer::asking(10, "true");
    const auto link = connected(asking, longest);
    if (GetParam() == By::netconf) // the peer that the next session gets
        static_cast<void>(by_netconf(folder_.path(), 0, hundred_megabytes));
    const std::string query = GetParam() == By::netconf ? asking.query : hundred_megabytes;
    const auto cut = ask(*link, query);
    ASSERT_TRUE(cut) << cut.error().text;
    EXPECT_FALSE(cut->ended);
    EXPECT_LE(cut->bytes.size(), longest);
    EXPECT_THAT(cut->remark, HasSubstr("1000000 bytes"));
    EXPECT_THAT(cut->remark, HasSubstr("longest-answer in the profile"));
    EXPECT_TRUE(link->connected());
    asking = LongAnswer::asking(10, "true");
    expect_right(ask(*link, asking.query), asking);
}

std::string name_of_way(const ::testing::TestParamInfo<By>& info) {
    switch (info.param) {
    case By::command:
        return "command";
    case By::shell:
        return "shell";
    case By::netconf:
        return "netconf";
    }
    return "";
}

INSTANTIATE_TEST_SUITE_P(by, LongAnswer, ::testing::Values(By::command, By::shell, By::netconf),
                         name_of_way);

} // namespace
} // namespace slotwitness::links::test
