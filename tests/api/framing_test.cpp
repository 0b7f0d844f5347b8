#include <slotwitness/api/framing.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using testing::HasSubstr;

TEST(response, has_a_date_as_rfc_9110_shows) { // §5.6.7
    const Framing framing{false, false, std::chrono::sys_seconds{std::chrono::seconds{784111777}}};
    EXPECT_THAT(to_bytes({}, framing), HasSubstr("\r\nDate: Sun, 06 Nov 1994 08:49:37 GMT\r\n"));
}

TEST(response, of_304_has_neither_length_nor_body) { // RFC 9110 §15.4.5
    Response response;
    response.status = 304;
    const std::string bytes = to_bytes(response, {});
    EXPECT_THAT(bytes, testing::Not(HasSubstr("Strict-Transport-Security"))); // RFC 6797 §7.2
    EXPECT_EQ(bytes.find("Content-Length"), std::string::npos);
    EXPECT_THAT(bytes, testing::StartsWith("HTTP/1.1 304 Not Modified\r\n"));
}

TEST(response, has_one_policy_alone) { // CSP Level 3, 8.1: a browser enforces all that it is given
    const auto policies = [](const Response& response) {
        const std::string bytes = to_bytes(response, {});
        std::size_t count = 0;
        for (std::size_t at = bytes.find("Content-Security-Policy"); at != std::string::npos;
             at = bytes.find("Content-Security-Policy", at + 1))
            ++count;
        return count;
    };
    Response page;
    EXPECT_EQ(policies(page), 1U);
    page.fields.push_back({"Content-Security-Policy", "default-src 'none'"});
    EXPECT_EQ(policies(page), 1U);
}

} // namespace
} // namespace slotwitness::api
