#include "sheet.hpp"

#include <slotwitness/layouts/json.hpp>
#include <slotwitness/layouts/json_tokens.hpp>

#include <gmock/gmock.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using Values = std::map<std::string, std::string>;
using state::Position;

JsonSpec spec(std::string_view rows, std::vector<std::string> cells,
              std::vector<std::string> pass_over = {}) {
    return {*parse_pointer(rows, Wildcards::one), std::move(cells), std::move(pass_over)};
}

Sheet read(std::string_view answer, const JsonSpec& how, bool ended = true) {
    return sheet_of(read_json, answer, how, ended);
}

const JsonSpec modules = spec("/modules/*", {"/slot", "/state/oper", "/size", "/fru"});

TEST(Json, reads_rows_and_cells_where_they_stand) {
    const Sheet all = read("{\"modules\": [\n"
                           "  {\"slot\": \" FAB3\", \"state\": {\"oper\": \"enabled\"},\r\n"
                           "   \"size\": 12.50, \"fru\": true},\n"
                           "  {\"slot\": \"FAB4\", \"state\": {\"oper\": null}, \"size\":-0, "
                           "\"fru\":false}]}\n",
                           modules);
    EXPECT_THAT(all.unread, IsEmpty());
    ASSERT_THAT(all.blocks, SizeIs(2));
    EXPECT_THAT(all.blocks[0].cells, ElementsAre(KeptCell{"/slot", "FAB3", {2, 14}},
                                                 KeptCell{"/state/oper", "enabled", {2, 40}},
                                                 KeptCell{"/size", "12.50", {3, 12}},
                                                 KeptCell{"/fru", "true", {3, 26}}));
    EXPECT_EQ(all.blocks[0].at, (Position{2, 3}));
    EXPECT_EQ(all.blocks[0].text, "{\"slot\": \" FAB3\", \"state\": {\"oper\": \"enabled\"},\n"
                                  "   \"size\": 12.50, \"fru\": true}");
    EXPECT_TRUE(all.blocks[0].complete);
    EXPECT_EQ(all.blocks[0].kind, std::nullopt);
    EXPECT_EQ(all.blocks[1].values(),
              (Values{{"/slot", "FAB4"}, {"/state/oper", ""}, {"/size", "-0"}, {"/fru", "false"}}));
}

TEST(Json, keeps_numbers_exactly_as_they_are_written) {
    // Beyond 2^53, beyond 2^64, more digits than a double has, and forms that a double would lose.
    for (const char* number :
         {"9007199254740993", "18446744073709551615", "18446744073709551616",
          "123456789012345678901234567890", "0.1000000000000000055511151231257827", "1.0", "1E2",
          "-0.0", "1e-400", "0", "-7"})
        EXPECT_THAT(read("[{\"n\":" + std::string{number} + "}]", spec("/*", {"/n"})).values(),
                    ElementsAre(Values{{"/n", number}}));
    const Sheet all = read("[{\"n\":1e999}]", spec("/*", {"/n"}));
    ASSERT_THAT(all.unread, SizeIs(1));
    EXPECT_EQ(all.unread[0].expected, "a number whose size a double can hold");
    EXPECT_EQ(all.unread[0].column, 7U);
}

TEST(Json, gives_the_member_names_of_an_object_of_rows) {
    const Sheet all = read("{\"eth0\": {\"up\": true},\n \"e\\u0074h1\": {\"up\": false}}",
                           spec("/*", {"*", "/up"}));
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_THAT(all.values(), ElementsAre(Values{{"*", "eth0"}, {"/up", "true"}},
                                          Values{{"*", "eth1"}, {"/up", "false"}}));
    EXPECT_EQ(all.blocks[0].text, "\"eth0\": {\"up\": true}");
    EXPECT_EQ(all.blocks[1].cells[0].at, (Position{2, 3}));
    const Sheet plain = read("{\"eth0\": \"up\", \"eth1\": null}", spec("/*", {"*", ""}));
    EXPECT_THAT(plain.values(),
                ElementsAre(Values{{"*", "eth0"}, {"", "up"}}, Values{{"*", "eth1"}, {"", ""}}));
    EXPECT_THAT(plain.unread, IsEmpty());
    EXPECT_THAT(read("[{\"up\": true}]", spec("/*", {"*", "/up"})).unread,
                ElementsAre(testing::Field(&state::UnreadLine::expected,
                                           "an object, whose members' names are the cells \"*\"")));
}

TEST(Json, reads_one_component_without_a_wildcard) {
    const JsonSpec system = spec("/system", {"/serial"});
    EXPECT_THAT(read("{\"system\": {\"serial\": \"A1\"}}", system).values(),
                ElementsAre(Values{{"/serial", "A1"}}));
    EXPECT_THAT(read("{\"serial\": \"A1\"}", spec("", {"/serial"})).values(),
                ElementsAre(Values{{"/serial", "A1"}}));
    EXPECT_THAT(
        read("{\"a\":{\"x\":{\"m\":{\"n\":1}}, \"y\":{}}}", spec("/a/*/m", {"*", "/n"})).values(),
        ElementsAre(Values{{"*", "x"}, {"/n", "1"}}));
}

TEST(Json, joins_lists_of_names) {
    const JsonSpec trays = spec("/*", {"/cools", "/first/0"});
    const Sheet all =
        read("[{\"cools\": [\"FAB1\", 2, true], \"first\": [1]}, {\"cools\": []}]", trays);
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/cools", "FAB1, 2, true"}, {"/first/0", "1"}},
                                          Values{{"/cools", ""}}));
    EXPECT_EQ(all.blocks[0].cells[0].at, (Position{1, 12}));
    for (const char* list : {"[\"a, b\"]", "[\"a\", null]", "[\"\", \"b\"]", "[[\"a\"]]", "[{}]",
                             "[\"a\\nb\"]", "{\"a\": 1}"}) {
        const Sheet bad = read("[{\"cools\": " + std::string{list} + "}]", trays);
        ASSERT_THAT(bad.blocks, SizeIs(1)) << list;
        EXPECT_THAT(bad.blocks[0].cells, IsEmpty()) << list;
        EXPECT_FALSE(bad.blocks[0].complete) << list;
        EXPECT_FALSE(bad.unread.empty()) << list;
    }
}

TEST(Json, drops_no_member_in_silence) {
    const JsonSpec how = spec("/list/*", {"/name", "/in/x"}, {"/version", "/list/*/children"});
    const Sheet all = read("{\"version\": {\"a\": 1},\n"
                           " \"list\": [{\"name\": \"a\",\n"
                           "  \"children\": [\n"
                           "   {}],\n"
                           "  \"colour\": {\"of\":\n"
                           "   \"FAB3\"},\n"
                           "  \"in\": {\"x\": 1, \"y\": 2}}],\n"
                           " \"footer\": \"FAB4\"}",
                           how);
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/name", "a"}, {"/in/x", "1"}}));
    EXPECT_FALSE(all.blocks[0].complete);
    EXPECT_THAT(all.set_aside, ElementsAre(1U, 3U, 4U));
    const std::string expected = "a member that the profile names, or pass-over";
    EXPECT_THAT(all.unread,
                ElementsAre(state::UnreadLine{5, "\"colour\": {\"of\":\n   \"FAB3\"}", 3, expected},
                            state::UnreadLine{7, "\"y\": 2", 18, expected},
                            state::UnreadLine{8, "\"footer\": \"FAB4\"", 2, expected}));
}

TEST(Json, reads_what_is_named_inside_what_is_passed_over) {
    const Sheet all = read("{\"v\":1,\"list\":[{\"name\":\"a\",\"x\":{\"y\":1},\"in\":{\"p\":1,"
                           "\"q\":2}}]}",
                           spec("/list/*", {"/name", "/in/q"}, {"/*"}));
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/name", "a"}, {"/in/q", "2"}}));
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_TRUE(all.blocks[0].complete);
    EXPECT_THAT(all.set_aside, ElementsAre(1U));
}

TEST(Json, takes_an_element_that_nobody_names_for_unread) {
    const Sheet all =
        read("[{\"addresses\":[{\"a\":1},{\"a\":2}]}]", spec("/*", {"/addresses/0/a"}));
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/addresses/0/a", "1"}}));
    EXPECT_THAT(all.unread,
                ElementsAre(state::UnreadLine{1, "{\"a\":2}", 24,
                                              "a member that the profile names, or pass-over"}));
}

TEST(Json, misses_the_list_where_its_path_ends) {
    const JsonSpec disks = spec("/all/blockdevices/*", {"/name"});
    const auto expected = [&](std::string_view answer) {
        const Sheet all = read(answer, disks);
        EXPECT_THAT(all.blocks, IsEmpty()) << answer;
        return all.unread.empty() ? "" : all.unread.back().expected;
    };
    EXPECT_EQ(expected("{}"), "the list /all/blockdevices");
    EXPECT_EQ(expected("[]"), "the list /all/blockdevices");
    EXPECT_EQ(expected("7"), "the list /all/blockdevices");
    EXPECT_EQ(expected("{\"all\": {}}"), "the list /all/blockdevices");
    EXPECT_EQ(expected("{\"all\": {\"blockdevices\": null}}"), "the list /all/blockdevices");
    EXPECT_EQ(expected("{\"all\": {\"blockdevices\": []}}"), "") << "an empty list is a list";
    EXPECT_EQ(expected("{\"all\": {\"blockdevices\": {}}}"), "");
    EXPECT_EQ(read("{\"a\":1}", spec("/system", {"/x"}, {"/a"})).unread.at(0).expected,
              "the object /system");
    EXPECT_EQ(read("[7]", spec("/*", {"/x"})).unread.at(0).expected,
              "an object or an array with the cells that the profile names");
}

TEST(Json, takes_back_what_a_second_member_tells_again) {
    const JsonSpec how = spec("/*", {"/name", "/in/oper"}, {"/*/x"});
    const Sheet all = read("[{\"name\":\"a\",\"in\":{\"oper\":\"up\"},\"i\\u006e\":{\"oper\":"
                           "\"down\"}},{\"name\":\"b\",\"x\":{\"y\":1,\"y\":2}}]",
                           how);
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/name", "a"}}, Values{{"/name", "b"}}));
    EXPECT_FALSE(all.blocks[0].complete);
    EXPECT_TRUE(all.blocks[1].complete);
    ASSERT_THAT(all.unread, SizeIs(2)) << "the member, and its name with the escape undone";
    EXPECT_EQ(all.unread[0].text, "in");
    EXPECT_EQ(all.unread[1].expected, "a member name that this object does not have yet");
    EXPECT_EQ(all.unread[1].column, 33U);

    const Sheet lists = read("{\"m\":[{\"n\":1}],\"m\":[{\"n\":2}]}", spec("/m/*", {"/n"}, {"/*"}));
    EXPECT_THAT(lists.values(), ElementsAre(Values{{"/n", "1"}}));
    ASSERT_THAT(lists.unread, SizeIs(1));
    EXPECT_EQ(lists.unread[0].text, "\"m\":[{\"n\":2}]");
}

TEST(Json, shows_what_an_unread_string_says) {
    const Sheet all = read("[{\"n\":\"a\"},{\"x\":[\"eth0\\/1\"]}]", spec("/*", {"/n"}));
    ASSERT_THAT(all.unread, SizeIs(2));
    EXPECT_EQ(all.unread[0].text, "eth0/1");
    EXPECT_EQ(all.unread[1].text, "\"x\":[\"eth0\\/1\"]");
}

TEST(Json, refuses_cells_that_nobody_can_read) {
    for (const std::string& value :
         {std::string{"\"a\\u0000b\""}, std::string{"\"\\u001b[m\""}, std::string{"\"a\\nb\""},
          std::string{"\"\x7f\""}, "\"" + std::string(longest_line + 1, 'x') + "\""}) {
        const Sheet all = read("[{\"n\":" + value + ",\"m\":1}]", spec("/*", {"/n", "/m"}));
        EXPECT_THAT(all.values(), ElementsAre(Values{{"/m", "1"}}));
        EXPECT_FALSE(all.blocks.at(0).complete);
        ASSERT_FALSE(all.unread.empty());
        EXPECT_THAT(all.unread[0].expected, HasSubstr("printable text"));
    }
    EXPECT_THAT(
        read("[{\"n\":\"" + std::string(longest_line, 'x') + "\"}]", spec("/*", {"/n"})).unread,
        IsEmpty());
}

struct Wrong {
    std::string_view answer;
    std::size_t rows; ///< that stand before it
    Position at;
    std::string_view expected;
};

TEST(Json, tells_where_a_text_is_no_json_and_keeps_the_rows_before) {
    using namespace std::string_view_literals;
    for (const Wrong& wrong : {
             Wrong{""sv, 0, {1, 1}, "a JSON value before the end of the answer"},
             Wrong{"\n "sv, 0, {2, 2}, "a JSON value before the end of the answer"},
             Wrong{"unknown command"sv, 0, {1, 1}, "a JSON value"},
             Wrong{"[{\"n\":1}\n {\"n\":2}]"sv, 1, {2, 2}, "\",\" or \"]\""},
             Wrong{"[{\"n\":1},]"sv, 1, {1, 10}, "a JSON value"},
             Wrong{"[{\"n\":1},{\"n\" 2}]"sv, 2, {1, 15}, "\":\" after a member's name"},
             Wrong{"[{\"n\":1},{\"n\":,}]"sv, 2, {1, 15}, "a JSON value"},
             Wrong{"[{\"n\":1},{n:2}]"sv, 2, {1, 11}, "a member's name in double quotes or \"}\""},
             Wrong{"[{\"n\":1,}]"sv, 1, {1, 9}, "a member's name in double quotes"},
             Wrong{"[{\"n\":1]"sv, 1, {1, 8}, "\",\" or \"}\""},
             Wrong{"[{\"n\":01}]"sv, 1, {1, 8}, "\",\" or \"}\""},
             Wrong{"[{\"n\":1.}]"sv, 1, {1, 9}, "the rest of a number (RFC 8259, section 6)"},
             Wrong{"[{\"n\":nil}]"sv, 1, {1, 8}, "true, false or null"},
             Wrong{"[{\"n\":\"a\tb\"}]"sv, 1, {1, 9}, "the rest of a string (RFC 8259, section 7)"},
             Wrong{
                 "[{\"n\":\"\xc3(\"}]"sv, 1, {1, 9}, "the rest of a string (RFC 8259, section 7)"},
             Wrong{"[{\"n\":\"\\ud800\"}]"sv,
                   1,
                   {1, 14},
                   "the rest of a string (RFC 8259, section 7)"},
             Wrong{"[{\"n\":1}]\0garbage"sv,
                   1,
                   {1, 10},
                   "the end of the answer after its JSON document"},
             Wrong{"[{\"n\":1}] []"sv, 1, {1, 11}, "the end of the answer after its JSON document"},
             Wrong{"\xef\xbb\xbf[]"sv,
                   0,
                   {1, 1},
                   "JSON without a byte order mark (RFC 8259, section 8.1)"},
             Wrong{"[{\"n\":1},// \n]"sv, 1, {1, 10}, "a JSON value"},
             Wrong{"[{\"n\":NaN}]"sv, 1, {1, 7}, "a JSON value"},
         }) {
        const Sheet all = read(wrong.answer, spec("/*", {"/n"}));
        EXPECT_THAT(all.blocks, SizeIs(wrong.rows)) << wrong.answer;
        ASSERT_THAT(all.unread, SizeIs(1)) << wrong.answer;
        EXPECT_EQ((Position{all.unread[0].line, all.unread[0].column}), wrong.at) << wrong.answer;
        EXPECT_EQ(all.unread[0].expected, wrong.expected) << wrong.answer;
    }
}

TEST(Json, doubts_no_row_before_the_place_that_is_wrong) {
    const Sheet all = read("[{\"n\":\"FAB3\"} {\"n\":\"FAB4\"}]", spec("/*", {"/n"}));
    EXPECT_TRUE(all.blocks.at(0).complete);
    EXPECT_EQ(all.unread.at(0).text, " {\"n\":\"FAB4\"}]");
}

TEST(Json, gives_of_a_cut_answer_only_what_had_ended) {
    const JsonSpec how = spec("/*", {"/n", "/m"});
    const auto cut = [&](std::string_view answer) { return read(answer, how, false); };
    Sheet all = cut("[{\"n\":1,\"m\":2},{\"n\":31,\"m\":4");
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/n", "1"}, {"/m", "2"}}, Values{{"/n", "31"}}));
    EXPECT_TRUE(all.blocks[0].complete);
    EXPECT_FALSE(all.blocks[1].complete);
    EXPECT_EQ(all.blocks[1].text, "{\"n\":31,\"m\":4");
    ASSERT_THAT(all.unread, SizeIs(1));
    EXPECT_EQ(all.unread[0],
              (state::UnreadLine{1, "\"m\":4", 29,
                                 "the rest of a number (RFC 8259, section 6), where it was cut"}));
    all = cut("[{\"n\":\"a\",\"m\":tru");
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/n", "a"}}));
    all = cut("[{\"n\":\"a\",\"m\":[\"x\",\"y\"");
    EXPECT_THAT(all.values(), ElementsAre(Values{{"/n", "a"}}));
    EXPECT_EQ(all.unread.at(0).text, "[\"x\",\"y\"");
    EXPECT_THAT(cut("[{\"n\":1,\"m\":2}]").unread, IsEmpty()) << "its document had closed";
    EXPECT_THAT(read("7", spec("", {""}), false).blocks, IsEmpty());
    EXPECT_THAT(read("7", spec("", {""}), true).values(), ElementsAre(Values{{"", "7"}}));
}

TEST(Json, ends_at_its_bounds) {
    const auto nested = [](std::size_t depth) {
        return std::string(depth, '[') + std::string(depth, ']');
    };
    const JsonSpec how = spec("/*", {"/n"}, {"/*/x"});
    const auto unread = [&](const std::string& value) {
        const Sheet all = read("[{\"n\":1},{\"x\":" + value + "}]", how);
        EXPECT_FALSE(all.blocks.empty());
        return all.unread.empty() ? "" : all.unread[0].expected;
    };
    EXPECT_EQ(unread(nested(deepest_json - 2)), "");
    EXPECT_EQ(unread(nested(deepest_json - 1)), "at most 64 objects and arrays inside each other");
    EXPECT_EQ(unread(nested(100'000)), "at most 64 objects and arrays inside each other");
    std::string many = "[0";
    for (std::size_t i = 1; i < most_json_members; ++i)
        many += ",0";
    EXPECT_EQ(unread(many + "]"), "");
    EXPECT_EQ(unread(many + ",0]"), "at most 65536 members or elements beside each other");
}

TEST(Json, shows_all_of_what_is_unread_in_pieces) {
    std::string answer = "[{\"n\":1,\"x\":[";
    for (int i = 0; i < 5'000; ++i)
        answer += "\"FAB" + std::to_string(i) + "\",";
    answer += "0]}]";
    const Sheet all = read(answer, spec("/*", {"/n"}));
    EXPECT_GT(all.unread.size(), 1U);
    std::string whole;
    for (const state::UnreadLine& line : all.unread) {
        EXPECT_LE(line.text.size(), longest_line);
        EXPECT_EQ(line.column, 9 + whole.size());
        EXPECT_TRUE(whole.empty() || whole.ends_with(','));
        whole += line.text;
    }
    EXPECT_EQ(whole, answer.substr(8, answer.size() - 10));
    EXPECT_EQ(all.blocks.at(0).text, answer.substr(1, longest_line)) << "a row's first line";
}

TEST(Json, reads_nothing_by_a_specification_that_contradicts_itself) {
    const auto expected = [](const JsonSpec& how) {
        const Sheet all = read("[{\"n\":1}]", how);
        EXPECT_THAT(all.blocks, IsEmpty());
        return all.unread.empty() ? "" : all.unread.at(0).expected;
    };
    EXPECT_THAT(expected(spec("/*", {"n"})), HasSubstr("cells that are JSON Pointers"));
    EXPECT_THAT(expected(spec("/*", {"/n"}, {"/~"})), HasSubstr("pass-over that are JSON"));
    EXPECT_THAT(expected(spec("/*", {"/n", "/n/m"})), HasSubstr("none lies inside another"));
    EXPECT_THAT(expected(spec("/*", {"/n", "/n"})), HasSubstr("none lies inside another"));
    EXPECT_THAT(expected(spec("/a", {"*"})), HasSubstr("rows with a *"));
    EXPECT_EQ(expected({*parse_pointer("/*/*", Wildcards::many), {"/n"}, {}}),
              "rows with at most one *");
}

/// A cell of a cut answer stands in the whole answer too, with the same text and at the same place;
/// a whole row is a row of the whole.
void expect_no_invention(std::string_view answer, const JsonSpec& how,
                         std::vector<bool> ends = {false, true}) {
    const Sheet whole = read(answer, how);
    for (std::size_t size = 0; size < answer.size(); ++size) {
        for (const bool ended : ends) {
            const Sheet cut = read(answer.substr(0, size), how, ended);
            ASSERT_LE(cut.blocks.size(), whole.blocks.size());
            for (std::size_t i = 0; i < cut.blocks.size(); ++i) {
                const KeptBlock& block = cut.blocks[i];
                EXPECT_EQ(block.at, whole.blocks[i].at);
                EXPECT_TRUE(!block.complete || block == whole.blocks[i]) << size;
                for (const KeptCell& cell : block.cells)
                    EXPECT_THAT(whole.blocks[i].cells, testing::Contains(cell)) << size;
            }
        }
    }
}

TEST(Json, cut_at_any_byte_invents_nothing) {
    expect_no_invention(
        "{\"v\":\"1\\\"\",\n\"list\":[{\"name\":\"FAB\\u0033\",\"n\":-12.5e+3,\"in\":"
        "{\"x\":[1,22,\"\xc3\xa9\"],\"y\":null}},\r\n{\"name\":\"\",\"n\":1234567,"
        "\"extra\":{\"a\":[true,false]},\"in\":{\"x\":[]}}, {\"n\":0}]}\n",
        spec("/list/*", {"/name", "/n", "/in/x", "/in/y"}, {"/v"}));
    expect_no_invention("{\"eth0\": {\"up\": true, \"n\": 10}, \"eth01\": {\"up\": false}}",
                        spec("/*", {"*", "/up", "/n"}));
    expect_no_invention(" 123 ", spec("", {""}), {false});
    expect_no_invention("{\"a\":[100, 200]}", spec("/a/*", {""}));
}

} // namespace
} // namespace slotwitness::layouts
