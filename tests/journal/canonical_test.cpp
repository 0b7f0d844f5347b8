#include <slotwitness/journal/canonical.hpp>
#include <slotwitness/journal/utf8.hpp>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <rapidcheck/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::journal {

using nlohmann::json;

/// RFC 8785, section 3.2.2: the input as the RFC writes it, and its output of section 3.2.3.
TEST(Canonical, writes_the_sample_of_the_rfc) {
    const json value = json::parse(R"({
        "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
        "literals": [null, true, false]
      })");
    EXPECT_EQ(canonical(value), R"({"literals":[null,true,false],)"
                                R"("numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],)"
                                R"("string":"€$\u000f\nA'B\"\\\\\"/"})");
}

/// RFC 8785, section 3.2.3: the order is that of UTF-16 code units, so the emoji comes before
/// U+FB33.
TEST(Canonical, sorts_names_by_utf16_code_units) {
    const json value = json::parse(R"({
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\ud83d\ude00": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis"
      })");
    EXPECT_EQ(canonical(value), "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\","
                                "\"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\","
                                "\"😀\":\"Emoji: Grinning Face\","
                                "\"\uFB33\":\"Hebrew Letter Dalet With Dagesh\"}");
}

/// RFC 8785, appendix B, every finite row.
TEST(Canonical, writes_numbers_as_the_table_of_the_rfc) {
    const std::vector<std::pair<std::uint64_t, std::string>> table = {
        {0x0000000000000000, "0"},
        {0x8000000000000000, "0"},
        {0x0000000000000001, "5e-324"},
        {0x8000000000000001, "-5e-324"},
        {0x7fefffffffffffff, "1.7976931348623157e+308"},
        {0xffefffffffffffff, "-1.7976931348623157e+308"},
        {0x4340000000000000, "9007199254740992"},
        {0xc340000000000000, "-9007199254740992"},
        {0x4430000000000000, "295147905179352830000"},
        {0x44b52d02c7e14af5, "9.999999999999997e+22"},
        {0x44b52d02c7e14af6, "1e+23"},
        {0x44b52d02c7e14af7, "1.0000000000000001e+23"},
        {0x444b1ae4d6e2ef4e, "999999999999999700000"},
        {0x444b1ae4d6e2ef4f, "999999999999999900000"},
        {0x444b1ae4d6e2ef50, "1e+21"},
        {0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"},
        {0x3eb0c6f7a0b5ed8d, "0.000001"},
        {0x41b3de4355555553, "333333333.3333332"},
        {0x41b3de4355555554, "333333333.33333325"},
        {0x41b3de4355555555, "333333333.3333333"},
        {0x41b3de4355555556, "333333333.3333334"},
        {0x41b3de4355555557, "333333333.33333343"},
        {0xbecbf647612f3696, "-0.0000033333333333333333"},
        {0x43143ff3c1cb0959, "1424953923781206.2"},
    };
    for (const auto& [bits, text] : table)
        EXPECT_EQ(canonical(json(std::bit_cast<double>(bits))), text);
}

TEST(Canonical, refuses_numbers_that_json_does_not_have) {
    EXPECT_THROW((void)canonical(json(std::numeric_limits<double>::quiet_NaN())),
                 std::invalid_argument);
    EXPECT_THROW((void)canonical(json(std::numeric_limits<double>::infinity())),
                 std::invalid_argument);
    EXPECT_THROW((void)canonical(json(-std::numeric_limits<double>::infinity())),
                 std::invalid_argument);
}

TEST(Canonical, refuses_integers_that_a_double_may_not_hold) {
    constexpr std::int64_t largest = 9007199254740991; // RFC 7493 (I-JSON), section 2.2
    EXPECT_EQ(canonical(json(largest)), "9007199254740991");
    EXPECT_EQ(canonical(json(-largest)), "-9007199254740991");
    EXPECT_THROW((void)canonical(json(largest + 1)), std::invalid_argument);
    EXPECT_THROW((void)canonical(json(-largest - 1)), std::invalid_argument);
    EXPECT_THROW((void)canonical(json(std::numeric_limits<std::uint64_t>::max())),
                 std::invalid_argument);
}

TEST(Canonical, refuses_text_that_is_not_utf8_and_names_it) {
    for (const std::string bad : {"\xff", "\xed\xa0\x80", "\xc0\xaf", "a\xe2\x82"}) {
        EXPECT_THROW((void)canonical(json(bad)), std::invalid_argument);
        EXPECT_THROW((void)canonical(json::object({{bad, 1}})), std::invalid_argument);
    }
    try {
        (void)canonical(json("FAB3\xff"));
        FAIL();
    } catch (const std::invalid_argument& refused) {
        EXPECT_STREQ(refused.what(), "canonical JSON: \"FAB3\uFFFD\" is not UTF-8");
    }
}

TEST(Canonical, writes_empty_things) {
    EXPECT_EQ(canonical(json::object()), "{}");
    EXPECT_EQ(canonical(json::array()), "[]");
    EXPECT_EQ(canonical(json("")), "\"\"");
    EXPECT_EQ(canonical(json::parse(R"({"a":[{}],"b":{"c":[]}})")), R"({"a":[{}],"b":{"c":[]}})");
}

RC_GTEST_PROP(Canonical, is_read_back_by_another_parser_as_the_same_number, (double value)) {
    RC_PRE(std::isfinite(value));
    const json back = json::parse(canonical(json(value)));
    RC_ASSERT(back.get<double>() == value);
}

RC_GTEST_PROP(Canonical, is_a_fixed_point,
              (const std::vector<std::pair<std::string, std::vector<int>>>& members)) {
    json value = json::object();
    for (const auto& [name, numbers] : members)
        value[as_utf8(name)] = numbers;
    const std::string once = canonical(value);
    RC_ASSERT(json::parse(once) == value);
    RC_ASSERT(canonical(json::parse(once)) == once);
}

/// The Unicode Standard, section 3.9, table 3-11 (numbering of version 15; from memory): one U+FFFD
/// for each maximal subpart.
TEST(Utf8, puts_one_replacement_for_each_maximal_part) {
    EXPECT_EQ(as_utf8("\x61\xF1\x80\x80\xE1\x80\xC2\x62\x80\x63\x80\xBF\x64"),
              "a\uFFFD\uFFFD\uFFFDb\uFFFDc\uFFFD\uFFFDd");
    EXPECT_EQ(as_utf8("\xC0\xAF\xE0\x80\xBF\xF0\x81\x82\x41"),
              "\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\x41");
    EXPECT_EQ(as_utf8("\xED\xA0\x80\xED\xBF\xBF\xED\xAF\x41"),
              "\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\x41");
}

TEST(Utf8, knows_the_bounds_of_well_formed_sequences) {
    for (const char* good :
         {"\x7F", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80",
          "\xEF\xBF\xBF", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
        EXPECT_TRUE(is_utf8(good)) << good;
    for (const char* bad : {"\x80", "\xC1\xBF", "\xE0\x9F\xBF", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF",
                            "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xC2", "\xE2\x82"})
        EXPECT_FALSE(is_utf8(bad));
}

RC_GTEST_PROP(Utf8, leaves_nothing_malformed_and_good_text_alone, (const std::string& bytes)) {
    const std::string text = as_utf8(bytes);
    RC_ASSERT(is_utf8(text));
    RC_ASSERT(as_utf8(text) == text);
    RC_ASSERT(is_utf8(bytes) == (text == bytes));
}

} // namespace slotwitness::journal
