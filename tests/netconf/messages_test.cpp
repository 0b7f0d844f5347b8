#include <slotwitness/netconf/messages.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::netconf {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

TEST(messages, what_is_said_is_hello_get_and_close_session) {
    EXPECT_EQ(hello(), R"(<?xml version="1.0" encoding="UTF-8"?>)"
                       R"(<hello xmlns="urn:ietf:params:xml:ns:netconf:base:1.0"><capabilities>)"
                       R"(<capability>urn:ietf:params:netconf:base:1.0</capability>)"
                       R"(<capability>urn:ietf:params:netconf:base:1.1</capability>)"
                       R"(</capabilities></hello>)");
    EXPECT_EQ(
        get(7, R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)"),
        R"(<?xml version="1.0" encoding="UTF-8"?>)"
        R"(<rpc xmlns="urn:ietf:params:xml:ns:netconf:base:1.0" message-id="7"><get>)"
        R"(<filter type="subtree"><hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)"
        R"(</filter></get></rpc>)");
    EXPECT_EQ(close_session(8),
              R"(<?xml version="1.0" encoding="UTF-8"?>)"
              R"(<rpc xmlns="urn:ietf:params:xml:ns:netconf:base:1.0" message-id="8">)"
              R"(<close-session/></rpc>)");
}

TEST(messages, the_hello_of_a_device_tells_the_framing) {
    // In the form of the example of RFC 6241, section 8.1; with a prefix, which is its own affair.
    const std::string of_1_1 =
        "<nc:hello xmlns:nc=\"urn:ietf:params:xml:ns:netconf:base:1.0\">\n"
        "  <nc:capabilities>\n"
        "    <nc:capability>urn:ietf:params:netconf:base:1.0</nc:capability>\n"
        "    <nc:capability>\n      urn:ietf:params:netconf:base:1.1\n    </nc:capability>\n"
        "  </nc:capabilities>\n"
        "  <nc:session-id>4</nc:session-id>\n"
        "</nc:hello>";
    const auto hello = read_hello(of_1_1);
    ASSERT_TRUE(hello) << to_text(hello.error());
    EXPECT_TRUE(hello->chunks);
    EXPECT_THAT(hello->capabilities, ElementsAre("urn:ietf:params:netconf:base:1.0",
                                                 "urn:ietf:params:netconf:base:1.1"));
    std::string of_1_0 = of_1_1;
    of_1_0.replace(of_1_0.find("base:1.1"), 8, "base:9.9");
    ASSERT_TRUE(read_hello(of_1_0));
    EXPECT_FALSE(read_hello(of_1_0)->chunks);
}

TEST(messages, what_is_no_hello_is_refused) {
    const auto refused = [](std::string_view message) {
        const auto hello = read_hello(message);
        return hello ? std::string("accepted") : to_text(hello.error());
    };
    constexpr std::string_view space = "urn:ietf:params:xml:ns:netconf:base:1.0";
    const std::string begin = "<hello xmlns=\"" + std::string(space) + "\">";
    const std::string base = "<capabilities><capability>urn:ietf:params:netconf:base:1.0"
                             "</capability></capabilities>";
    EXPECT_EQ(refused(begin + base + "<session-id>1</session-id></hello>"), "accepted");
    EXPECT_THAT(refused(begin + base + "</hello>"), HasSubstr("session-id"));
    EXPECT_THAT(refused(begin + "<session-id>1</session-id></hello>"), HasSubstr("base:1.1"));
    EXPECT_THAT(refused("<hello>" + base + "<session-id>1</session-id></hello>"),
                HasSubstr("expected a hello"));
    EXPECT_THAT(refused("welcome to edge-7"), HasSubstr("found \"welcome to edge-7\""));
    EXPECT_THAT(refused(""), HasSubstr("expected a hello"));
}

TEST(messages, a_reply_tells_data_and_errors) {
    const std::string begin =
        R"(<rpc-reply xmlns="urn:ietf:params:xml:ns:netconf:base:1.0" message-id="7">)";
    const auto data = read_reply(begin + "<data/></rpc-reply>", 7);
    ASSERT_TRUE(data);
    EXPECT_TRUE(data->has_data);
    EXPECT_THAT(data->errors, ElementsAre());
    // The error's parts as RFC 6241, section 4.3 names them.
    const auto error = read_reply(
        begin + "<rpc-error><error-type>protocol</error-type>"
                "<error-tag>access-denied</error-tag><error-severity>error</error-severity>"
                "<error-path>/hw:hardware</error-path>"
                "<error-message xml:lang=\"en\">not for you</error-message>"
                "</rpc-error><rpc-error/></rpc-reply>",
        7);
    ASSERT_TRUE(error);
    EXPECT_FALSE(error->has_data);
    EXPECT_THAT(error->errors, ElementsAre("access-denied: not for you: /hw:hardware",
                                           "an rpc-error without error-tag"));
}

TEST(messages, a_reply_to_another_message_is_refused) {
    const auto reply = [](std::string_view attribute, std::string_view inside = "<data/>") {
        return read_reply("<rpc-reply xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"" +
                              std::string(attribute) + ">" + std::string(inside) + "</rpc-reply>",
                          7);
    };
    EXPECT_TRUE(reply(" message-id=\"7\""));
    EXPECT_FALSE(reply(" message-id=\"6\""));
    EXPECT_FALSE(reply(" message-id=\"07\""));
    EXPECT_FALSE(reply(""));
    // RFC 6241, section 4.3, its first example: what could not be read as a request of ours.
    EXPECT_TRUE(reply("", "<rpc-error/>"));
    EXPECT_FALSE(read_reply("<rpc-reply message-id=\"7\"><data/></rpc-reply>", 7));
    EXPECT_THAT(to_text(read_reply("]]>", 7).error()), HasSubstr("a rpc-reply to message 7"));
}

TEST(messages, an_external_entity_is_not_fetched) {
    const auto hello = read_hello(
        "<!DOCTYPE hello [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>"
        "<hello xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"><capabilities>"
        "<capability>urn:ietf:params:netconf:base:1.0</capability><capability>&x;</capability>"
        "</capabilities><session-id>1</session-id></hello>");
    ASSERT_TRUE(hello);
    EXPECT_EQ(hello->capabilities.back(), "&x;");
}

} // namespace
} // namespace slotwitness::netconf
