#include <slotwitness/api/preconditions.hpp>

#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

Request with(Method method, std::vector<Field> fields) {
    Request request;
    request.method = method;
    request.fields = std::move(fields);
    return request;
}

/// The table of RFC 9110 §8.8.3.2, row for row.
TEST(entity_tags, compare_as_the_table_of_rfc_9110) {
    struct Row {
        EntityTag left, right;
        bool strong = false, weak = false;
    };
    const EntityTag w1{"1", true}, w2{"2", true}, s1{"1", false};
    for (const Row& row : {Row{w1, w1, false, true}, Row{w1, w2, false, false},
                           Row{w1, s1, false, true}, Row{s1, s1, true, true}}) {
        EXPECT_EQ(strongly_equal(row.left, row.right), row.strong)
            << to_text(row.left) << to_text(row.right);
        EXPECT_EQ(weakly_equal(row.left, row.right), row.weak)
            << to_text(row.left) << to_text(row.right);
    }
}

TEST(entity_tags, are_read_from_the_examples_of_rfc_9110) { // §8.8.3, §13.1.1, §13.1.2
    EXPECT_EQ(parse_tag_condition("\"xyzzy\"")->tags, (std::vector<EntityTag>{{"xyzzy", false}}));
    EXPECT_EQ(parse_tag_condition("W/\"xyzzy\"")->tags, (std::vector<EntityTag>{{"xyzzy", true}}));
    EXPECT_EQ(parse_tag_condition("\"\"")->tags, (std::vector<EntityTag>{{"", false}}));
    EXPECT_EQ(parse_tag_condition("W/\"xyzzy\", W/\"r2d2xxxx\", W/\"c3piozzzz\"")->tags,
              (std::vector<EntityTag>{{"xyzzy", true}, {"r2d2xxxx", true}, {"c3piozzzz", true}}));
    EXPECT_TRUE(parse_tag_condition("*")->any);
}

TEST(entity_tags, hold_commas_and_backslashes) { // RFC 9110 §8.8.3: a tag is no quoted-string
    EXPECT_EQ(parse_tag_condition("\"a,b\" , \"c\\\"")->tags,
              (std::vector<EntityTag>{{"a,b", false}, {"c\\", false}}));
    EXPECT_EQ(parse_tag_condition(",, \"a\" ,")->tags.size(),
              1U); // RFC 9110 §5.6.1.2: empty members
}

TEST(entity_tags, are_not_read_from_anything_else) {
    for (const char* text :
         {"", "  ", ",", "abc", "\"abc", "w/\"a\"", "W/a", "\"a\" \"b\"", "*, \"a\"", "\"a\"x"})
        EXPECT_FALSE(parse_tag_condition(text)) << text;
}

TEST(preconditions, if_none_match_compares_weakly_and_is_304_or_412) { // RFC 9110 §13.1.2
    const EntityTag current{"4", true};
    struct Row {
        Method method;
        const char* value;
        Precondition expected;
    };
    for (const Row& row : {Row{Method::get, "W/\"4\"", Precondition::not_modified},
                           Row{Method::get, "\"4\"", Precondition::not_modified},
                           Row{Method::head, "W/\"3\", W/\"4\"", Precondition::not_modified},
                           Row{Method::get, "*", Precondition::not_modified},
                           Row{Method::get, "W/\"5\"", Precondition::go_on},
                           Row{Method::get, "4", Precondition::go_on},
                           Row{Method::delete_, "W/\"4\"", Precondition::failed},
                           Row{Method::delete_, "W/\"5\"", Precondition::go_on}})
        EXPECT_EQ(evaluate(with(row.method, {{"If-None-Match", row.value}}), current), row.expected)
            << row.value;
    EXPECT_EQ(evaluate(with(Method::get, {{"if-none-match", "\"1\""}, {"IF-NONE-MATCH", "\"4\""}}),
                       current),
              Precondition::not_modified); // RFC 9110 §5.3: two lines are one list
}

TEST(preconditions, if_match_compares_strongly_and_goes_first) { // RFC 9110 §13.1.1, §13.2.2
    const EntityTag weak{"4", true};
    const EntityTag strong{"4", false};
    EXPECT_EQ(evaluate(with(Method::delete_, {{"If-Match", "W/\"4\""}}), weak),
              Precondition::failed);
    EXPECT_EQ(evaluate(with(Method::delete_, {{"If-Match", "*"}}), weak), Precondition::go_on);
    EXPECT_EQ(evaluate(with(Method::delete_, {{"If-Match", "\"4\""}}), strong),
              Precondition::go_on);
    EXPECT_EQ(
        evaluate(with(Method::get, {{"If-Match", "\"5\""}, {"If-None-Match", "\"4\""}}), strong),
        Precondition::failed);
}

} // namespace
} // namespace slotwitness::api
