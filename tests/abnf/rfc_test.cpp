#include "helpers.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace slotwitness::abnf {
namespace {

std::string read_file(const std::string& name) {
    std::ifstream in{std::string{SLOTWITNESS_TESTS} + "/abnf/data/" + name, std::ios::binary};
    EXPECT_TRUE(in.is_open()) << name;
    return {std::istreambuf_iterator<char>{in}, {}};
}

std::string with_crlf(const std::string& text) {
    std::string changed;
    for (const char c : text)
        changed += c == '\n' ? "\r\n" : std::string(1, c);
    return changed;
}

TEST(Rfc5234, its_own_grammar_describes_its_own_text) {
    const std::string text = with_crlf(read_file("rfc5234.abnf"));
    Tried abnf{text, {"rulelist"}, {"rulename", "CRLF"}};
    const Match match = abnf.match(text);
    ASSERT_EQ(match.outcome, Outcome::matched) << abnf.expected(text);
    std::vector<std::string> names;
    std::size_t lines = 0;
    for (const Capture& capture : match.captures) {
        if (capture.rule == 0)
            names.push_back(text.substr(capture.begin, capture.end - capture.begin));
        else
            ++lines;
    }
    EXPECT_EQ(names[0], "rulelist");
    EXPECT_EQ(names[1], "rule");
    EXPECT_EQ(names[2], "c-wsp");
    EXPECT_EQ(names.back(), "HTAB");
    EXPECT_EQ(lines, std::count(text.begin(), text.end(), '\n'));
}

TEST(Rfc5234, its_own_grammar_refuses_what_is_no_rule_list) {
    Tried abnf{read_file("rfc5234.abnf"), {"rulelist"}};
    EXPECT_TRUE(abnf.matches("a = b\r\n"));
    EXPECT_TRUE(abnf.matches("; only a comment\r\n\r\n"));
    EXPECT_FALSE(abnf.matches(""));
    EXPECT_FALSE(abnf.matches("a = b"));
    EXPECT_FALSE(abnf.matches("a = b\n"));
    EXPECT_FALSE(abnf.matches("a = b )\r\n"));
    EXPECT_FALSE(abnf.matches("a_b = c\r\n"));
}

TEST(Rfc5234, lines_may_end_in_either_way) {
    const std::string text = read_file("rfc5234.abnf");
    const Grammar unix_lines = grammar_of(text);
    const Grammar internet_lines = grammar_of(with_crlf(text));
    ASSERT_EQ(unix_lines.rules.size(), internet_lines.rules.size());
    for (std::size_t i = 0; i < unix_lines.rules.size(); ++i)
        EXPECT_EQ(unix_lines.rules[i].at, internet_lines.rules[i].at);
}

TEST(Rfc3986, its_examples_are_uris) {
    Tried uri{read_file("rfc3986.abnf"), {"URI"}, {"scheme", "host", "port", "path-absolute"}};
    // Section 1.1.2.
    for (const char* text :
         {"ftp://ftp.is.co.za/rfc/rfc1808.txt", "http://www.ietf.org/rfc/rfc2396.txt",
          "ldap://[2001:db8::7]/c=GB?objectClass?one", "mailto:John.Doe@example.com",
          "news:comp.infosystems.www.servers.unix", "tel:+1-816-555-1212",
          "telnet://192.0.2.16:80/", "urn:oasis:names:specification:docbook:dtd:xml:4.1.2"})
        EXPECT_TRUE(uri.matches(text)) << text << ": " << uri.expected(text);
    EXPECT_EQ(uri.captures("telnet://192.0.2.16:80/"), "0=telnet 1=192.0.2.16 2=80");
    EXPECT_EQ(uri.captures("ldap://[2001:db8::7]/c=GB?objectClass?one"), "0=ldap 1=[2001:db8::7]");
    EXPECT_EQ(uri.captures("tel:/a"), "0=tel 3=/a");
}

TEST(Rfc3986, other_texts_are_none) {
    Tried uri{read_file("rfc3986.abnf"), {"URI"}};
    for (const char* text : {"", "a", "1http://x", "http://[::1", "http://[1::2::3]/",
                             "http://a b/", "http://a/%zz", "http://[12345::]/", "http://a:8o/"})
        EXPECT_FALSE(uri.matches(text)) << text;
    EXPECT_THAT(uri.expected("http:// a"), testing::StartsWith("7: rule \"authority\", "));
}

TEST(Rfc3986, all_forms_of_an_ipv6_address_match) {
    Tried address{read_file("rfc3986.abnf"), {"IPv6address"}};
    for (const char* text :
         {"1:2:3:4:5:6:7:8", "1:2:3:4:5:6:192.0.2.1", "::", "::1", "1::", "1::2", "::2:3:4:5:6:7:8",
          "1::3:4:5:6:7:8", "1:2::4:5:6:7:8", "1:2:3::5:6:7:8", "1:2:3:4::6:7:8", "1:2:3:4:5::7:8",
          "1:2:3:4:5:6::8", "1:2:3:4:5:6:7::", "abcd::192.0.2.255"})
        EXPECT_TRUE(address.matches(text)) << text << ": " << address.expected(text);
    for (const char* text : {"1", "1:2:3:4:5:6:7", "1:2:3:4:5:6:7:8:9", "1::2::3", "12345::", ":",
                             "::192.0.2.256", "1:2:3:4:5:6:7:8::"})
        EXPECT_FALSE(address.matches(text)) << text;
}

} // namespace
} // namespace slotwitness::abnf
