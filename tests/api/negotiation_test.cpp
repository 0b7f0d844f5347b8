#include <slotwitness/api/hosts.hpp>
#include <slotwitness/api/http.hpp>
#include <slotwitness/api/negotiation.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;

Request with(std::vector<Field> fields) {
    Request request;
    request.fields = std::move(fields);
    return request;
}

std::string chosen(std::string accept, std::span<const std::string_view> offers) {
    return std::string{negotiate(with({{"Accept", std::move(accept)}}), offers).value_or("none")};
}

TEST(accept, prefers_as_rfc_9110_says) { // §12.5.1
    constexpr std::array<std::string_view, 2> ours{"application/json", "text/plain"};
    EXPECT_EQ(negotiate(with({}), ours), "application/json");
    EXPECT_EQ(chosen("*/*", ours), "application/json");
    EXPECT_EQ(chosen("text/plain", ours), "text/plain");
    EXPECT_EQ(chosen("TEXT/*", ours), "text/plain");
    EXPECT_EQ(chosen("text/html, text/plain;q=0.5, */*;q=0.4", ours), "text/plain");
    EXPECT_EQ(chosen("text/plain;q=0.5, application/json;q=0.501", ours), "application/json");
    EXPECT_EQ(chosen("application/json;q=0, */*", ours), "text/plain"); // q=0 is "not acceptable"
    EXPECT_EQ(chosen("image/png", ours), "none");
    EXPECT_EQ(chosen("text/plain;q=nonsense, application/json;q=0.1", ours), "application/json");
}

/// The table of RFC 9110 §12.5.1, as far as it names ranges without parameters other than q.
TEST(accept, weighs_as_the_example_of_rfc_9110) {
    const std::string accept = "text/*;q=0.3, text/plain;q=0.7, text/html;q=0.4, */*;q=0.5";
    constexpr std::array<std::string_view, 2> plain_html{"text/html", "text/plain"}; // 0.4, 0.7
    constexpr std::array<std::string_view, 2> html_image{"text/html", "image/jpeg"}; // 0.4, 0.5
    constexpr std::array<std::string_view, 2> csv_html{"text/csv", "text/html"};     // 0.3, 0.4
    EXPECT_EQ(chosen(accept, plain_html), "text/plain");
    EXPECT_EQ(chosen(accept, html_image), "image/jpeg");
    EXPECT_EQ(chosen(accept, csv_html), "text/html");
}

TEST(prefer, wait_is_read_as_rfc_7240_says) {
    struct Row {
        const char* value = nullptr;
        std::optional<std::chrono::seconds> wait;
    };
    for (const Row& row :
         {Row{"wait=10", 10s}, // §4.3
          Row{"respond-async, wait=100", 100s}, Row{"Wait = 7", 7s}, Row{"wait=\"7\"", 7s},
          Row{"priority=5;wait=9", std::nullopt}, Row{"wait=8; foo=1", 8s},
          Row{"foo=\"a, wait=3\", wait=4", 4s}, Row{"wait=5, wait=6", 5s}, // §2: the first counts
          Row{"wait=0", 0s}, Row{"wait=301", 300s}, Row{"wait=99999999999999999999999", 300s},
          Row{"wait", std::nullopt}, Row{"wait=", std::nullopt}, Row{"wait=-1", std::nullopt},
          Row{"wait=1.5", std::nullopt}, Row{"waiting=5", std::nullopt}, Row{"", std::nullopt}})
        EXPECT_EQ(preferred_wait(with({{"Prefer", row.value}})), row.wait) << row.value;
    EXPECT_EQ(preferred_wait(with({{"Prefer", "handling=lenient"}, {"prefer", "wait=10"}})),
              10s); // §2
    EXPECT_EQ(preferred_wait(with({})), std::nullopt);
}

TEST(hosts, accepts_loopback_and_its_own_address_with_any_port) {
    Hosts hosts;
    hosts.add("192.0.2.7");
    for (const char* host :
         {"localhost", "LocalHost:8080", "localhost.", "127.0.0.1", "127.0.0.1:80", "127.8.9.1",
          "[::1]", "[::1]:8080", "192.0.2.7:8080", "localhost:"})
        EXPECT_TRUE(hosts.accept(host)) << host;
    for (const char* host :
         {"", ":8080", "evil.example", "evil.example:8080", "localhost.evil.example",
          "127.0.0.1.evil.example", "192.0.2.8", "[::2]", "[::1", "[::1]x", "localhost:80x",
          "user@localhost", "local host", "0.0.0.0", "2130706433"})
        EXPECT_FALSE(hosts.accept(host)) << host;
}

TEST(lists, split_outside_quotes) { // RFC 9110 §5.6.1, §5.6.4
    using testing::ElementsAre;
    EXPECT_THAT(list_members("a, b ,,c"), ElementsAre("a", "b", "c"));
    EXPECT_THAT(list_members("a=\"x, \\\"y\", b"), ElementsAre("a=\"x, \\\"y\"", "b"));
    EXPECT_THAT(list_members(" , "), ElementsAre());
    EXPECT_THAT(list_members("a=\"open, b"), ElementsAre("a=\"open, b"));
}

TEST(percent, decodes_and_encodes) { // RFC 3986 §2.1
    EXPECT_EQ(percent_decoded("a%2Fb%20%c3%a9"), "a/b \xC3\xA9");
    EXPECT_EQ(percent_decoded("a+b"), "a+b");
    for (const char* text : {"%", "%2", "%2g", "%g2", "a%"})
        EXPECT_FALSE(percent_decoded(text)) << text;
    EXPECT_EQ(percent_encoded("a/b \xC3\xA9~"), "a%2Fb%20%C3%A9~");
}

} // namespace
} // namespace slotwitness::api
