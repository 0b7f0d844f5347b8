#include "sheet.hpp"

#include <slotwitness/layouts/free_text.hpp>
#include <slotwitness/layouts/line_rules.hpp>

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include <map>
#include <set>
#include <sstream>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;
using Values = std::map<std::string, std::string>;

std::shared_ptr<const abnf::Grammar> grammar_of(std::string_view text) {
    auto grammar = abnf::parse_grammar(text, "test");
    if (!grammar)
        throw std::runtime_error{to_text(grammar.error().front())};
    return std::make_shared<const abnf::Grammar>(std::move(*grammar));
}

LinesSpec slots_spec() {
    LinesSpec spec;
    spec.grammar = grammar_of(R"(
        holds     = "Slot " slot " holds a " kind " part" [", serial " serial] ", running for " age "."
        dark      = "Slot " slot " is dark."
        and       = 1*SP "its twin is " twin *SP
        shelf     = HTAB "Shelf" HTAB shelf-name
        shelf-name = 1*VCHAR
        total     = 1*DIGIT " slots told."
        none      = "No slots" *VCHAR
        slot      = 1*ALPHA 1*DIGIT
        kind      = "fabric" / "line"
        serial    = "QF-" 2DIGIT "-" 5DIGIT
        twin      = *VCHAR
        age       = 1*DIGIT "d" 2DIGIT "h"
    )");
    spec.rows = {"holds", "dark"};
    spec.continues = {"and"};
    spec.sections = {};
    spec.pass_over = {"total"};
    spec.empty = {"none"};
    spec.cells = {"slot", "kind", "serial", "age", "twin"};
    return spec;
}

LinesSpec shelves_spec() {
    LinesSpec spec = slots_spec();
    spec.sections = {"shelf"};
    spec.cells.emplace_back("shelf-name");
    return spec;
}

Sheet read(std::string_view answer, const LinesSpec& spec, bool ended = true) {
    return sheet_of(read_lines, answer, Lines::prepare(spec).value(), ended);
}

TEST(Lines, each_row_is_a_block_with_its_cells) {
    const Sheet sheet =
        read("Slot FAB3 holds a fabric part, serial QF-20-00119, running for 3d04h.\r\n"
             "Slot LINE1 holds a line part, running for 12d00h.\n"
             "\n"
             "Slot FAB4 is dark.\n"
             "  its twin is FAB3  \n"
             "3 slots told.\n",
             slots_spec());
    EXPECT_THAT(values(sheet),
                ElementsAre(Values{{"slot", "FAB3"},
                                   {"kind", "fabric"},
                                   {"serial", "QF-20-00119"},
                                   {"age", "3d04h"}},
                            Values{{"slot", "LINE1"}, {"kind", "line"}, {"age", "12d00h"}},
                            Values{{"slot", "FAB4"}, {"twin", "FAB3"}}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(sheet.set_aside, ElementsAre(6U));
    EXPECT_EQ(sheet.blocks[0].at, (state::Position{1, 1}));
    EXPECT_EQ(sheet.blocks[0].cells[2].at, (state::Position{1, 39}));
    EXPECT_EQ(sheet.blocks[2].text, "Slot FAB4 is dark.\n  its twin is FAB3  ");
    EXPECT_EQ(sheet.blocks[2].cells[1].at, (state::Position{5, 15}));
    EXPECT_TRUE(sheet.blocks[2].complete);
}

TEST(Lines, what_no_rule_reads_is_unread_with_the_furthest_place) {
    const Sheet sheet = read("Slot FAB3 holds a fabric part, serial QF-20-119, running for 3d04h.\n"
                             "  its twin is FAB4\n"
                             "Slut FAB3 is dark.\n"
                             "Slot FAB4 is dark. \n",
                             slots_spec());
    EXPECT_THAT(sheet.blocks, IsEmpty());
    ASSERT_THAT(sheet.unread, SizeIs(5));
    EXPECT_EQ(
        sheet.unread[0],
        (state::UnreadLine{1, "Slot FAB3 holds a fabric part, serial QF-20-119, running for 3d04h.",
                           48, "more of rule \"DIGIT\""}));
    EXPECT_EQ(sheet.unread[1].expected, "a line of rule \"holds\" or \"dark\" above this line");
    EXPECT_EQ(sheet.unread[1].column, 3U);
    EXPECT_EQ(sheet.unread[2].column, 1U);
    EXPECT_EQ(sheet.unread[2].expected, "\"Slot \", rule \"and\", rule \"total\" or \"No slots\"");
    EXPECT_EQ(sheet.unread[3].column, 19U); // trailing blanks are text as any other
    EXPECT_EQ(sheet.unread[3].expected, "the end");
    EXPECT_EQ(sheet.unread[4].expected,
              "a line of rule \"holds\" or \"dark\" before the end of the answer");
}

TEST(Lines, an_unread_line_ends_its_block_as_incomplete) {
    const Sheet sheet = read("Slot FAB3 is dark.\nits twin was FAB4\n  its twin is FAB4\n"
                             "Slot FAB5 is dark.\n",
                             slots_spec());
    ASSERT_THAT(sheet.blocks, SizeIs(2));
    EXPECT_FALSE(sheet.blocks[0].complete);
    EXPECT_TRUE(sheet.blocks[1].complete);
    EXPECT_THAT(sheet.unread, SizeIs(2)); // what follows belongs to nobody
}

TEST(Lines, a_cell_stands_once_in_a_block) {
    Sheet sheet =
        read("Slot FAB3 is dark.\n  its twin is FAB4\n  its twin is FAB5\n", slots_spec());
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0],
              (state::UnreadLine{3, "  its twin is FAB5", 15, "no second \"twin\" of one block"}));
    EXPECT_EQ(sheet.blocks.at(0).cells.at(1).text, "FAB4");
    EXPECT_FALSE(sheet.blocks.at(0).complete);

    LinesSpec pairs;
    pairs.grammar = grammar_of("row = name \" \" name\nname = 1*ALPHA");
    pairs.rows = {"row"};
    pairs.cells = {"name"};
    sheet = read("a b\n", pairs);
    EXPECT_THAT(sheet.blocks, IsEmpty());
    EXPECT_EQ(sheet.unread.at(0).column, 3U);
}

TEST(Lines, a_blank_line_ends_a_block_unless_the_specification_says_otherwise) {
    LinesSpec spec = slots_spec();
    const char* answer = "Slot FAB3 is dark.\n \n  its twin is FAB4\n";
    EXPECT_THAT(read(answer, spec).unread, SizeIs(1));
    spec.blank_ends = false;
    EXPECT_THAT(values(read(answer, spec)),
                ElementsAre(Values{{"slot", "FAB3"}, {"twin", "FAB4"}}));
}

TEST(Lines, a_sections_cells_stand_in_every_block_below) {
    const Sheet sheet = read("Slot FAB1 is dark.\n\tShelf\tupper\nSlot FAB3 is dark.\n\n"
                             "Slot FAB4 is dark.\n\tShelf\tlower\nSlot FAB5 is dark.\n",
                             shelves_spec());
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"slot", "FAB1"}},
                                           Values{{"slot", "FAB3"}, {"shelf-name", "upper"}},
                                           Values{{"slot", "FAB4"}, {"shelf-name", "upper"}},
                                           Values{{"slot", "FAB5"}, {"shelf-name", "lower"}}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_EQ(sheet.blocks[2].cells[0].at, (state::Position{2, 8}));
    EXPECT_EQ(sheet.blocks[2].text, "Slot FAB4 is dark.");
}

TEST(Lines, rows_below_an_unread_line_have_no_section) {
    // Line 3 may have headed another one.
    const Sheet sheet = read("\tShelf\tupper\nSlot FAB3 is dark.\n\tShelv\tlower\n"
                             "Slot FAB4 is dark.\n\tShelf\tlast\nSlot FAB5 is dark.\n",
                             shelves_spec());
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"slot", "FAB3"}, {"shelf-name", "upper"}},
                                           Values{{"slot", "FAB5"}, {"shelf-name", "last"}}));
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[1].expected, "a section's heading after a line that was not read");
}

LinesSpec sums_spec() {
    LinesSpec spec;
    spec.grammar = grammar_of("port = \"Port \" name\nheard = \"Heard:\"\nspoken = \"Spoken:\"\n"
                              "heard-sum = in\nspoken-sum = 1*DIGIT\nnote = \"-\"\n"
                              "name = 1*ALPHA\nin = 1*DIGIT");
    spec.rows = {"port"};
    spec.continues = {"heard", "heard-sum", "spoken", "spoken-sum"};
    spec.pass_over = {"note"};
    spec.right_below = {{"heard-sum", {"heard"}}, {"spoken-sum", {"spoken"}}};
    spec.cells = {"name", "in"};
    return spec;
}

TEST(Lines, lines_that_look_alike_are_told_apart_by_the_line_right_above) {
    const Sheet sheet =
        read("Port a\nHeard:\n1\nSpoken:\n2\nPort b\nSpoken:\n3\nHeard:\n4\n", sums_spec());
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"name", "a"}, {"in", "1"}},
                                           Values{{"name", "b"}, {"in", "4"}}));
}

TEST(Lines, what_must_stand_right_below_another_line_is_unread_elsewhere) {
    const LinesSpec spec = sums_spec();
    for (const char* between : {"", "\n", "-\n", "x\n", "Heard:\n1\n"}) {
        const bool in_place = std::string_view{between}.empty();
        const Sheet sheet =
            read("Port a\n" + std::string{in_place ? "" : "Spoken:\n"} + between + "5\n", spec);
        ASSERT_THAT(sheet.unread, Not(IsEmpty())) << between;
        EXPECT_EQ(sheet.unread.back().text, "5") << between;
    }
}

TEST(Lines, only_rules_of_lines_stand_right_below_only_such_and_no_row_does) {
    for (const auto& [name, above] : std::map<std::string, std::string>{
             {"in", "heard"}, {"heard-sum", "in"}, {"port", "heard"}, {"nobody", "heard"}}) {
        LinesSpec spec = sums_spec();
        spec.right_below = {{name, {above}}};
        const auto refused = Lines::prepare(spec);
        ASSERT_FALSE(refused) << name;
        EXPECT_EQ(refused.error().front().found, above == "in" ? "in" : name);
    }
}

TEST(Lines, nothing_is_no_block_only_where_the_device_says_so) {
    LinesSpec spec = slots_spec();
    EXPECT_THAT(read("No slots.\n", spec).unread, IsEmpty());
    EXPECT_THAT(read("", spec).unread, SizeIs(1));
    EXPECT_THAT(read("0 slots told.\n", spec).unread, SizeIs(1));
    spec.empty_answer = true;
    EXPECT_THAT(read("", spec).unread, IsEmpty());
    EXPECT_THAT(read("x", spec).unread, SizeIs(1));
}

TEST(Lines, a_cut_answer_leaves_its_last_line_unread_and_its_last_block_incomplete) {
    Sheet sheet = read("Slot FAB3 is dark.\nSlot FAB4 is dark.", slots_spec(), false);
    ASSERT_THAT(sheet.blocks, SizeIs(1));
    EXPECT_FALSE(sheet.blocks[0].complete);
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0].column, 19U);
    EXPECT_EQ(sheet.unread[0].expected, "the rest of this line: the answer was cut here");
    sheet = read("Slot FAB3 is dark.\n", slots_spec(), false);
    EXPECT_FALSE(sheet.blocks.at(0).complete);
    sheet = read("Slot FAB3 is dark.", slots_spec(), true);
    EXPECT_TRUE(sheet.blocks.at(0).complete);
}

TEST(Lines, control_bytes_are_unread_but_a_tab_that_the_grammar_has_is_not) {
    LinesSpec spec;
    spec.grammar = grammar_of("row = *OCTET");
    spec.rows = {"row"};
    EXPECT_THAT(read("a\tb\n", spec).blocks, SizeIs(1));
    for (const char* text : {"a\x1b[mb\n", "a\tb\x7f\n", "a\rb\n"}) {
        const Sheet sheet = read(text, spec);
        EXPECT_THAT(sheet.blocks, IsEmpty());
        EXPECT_EQ(sheet.unread.at(0).expected, "printable text instead of a control byte");
    }
    EXPECT_EQ(read("Slot FAB3\tis dark.\n", slots_spec()).unread.at(0).column, 10U);
    EXPECT_THAT(read(std::string(longest_line, 'x') + "\n", spec).blocks, SizeIs(1));
    EXPECT_EQ(read(std::string(longest_line + 1, 'x') + "\n", spec).unread.at(0).column,
              longest_line + 1);
}

TEST(Lines, what_is_beyond_the_budget_is_unread) {
    LinesSpec spec;
    spec.grammar = grammar_of("row = *(*\"a\") \"b\" / \"easy\"");
    spec.rows = {"row"};
    std::string answer;
    for (int i = 0; i < 55; ++i)
        answer += std::string(60, 'a') + "c\n";
    const Sheet sheet = read(answer + "easy\n", spec);
    // A line ends by its own budget; so many of them use up that of the answer.
    EXPECT_THAT(sheet.unread, SizeIs(57));
    EXPECT_EQ(sheet.unread[0].expected,
              "a simpler grammar: this one has too many ways to read this text");
    EXPECT_THAT(read(answer.substr(0, 62) + "easy\n", spec).blocks, SizeIs(1));
}

TEST(Lines, that_nest_their_rules_too_deep_are_unread) {
    LinesSpec spec;
    spec.grammar = grammar_of("row = \"(\" [row] \")\"");
    spec.rows = {"row"};
    const auto nested = [](std::size_t depth) {
        return std::string(depth, '(') + std::string(depth, ')') + "\n";
    };
    EXPECT_THAT(read(nested(1000), spec).blocks, SizeIs(1));
    EXPECT_EQ(read(nested(1001), spec).unread.at(0).expected,
              "a simpler grammar: this one nests its rules too deep in this text");
}

TEST(Lines, refuse_what_cannot_be_prepared) {
    LinesSpec spec = slots_spec();
    spec.cells.emplace_back("colour");
    EXPECT_EQ(Lines::prepare(spec).error().at(0).found, "colour");
    spec = slots_spec();
    spec.rows.clear();
    EXPECT_EQ(Lines::prepare(spec).error().at(0).expected, "a rule of lines that begin a block");
    spec = slots_spec();
    spec.grammar = nullptr;
    EXPECT_EQ(Lines::prepare(spec).error().at(0).expected, "a grammar of the lines");
}

TEST(Lines, drop_no_line_of_any_text) {
    const Lines lines = Lines::prepare(shelves_spec()).value();
    const auto pieces = rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
        "Slot FAB3 is dark.\n", "Slot FAB3 is dark", "  its twin is x\n", "\tShelf\tupper\n",
        "2 slots told.\n", "No slots\n", "\n", " ", "\r\n", "torn", "\x1b", "\xff"));
    EXPECT_TRUE(rc::check([&] {
        std::string text;
        for (const std::string& piece : *pieces)
            text += piece;
        for (const bool ended : {false, true}) {
            const Sheet sheet = sheet_of(read_lines, text, lines, ended);
            std::multiset<std::string> read;
            for (const KeptBlock& block : sheet.blocks) {
                std::istringstream of_block{block.text};
                for (std::string line; std::getline(of_block, line);)
                    read.insert(line);
            }
            std::set<std::size_t> told(sheet.set_aside.begin(), sheet.set_aside.end());
            for (const state::UnreadLine& line : sheet.unread)
                told.insert(line.line);
            std::istringstream of_text{text};
            std::size_t number = 0;
            for (std::string line; std::getline(of_text, line);) {
                if (line.ends_with('\r'))
                    line.pop_back();
                if (told.contains(++number))
                    continue;
                if (const auto found = read.find(line); found != read.end())
                    read.erase(found);
                else
                    RC_ASSERT(line.find_first_not_of(' ') == std::string::npos ||
                              line == "\tShelf\tupper" || line == "No slots");
            }
            RC_ASSERT(read.empty());
        }
    }));
}

TEST(LineRules, take_whole_lines_alone) {
    const LineRules rules{grammar_of("total = 1*DIGIT \" slots told.\"\nmore = \"-- more --\"\n"
                                     "hard = *(*\"a\")"),
                          {"total", "more", "hard"}};
    const LineMatcher matcher = LineMatcher::compile(rules).value();
    abnf::Scratch scratch;
    for (const char* line : {"12 slots told.", "-- more --", "", "aaa"})
        EXPECT_TRUE(matcher.takes(line, scratch)) << line;
    for (const char* line : {"slots told.", "12 slots told. ", "-- more -- 3"})
        EXPECT_FALSE(matcher.takes(line, scratch)) << line;
    EXPECT_FALSE(matcher.takes(std::string(100, 'a') + "c", scratch));
    EXPECT_FALSE(LineMatcher::compile({}).value().takes("", scratch));
    EXPECT_FALSE(LineMatcher::compile({rules.grammar, {"footer"}}));
    EXPECT_FALSE(LineMatcher::compile({nullptr, {"total"}}));
}

} // namespace
} // namespace slotwitness::layouts
