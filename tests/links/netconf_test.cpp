#include "support.hpp"

#include <slotwitness/netconf/framing.hpp>
#include <slotwitness/netconf/messages.hpp>
#include <slotwitness/twins/folder.hpp>
#include <slotwitness/twins/netconfd.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <sys/stat.h>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using netconf::framed;
using netconf::Framing;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

const std::string filter = R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)";
const std::string space = R"(xmlns="urn:ietf:params:xml:ns:netconf:base:1.0")";

Limits over_netconf(units::Duration timeout) {
    Limits limits;
    limits.timeout = timeout;
    limits.by = profiles::Reach::By::netconf;
    return limits;
}
constexpr units::Duration enough{120'000};
constexpr units::Duration short_while{500};
constexpr units::Duration one_look{20'000};

std::string hello_of(const std::string& versions) {
    std::string capabilities;
    std::istringstream words(versions);
    for (std::string version; words >> version;)
        capabilities += "<capability>urn:ietf:params:netconf:base:" + version + "</capability>";
    return framed("<hello " + space + "><capabilities>" + capabilities +
                      "</capabilities><session-id>1</session-id></hello>",
                  Framing::end_of_message);
}

std::string reply_to(int message, const std::string& inside) {
    return "<rpc-reply " + space + " message-id=\"" + std::to_string(message) + "\">" + inside +
           "</rpc-reply>";
}

/// OpenSSH's server, with a subsystem netconf that says what the test writes.
class NetconfPeer : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing())
            GTEST_SKIP() << *missing;
        ASSERT_TRUE(prepare_ssh());
        twins::Sshd::Setup setup;
        setup.more = {"Subsystem netconf /bin/sh " + file("peer.sh")};
        sshd_ = twins::Sshd::start(std::move(setup));
    }
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }
    [[nodiscard]] std::string text(const std::string& name) const {
        std::ifstream stream(file(name), std::ios::binary);
        return {std::istreambuf_iterator<char>(stream), {}};
    }
    /// The peer says its hello, takes so many bytes, which stand in the file `heard`, says the
    /// rest, and then what `end` does.
    void plays(const std::string& hello, std::size_t bytes, const std::string& rest,
               const std::string& end = "cat >/dev/null") {
        std::ofstream(file("hello"), std::ios::binary) << hello;
        std::ofstream(file("rest"), std::ios::binary) << rest;
        std::ofstream(file("peer.sh")) << "cat " << file("hello") << "\nhead -c " << bytes << " >"
                                       << file("heard") << "\ncat " << file("rest") << "\n"
                                       << end << "\n";
    }
    void plays(const std::string& hello, const std::string& heard, const std::string& rest) {
        plays(hello, heard.size(), rest);
    }
    [[nodiscard]] std::unique_ptr<Link> connected(Limits limits = over_netconf(enough)) {
        auto link = make_ssh_link(loop_.get_executor(), target_of(*sshd_), limits);
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text << sshd_->log();
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link) {
        return run(loop_, link.ask(approved(filter)));
    }

    twins::Folder folder_;
    std::unique_ptr<twins::Sshd> sshd_;
    asio::io_context loop_;
};

const std::string our_hello = framed(netconf::hello(), Framing::end_of_message);
const std::string data_of_1 = reply_to(1, "<data/>");

TEST_F(NetconfPeer, what_is_sent_is_a_hello_and_a_get_and_nothing_else) {
    for (const Framing framing : {Framing::end_of_message, Framing::chunks}) {
        const bool chunks = framing == Framing::chunks;
        const std::string heard = our_hello + framed(netconf::get(1, filter), framing);
        plays(hello_of(chunks ? "1.0 1.1" : "1.0"), heard, framed(data_of_1, framing));
        const auto link = connected();
        const auto answer = ask(*link);
        ASSERT_TRUE(answer) << answer.error().text;
        EXPECT_EQ(text("heard"), heard);
        EXPECT_EQ(answer->bytes, data_of_1);
        EXPECT_TRUE(answer->ended);
        EXPECT_EQ(answer->exit_status, 0);
        EXPECT_EQ(answer->remark, "");
    }
}

TEST_F(NetconfPeer, queries_follow_in_one_session_and_close_session_ends_it) {
    const std::string first = framed(netconf::get(1, filter), Framing::chunks);
    const std::string second = framed(netconf::get(2, filter), Framing::chunks);
    const std::string last = framed(netconf::close_session(3), Framing::chunks);
    // The peer answers both at once, the second before it was asked: in this session only.
    // The peer says both replies at once, and what it heard after the first query into a pipe.
    ASSERT_EQ(::mkfifo(file("later").c_str(), 0600), 0);
    plays(hello_of("1.1"), our_hello.size() + first.size(),
          framed(data_of_1, Framing::chunks) + framed(reply_to(2, "<data/>"), Framing::chunks),
          "exec cat >" + file("later"));
    const auto link = connected();
    for (int i = 0; i < 2; ++i) {
        const auto answer = ask(*link);
        ASSERT_TRUE(answer) << answer.error().text;
        EXPECT_EQ(answer->exit_status, 0);
    }
    link->close();
    finish(loop_);
    EXPECT_EQ(text("later"), second + last);
}

TEST_F(NetconfPeer, an_rpc_error_is_no_whole_answer) {
    plays(hello_of("1.0"), 0,
          framed(reply_to(1, "<rpc-error><error-tag>access-denied</error-tag><error-message>not "
                             "for you</error-message></rpc-error>"),
                 Framing::end_of_message));
    const auto answer = ask(*connected());
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->exit_status, 1);
    EXPECT_EQ(answer->remark, "the device answered with an rpc-error: access-denied: not for you");
    EXPECT_EQ(answer->errors, "access-denied: not for you\n");
}

TEST_F(NetconfPeer, a_reply_without_data_is_no_whole_answer) {
    plays(hello_of("1.0"), 0, framed(reply_to(1, "<ok/>"), Framing::end_of_message));
    const auto answer = ask(*connected());
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->exit_status, 1);
    EXPECT_THAT(answer->remark, HasSubstr("has no data"));
}

TEST_F(NetconfPeer, what_is_no_reply_to_the_query_ends_the_netconf_session_alone) {
    struct Case {
        std::string rest, end, remark;
    };
    const std::string stay = "cat >/dev/null";
    for (const Case& bad : {
             Case{framed(reply_to(2, "<data/>"), Framing::chunks), stay,
                  "a rpc-reply to message 1"},
             Case{framed("<notification/>", Framing::chunks), stay, "a rpc-reply to message 1"},
             Case{"\n#07\n<rpc", stay, "expected a chunk"},
             Case{"login: ", stay, "expected a chunk"},
             Case{"\n#4294967295\n", stay, "longest-answer"},
             Case{"\n#9\n<rpc", "exit 0", "the device closed the NETCONF session"},
             Case{"", "kill -9 $$", "the device closed the NETCONF session"},
         }) {
        // Who leaves before the query has come refuses it; here it has begun to come.
        const std::size_t begun = framed(netconf::hello(), Framing::end_of_message).size() + 1;
        plays(hello_of("1.1"), begun, bad.rest, bad.end);
        const auto link = connected();
        const auto answer = ask(*link);
        ASSERT_TRUE(answer) << bad.rest << answer.error().text;
        EXPECT_FALSE(answer->ended) << bad.rest;
        EXPECT_THAT(answer->remark, HasSubstr(bad.remark));
        EXPECT_TRUE(link->connected());

        plays(hello_of("1.1"), 0, framed(data_of_1, Framing::chunks));
        const auto next = ask(*link);
        ASSERT_TRUE(next) << bad.rest << next.error().text;
        EXPECT_EQ(next->exit_status, 0) << bad.rest;
    }
}

TEST_F(NetconfPeer, a_late_reply_is_never_taken_for_that_of_a_later_query) {
    plays(hello_of("1.1"), 0, "\n#4\n<rpc");
    const auto link = connected(over_netconf(short_while));
    const auto cut = ask(*link);
    ASSERT_TRUE(cut) << cut.error().text;
    EXPECT_FALSE(cut->ended);
    EXPECT_EQ(cut->bytes, "<rpc");
    EXPECT_THAT(cut->remark, HasSubstr("cut after 500 ms"));
    const std::string heard = our_hello + framed(netconf::get(1, filter), Framing::chunks);
    plays(hello_of("1.1"), heard, framed(data_of_1, Framing::chunks));
    const auto next = ask(*link); // in a session of its own: the first message again
    ASSERT_TRUE(next) << next.error().text;
    EXPECT_EQ(next->bytes, data_of_1);
    EXPECT_EQ(text("heard"), heard);
}

// RFC 6241, section 8.1, lets a client ask as soon as it has the hello. Some servers lose what
// comes so close behind ours: that nothing came is told, and there is a new session for the next
// query.
TEST_F(NetconfPeer, one_that_says_its_hello_alone_is_told_from_one_that_was_cut) {
    plays(hello_of("1.1"), 0, "");
    const auto link = connected(over_netconf(short_while));
    const auto silent = ask(*link);
    ASSERT_TRUE(silent) << silent.error().text;
    EXPECT_FALSE(silent->ended);
    EXPECT_THAT(silent->remark, HasSubstr("no byte of it came within 500 ms"));
    plays(hello_of("1.1"), 0, framed(data_of_1, Framing::chunks));
    const auto next = ask(*link);
    ASSERT_TRUE(next) << next.error().text;
    EXPECT_EQ(next->bytes, data_of_1);
}

TEST_F(NetconfPeer, what_is_no_netconf_server_is_refused_with_a_remedy) {
    struct Case {
        std::string hello, end, says;
    };
    for (const Case& bad : {
             Case{"welcome to edge-7]]>]]>", "cat >/dev/null", "found \"welcome to edge-7\""},
             Case{hello_of("9.9"), "cat >/dev/null", "base:1.1"},
             Case{"<hello", "exit 3", "the device closed the NETCONF session"},
         }) {
        plays(bad.hello, 0, "", bad.end);
        const auto link = connected();
        const auto answer = ask(*link);
        ASSERT_FALSE(answer) << bad.hello;
        EXPECT_EQ(answer.error().kind, Kind::refused);
        EXPECT_THAT(answer.error().text, HasSubstr(bad.says));
        EXPECT_THAT(answer.error().text, HasSubstr("check that the subsystem netconf is enabled"));
        EXPECT_TRUE(link->connected());
    }
}

TEST_F(NetconfPeer, two_queries_at_once_are_our_defect) {
    plays(hello_of("1.1"), 0, framed(data_of_1, Framing::chunks));
    const auto link = connected();
    std::vector<asio::awaitable<tl::expected<Answer, LinkError>>> both;
    both.push_back(link->ask(approved(filter)));
    both.push_back(link->ask(approved(filter)));
    const auto answers = run_all(loop_, std::move(both));
    EXPECT_TRUE(answers[0]);
    ASSERT_FALSE(answers[1]);
    EXPECT_EQ(answers[1].error().kind, Kind::misuse);
}

TEST_F(NetconfPeer, closing_the_link_ends_a_wait_for_a_reply) {
    plays(hello_of("1.1"), 0, "");
    const auto link = connected();
    std::optional<tl::expected<Answer, LinkError>> answer;
    asio::co_spawn(loop_, link->ask(approved(filter)),
                   [&](const std::exception_ptr&, tl::expected<Answer, LinkError> value) {
                       answer = std::move(value);
                   });
    asio::post(loop_, [&] { link->close(); });
    EXPECT_TRUE(run_until(loop_, [&] { return answer.has_value(); }));
    ASSERT_FALSE(*answer);
    EXPECT_EQ(answer->error().kind, Kind::session_lost);
}

TEST(NetconfServer, without_the_subsystem_is_refused) {
    if (const auto missing = twins::Sshd::missing())
        GTEST_SKIP() << *missing;
    const auto sshd = twins::Sshd::start();
    asio::io_context loop;
    const auto link = make_ssh_link(loop.get_executor(), target_of(*sshd), over_netconf(enough));
    ASSERT_TRUE(run(loop, link->connect()));
    const auto answer = run(loop, link->ask(approved(filter)));
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_THAT(answer.error().text, HasSubstr("refused the subsystem netconf"));
}

/// What netconfd answers. It does not read a query that reaches it together with the hello before
/// it, as happens on a busy machine; the next look asks in a session of its own.
Answer answer_of_netconfd(asio::io_context& loop, Link& link) {
    for (int looks = 1;; ++looks) {
        auto answer = run(loop, link.ask(approved(filter)));
        if (!answer)
            ADD_FAILURE() << answer.error().text;
        if (!answer || answer->ended || looks == 5)
            return answer ? std::move(*answer) : Answer{};
    }
}

TEST(NetconfServer, netconfd_tells_its_hardware_and_what_another_client_changes_in_it) {
    if (const auto missing = twins::Netconfd::missing())
        GTEST_SKIP() << *missing;
    const auto component = [](const std::string& admin) {
        return "<component><name>FAB3</name><class xmlns:c=\"urn:ietf:params:xml:ns:yang:"
               "iana-hardware\">c:module</class><state><admin-state>" +
               admin + "</admin-state></state></component>";
    };
    const auto server = twins::Netconfd::start({component("unlocked"), false, {}});
    asio::io_context loop;
    const auto link =
        make_ssh_link(loop.get_executor(), target_of(server->sshd()), over_netconf(one_look));
    ASSERT_TRUE(run(loop, link->connect())) << server->sshd().log();
    const Answer before = answer_of_netconfd(loop, *link);
    EXPECT_TRUE(before.ended);
    EXPECT_EQ(before.exit_status, 0) << before.bytes;
    EXPECT_THAT(before.bytes, HasSubstr("<admin-state>unlocked</admin-state>"));
    EXPECT_THAT(server->edit(component("locked")), HasSubstr("<ok/>"));
    const Answer after = answer_of_netconfd(loop, *link);
    EXPECT_EQ(after.exit_status, 0) << after.bytes;
    EXPECT_THAT(after.bytes, HasSubstr("<admin-state>locked</admin-state>"));
}

} // namespace
} // namespace slotwitness::links::test
