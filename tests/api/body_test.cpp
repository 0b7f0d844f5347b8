#include <slotwitness/api/body.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using testing::HasSubstr;

constexpr std::array<Known, 3> known{{{"chassis", true}, {"sentence", true}, {"gap"}}};

struct Refused {
    std::string text;
    std::size_t line;
    std::size_t column;
    std::string found;
    std::string expected;
};

void PrintTo(const Refused& refused, std::ostream* out) {
    *out << testing::PrintToString(refused.text);
}

class refused_json : public testing::TestWithParam<Refused> {};

TEST_P(refused_json, names_the_place_and_what_stands_there) {
    const auto read = read_json(GetParam().text);
    ASSERT_FALSE(read) << GetParam().text;
    EXPECT_EQ(read.error().status, 400);
    EXPECT_EQ(read.error().at.line, GetParam().line);
    EXPECT_EQ(read.error().at.column, GetParam().column);
    EXPECT_THAT(read.error().found, HasSubstr(GetParam().found));
    EXPECT_THAT(read.error().expected, HasSubstr(GetParam().expected));
    EXPECT_FALSE(read.error().remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(
    bodies, refused_json,
    testing::Values(
        Refused{"", 1, 1, "end of text", ""}, Refused{"{\"a\":", 1, 6, "end of text", ""},
        Refused{"{\"a\": tru}", 1, 10, "tru", ""}, Refused{"{\n  \"a\" 1}", 2, 7, "1", "':'"},
        Refused{"{\"a\":1} x", 1, 9, "x", "end of input"}, Refused{"{\"a\":01}", 1, 7, "1", ""},
        Refused{"{'a':1}", 1, 2, "'", "string literal"},
        Refused{"{\"a\":1,}", 1, 8, "}", "string literal"}, Refused{"{\"a\":NaN}", 1, 6, "N", ""},
        Refused{"[1e999]", 1, 6, "1e999", ""}, Refused{"{\"a\":\"\x01\"}", 1, 7, "", ""},
        Refused{"{\"a\":\"\xff\"}", 1, 7, "", ""},
        Refused{"{\"a\":\"\\ud800\"}", 1, 13, "", ""}, // RFC 8259 §8.2: a lone surrogate
        Refused{std::string("{\"a\":1}\0{}", 10), 1, 8, "NUL", ""},
        Refused{"{\"a\":1,\n \"a\":2}", 2, 2, "a second member \"a\"", "once"},
        Refused{"{\"o\":{\"b\":1,\"b\":2}}", 1, 13, "\"b\"", "once"},
        Refused{"[[[[[[[[[1]]]]]]]]]", 1, 9, "more than 8 levels", ""}));

TEST(read_json, takes_what_rfc_8259_calls_a_text) {
    EXPECT_EQ(read_json("{\"a\":[1,{\"b~/\":\"c\"}]}")->value,
              nlohmann::json::parse("{\"a\":[1,{\"b~/\":\"c\"}]}"));
    EXPECT_EQ(read_json(" null ")->value, nullptr);
    EXPECT_EQ(read_json("\"x\"")->value, "x");
    EXPECT_EQ(read_json("[[[[[[[[1]]]]]]]]")->value.flatten().size(), 1U);
}

TEST(read_json, tells_where_each_member_stands) {
    const auto read = read_json("{ \"a\" : 1,\n  \"b\":{\"c/d\":[true, \"x\"]} }");
    ASSERT_TRUE(read);
    const std::map<std::string, state::Position> places{
        {"", {1, 1}},        {"/a", {1, 3}},         {"/b", {2, 3}},
        {"/b/c~1d", {2, 8}}, {"/b/c~1d/0", {2, 15}}, {"/b/c~1d/1", {2, 21}}};
    EXPECT_EQ(read->places, places);
}

TEST(read_json, counts_values) {
    std::string many = "[0";
    for (std::size_t i = 2; i < most_json_values; ++i)
        many += ",0";
    EXPECT_TRUE(read_json(many + "]")); // with the array itself
    const auto refused = read_json(many + ",0]");
    ASSERT_FALSE(refused);
    EXPECT_THAT(refused.error().found, HasSubstr("more than 256 values"));
}

TEST(read_strings, gives_the_members) {
    const auto strings = read_strings("{\"sentence\":\"plane 3 up\",\"chassis\":\"core1\"}", known);
    ASSERT_TRUE(strings);
    EXPECT_EQ(*strings, (std::map<std::string, std::string>{{"chassis", "core1"},
                                                            {"sentence", "plane 3 up"}}));
}

TEST(read_strings, names_a_member_that_is_not_known_and_those_that_are) {
    const auto refused =
        read_strings("{\"chassis\":\"core1\",\n \"sentance\":\"plane 3 up\"}", known);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().status, 422);
    EXPECT_EQ(refused.error().field, "sentance");
    EXPECT_EQ(refused.error().at, (state::Position{2, 2}));
    EXPECT_EQ(refused.error().found, "\"sentance\"");
    EXPECT_EQ(refused.error().expected, "one of chassis, sentence, gap");
}

TEST(read_strings, names_a_member_that_is_missing_or_of_another_type) {
    const auto missing = read_strings("{\"chassis\":\"core1\"}", known);
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().field, "sentence");
    EXPECT_EQ(missing.error().found, "nothing");
    const auto number = read_strings("{\"chassis\":7,\"sentence\":\"plane 3 up\"}", known);
    ASSERT_FALSE(number);
    EXPECT_EQ(number.error().field, "chassis");
    EXPECT_EQ(number.error().found, "number");
    EXPECT_EQ(number.error().expected, "a string");
    const auto list = read_strings("[]", known);
    ASSERT_FALSE(list);
    EXPECT_EQ(list.error().found, "array");
}

TEST(to_body, replaces_bytes_that_are_no_utf_8) {
    EXPECT_EQ(to_body(nlohmann::json{"a\xff"}), "[\n  \"a\xEF\xBF\xBD\"\n]\n");
}

} // namespace
} // namespace slotwitness::api
