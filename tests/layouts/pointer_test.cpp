#include <slotwitness/layouts/pointer.hpp>

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

#include <string>
#include <utility>
#include <vector>

namespace slotwitness::layouts {
namespace {

using nlohmann::json;
using testing::ElementsAre;

std::vector<std::string> tokens(std::string_view text, Wildcards wildcards = Wildcards::none) {
    const auto pointer = parse_pointer(text, wildcards);
    EXPECT_TRUE(pointer) << text;
    std::vector<std::string> texts;
    if (pointer)
        for (const Token& token : pointer->tokens)
            texts.push_back(token.text);
    return texts;
}

/// What a pointer names in a document, by the rules of is_member and is_element alone.
json evaluated(const json& document, const Pointer& pointer) {
    json at = document;
    for (const Token& token : pointer.tokens) {
        json next = "nothing is named";
        if (at.is_object())
            for (const auto& [name, value] : at.items())
                if (is_member(token, name))
                    next = value;
        if (at.is_array())
            for (std::size_t i = 0; i < at.size(); ++i)
                if (is_element(token, i))
                    next = at[i];
        at = next;
    }
    return at;
}

// RFC 6901, section 5: the document and the table of pointers, as they stand there.
constexpr const char* document_of_section_5 = R"({
      "foo": ["bar", "baz"],
      "": 0,
      "a/b": 1,
      "c%d": 2,
      "e^f": 3,
      "g|h": 4,
      "i\\j": 5,
      "k\"l": 6,
      " ": 7,
      "m~n": 8
   })";

TEST(Pointer, names_what_section_5_of_rfc_6901_says) {
    const json document = json::parse(document_of_section_5);
    const std::vector<std::pair<std::string, json>> table{
        {"", document},    {"/foo", {"bar", "baz"}},
        {"/foo/0", "bar"}, {"/", 0},
        {"/a~1b", 1},      {"/c%d", 2},
        {"/e^f", 3},       {"/g|h", 4},
        {"/i\\j", 5},      {"/k\"l", 6},
        {"/ ", 7},         {"/m~0n", 8}};
    for (const auto& [text, value] : table) {
        const auto pointer = parse_pointer(text, Wildcards::none);
        ASSERT_TRUE(pointer) << text;
        EXPECT_EQ(evaluated(document, *pointer), value) << text;
        EXPECT_EQ(to_text(*pointer), text);
    }
}

TEST(Pointer, undoes_escapes_once_from_left_to_right) {
    // RFC 6901, section 4: "~01" correctly becomes "~1".
    EXPECT_THAT(tokens("/~01"), ElementsAre("~1"));
    EXPECT_THAT(tokens("/~00/~10/~1~0"), ElementsAre("~0", "/0", "/~"));
    EXPECT_THAT(tokens("//a/"), ElementsAre("", "a", ""));
}

TEST(Pointer, counts_elements_without_leading_zeros) {
    EXPECT_TRUE(is_element({"0"}, 0));
    EXPECT_TRUE(is_element({"10"}, 10));
    for (const char* text : {"00", "01", "-", "", "+1", "1 ", "-1", "1.0", "1e0"})
        for (std::size_t index : {0U, 1U})
            EXPECT_FALSE(is_element({text}, index)) << text;
    EXPECT_TRUE(is_member({"01"}, "01"));
    EXPECT_TRUE(is_member({"-"}, "-"));
}

TEST(Pointer, has_wildcards_only_where_they_are_allowed) {
    EXPECT_FALSE(parse_pointer("/*", Wildcards::none)->tokens[0].any);
    EXPECT_TRUE(parse_pointer("/a/*/b", Wildcards::one)->tokens[1].any);
    EXPECT_FALSE(parse_pointer("/a*", Wildcards::many)->tokens[0].any);
    EXPECT_TRUE(parse_pointer("/*/a/*", Wildcards::many)->tokens[2].any);
    EXPECT_TRUE(is_member({"*", true}, "anything"));
    EXPECT_TRUE(is_element({"*", true}, 7));
    EXPECT_FALSE(is_member({"*", false}, "anything"));
}

TEST(Pointer, tells_what_is_wrong_and_where) {
    const auto problem = [](std::string_view text, Wildcards wildcards = Wildcards::one) {
        const auto pointer = parse_pointer(text, wildcards);
        EXPECT_FALSE(pointer) << text;
        return pointer ? state::Problem{} : pointer.error();
    };
    EXPECT_EQ(problem("a/b").at, (state::Position{1, 1}));
    EXPECT_EQ(problem("a/b").expected, "\"/\" before the first name");
    EXPECT_EQ(problem("#/a").found, "#");
    EXPECT_EQ(problem("/a~").at, (state::Position{1, 3}));
    EXPECT_EQ(problem("/a~").expected, "~0 or ~1");
    EXPECT_EQ(problem("/a~2b/c").found, "~2b");
    EXPECT_EQ(problem("/~/0").at, (state::Position{1, 2}));
    EXPECT_EQ(problem("/*/a/*").at, (state::Position{1, 6}));
    EXPECT_EQ(problem("/*/a/*").expected, "a name, for one * stands before it");
    EXPECT_FALSE(problem("x").remedy.empty());
}

} // namespace
} // namespace slotwitness::layouts
