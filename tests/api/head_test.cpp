#include <slotwitness/api/head.hpp>

#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

tl::expected<Head, ProblemDetails> read(std::string_view head) {
    const ServerLimits limits;
    const auto end = head_end(head, limits);
    if (!end)
        return tl::unexpected{end.error()};
    EXPECT_EQ(*end, head.size()) << head;
    return read_head(head.substr(0, *end), Hosts{}, limits);
}

const std::string get = "GET /livez HTTP/1.1\r\n";
const std::string host = "Host: localhost\r\n";
const std::string post = "POST /v1/gates HTTP/1.1\r\nHost: localhost\r\n";

struct RefusedHead {
    const char* what;
    std::string head;
    int status;
    const char* field;
};

void PrintTo(const RefusedHead& refused, std::ostream* out) {
    *out << refused.what;
}

class refused_head : public testing::TestWithParam<RefusedHead> {};

TEST_P(refused_head, is_refused_with_its_status_and_field) {
    const auto head = read(GetParam().head);
    ASSERT_FALSE(head);
    EXPECT_EQ(head.error().status, GetParam().status) << head.error().detail;
    EXPECT_EQ(head.error().field, GetParam().field) << head.error().detail;
    EXPECT_FALSE(head.error().remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(
    heads, refused_head,
    testing::Values(
        // RFC 9112 §6.1, §6.3: what two readers may frame in two ways
        RefusedHead{"chunked", post + "Transfer-Encoding: chunked\r\n\r\n", 501,
                    "Transfer-Encoding"},
        RefusedHead{"other_coding", post + "Transfer-Encoding: gzip\r\n\r\n", 501,
                    "Transfer-Encoding"},
        RefusedHead{"length_and_coding",
                    post + "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n", 400,
                    "Transfer-Encoding"},
        RefusedHead{"coding_and_length",
                    post + "Transfer-Encoding: chunked\r\nContent-Length: 5\r\n\r\n", 400,
                    "Content-Length"},
        RefusedHead{"two_lengths", post + "Content-Length: 5\r\nContent-Length: 6\r\n\r\n", 400,
                    "Content-Length"},
        RefusedHead{"the_same_length_twice",
                    post + "Content-Length: 5\r\ncontent-length: 5\r\n\r\n", 400, "Content-Length"},
        RefusedHead{"a_list_of_lengths", post + "Content-Length: 5, 5\r\n\r\n", 400,
                    "Content-Length"},
        RefusedHead{"a_signed_length", post + "Content-Length: +5\r\n\r\n", 400, "Content-Length"},
        RefusedHead{"a_negative_length", post + "Content-Length: -5\r\n\r\n", 400,
                    "Content-Length"},
        RefusedHead{"a_hexadecimal_length", post + "Content-Length: 0x5\r\n\r\n", 400,
                    "Content-Length"},
        RefusedHead{"an_empty_length", post + "Content-Length: \r\n\r\n", 400, "Content-Length"},
        RefusedHead{"a_length_over_the_bound", post + "Content-Length: 65537\r\n\r\n", 413,
                    "Content-Length"},
        RefusedHead{"a_length_over_all_numbers",
                    post + "Content-Length: 99999999999999999999999\r\n\r\n", 400,
                    "Content-Length"},
        // RFC 9112 §2.2, §5.1, §5.2
        RefusedHead{"obs_fold", get + "Host: localhost\r\nX-A: b\r\n c\r\n\r\n", 400, ""},
        RefusedHead{"obs_fold_of_the_first_field", get + " X-A: b\r\nHost: localhost\r\n\r\n", 400,
                    ""},
        RefusedHead{"blank_before_the_colon", get + "Host : localhost\r\n\r\n", 400, ""},
        RefusedHead{"bare_lf", "GET /livez HTTP/1.1\nHost: localhost\n\n", 400, ""},
        RefusedHead{"bare_lf_after_a_field", get + "Host: localhost\nX: y\r\n\r\n", 400, ""},
        RefusedHead{"bare_cr",
                    get + "Host: localhost\r\nX-A: b\rTransfer-Encoding: chunked\r\n\r\n", 400, ""},
        RefusedHead{"nul", get + host + std::string("X-A: b\0c\r\n\r\n", 11), 400, ""},
        RefusedHead{"no_colon", get + host + "nonsense\r\n\r\n", 400, ""},
        RefusedHead{"an_empty_name", get + host + ": x\r\n\r\n", 400, ""},
        RefusedHead{"nonsense", "nonsense\r\n\r\n", 400, ""},
        RefusedHead{"two_blanks", "GET  /livez HTTP/1.1\r\nHost: localhost\r\n\r\n", 400, ""},
        RefusedHead{"version_2", "GET /livez HTTP/2.0\r\nHost: localhost\r\n\r\n", 505, ""},
        RefusedHead{"version_0_9", "GET /livez\r\n\r\n", 400, ""},
        // RFC 9112 §3.2
        RefusedHead{"no_host", get + "\r\n", 400, "Host"},
        RefusedHead{"two_hosts", get + host + host + "\r\n", 400, "Host"},
        RefusedHead{"a_foreign_host", get + "Host: evil.example\r\n\r\n", 421,
                    "Host"}, // RFC 9110 §15.5.20
        RefusedHead{"an_empty_host", get + "Host:\r\n\r\n", 421, "Host"},
        RefusedHead{"a_foreign_host_in_1_0", "GET /livez HTTP/1.0\r\nHost: evil.example\r\n\r\n",
                    421, "Host"},
        RefusedHead{"a_foreign_target",
                    "GET http://evil.example/livez HTTP/1.1\r\nHost: localhost\r\n\r\n", 421,
                    "Host"},
        RefusedHead{"a_target_without_slash", "GET livez HTTP/1.1\r\nHost: localhost\r\n\r\n", 400,
                    ""},
        RefusedHead{"asterisk", "OPTIONS * HTTP/1.1\r\nHost: localhost\r\n\r\n", 501, ""},
        RefusedHead{"authority", "CONNECT localhost:80 HTTP/1.1\r\nHost: localhost\r\n\r\n", 501,
                    ""},
        RefusedHead{"a_bad_escape", "GET /v1/gates/%zz HTTP/1.1\r\nHost: localhost\r\n\r\n", 400,
                    ""},
        RefusedHead{"a_long_target",
                    "GET /" + std::string(2048, 'a') + " HTTP/1.1\r\nHost: localhost\r\n\r\n", 414,
                    ""},
        RefusedHead{"a_long_field", get + host + "X-A: " + std::string(8192, 'a') + "\r\n\r\n", 431,
                    ""}, // RFC 6585 §5
        RefusedHead{"an_expectation", get + host + "Expect: a-miracle\r\n\r\n", 417, "Expect"}),
    [](const auto& info) { return std::string{info.param.what}; });

TEST(head, is_read) {
    const auto head =
        read("POST /v1/gates?x=1&y HTTP/1.1\r\nHost: 127.0.0.1:80\r\nX-A:  b \r\nx-a: c\r\n"
             "Content-Length: 65536\r\nExpect: 100-continue\r\n\r\n");
    ASSERT_TRUE(head) << head.error().detail;
    EXPECT_EQ(head->request.method, Method::post);
    EXPECT_EQ(head->request.path, "/v1/gates");
    EXPECT_EQ(head->request.query, "x=1&y");
    EXPECT_EQ(head->request.field("X-a"), "b, c");
    EXPECT_EQ(head->body, 65536U);
    EXPECT_TRUE(head->keep_alive);
    EXPECT_TRUE(head->expects_continue);
}

TEST(head, keeps_alive_as_rfc_9112_says) { // §9.3; a client of 1.0 gets one response here
    EXPECT_TRUE(read(get + host + "\r\n")->keep_alive);
    EXPECT_FALSE(read(get + host + "Connection: close\r\n\r\n")->keep_alive);
    EXPECT_FALSE(read(get + host + "Connection: upgrade, Close\r\n\r\n")->keep_alive);
    EXPECT_FALSE(read("GET /livez HTTP/1.0\r\n\r\n")->keep_alive);
    EXPECT_FALSE(read("GET /livez HTTP/1.0\r\nConnection: keep-alive\r\n\r\n")->keep_alive);
}

TEST(head, takes_the_absolute_form) { // RFC 9112 §3.2.2
    const auto head =
        read("GET http://localhost:8080/v1/gates?a HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n");
    ASSERT_TRUE(head);
    EXPECT_EQ(head->request.path, "/v1/gates");
    EXPECT_EQ(head->request.query, "a");
    EXPECT_EQ(read("GET HTTP://localhost HTTP/1.1\r\nHost: localhost\r\n\r\n")->request.path, "/");
}

TEST(head, of_1_0_may_expect_nothing_and_needs_no_host) { // RFC 9110 §10.1.1
    const auto head =
        read("POST /v1/gates HTTP/1.0\r\nExpect: 100-continue\r\nContent-Length: 3\r\n\r\n");
    ASSERT_TRUE(head);
    EXPECT_FALSE(head->expects_continue);
}

TEST(head, ends_at_its_first_empty_line) {
    const ServerLimits limits;
    const std::string bytes = get + host + "\r\nGET / HTTP/1.1\nand more";
    EXPECT_EQ(*head_end(bytes, limits), get.size() + host.size() + 2);
    for (std::size_t length = 0; length < get.size() + host.size() + 2; ++length)
        EXPECT_EQ(*head_end(std::string_view{bytes}.substr(0, length), limits), 0U) << length;
}

TEST(head, may_fill_its_bound_and_no_more) {
    const ServerLimits limits;
    const std::string begin = get + host + "X-A: ";
    const std::string full =
        begin + std::string(limits.header_bytes - begin.size() - 4, 'a') + "\r\n\r\n";
    ASSERT_EQ(full.size(), limits.header_bytes);
    EXPECT_EQ(head_end(full, limits), limits.header_bytes);
    EXPECT_TRUE(read_head(full, Hosts{}, limits));
    const auto over = head_end(
        begin + std::string(limits.header_bytes - begin.size() - 3, 'a') + "\r\n\r\n", limits);
    ASSERT_FALSE(over);
    EXPECT_EQ(over.error().status, 431);
}

} // namespace
} // namespace slotwitness::api
