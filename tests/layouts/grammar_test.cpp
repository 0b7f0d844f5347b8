#include "sheet.hpp"

#include <slotwitness/layouts/record_grammar.hpp>
#include <slotwitness/layouts/table_grammar.hpp>

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace slotwitness::layouts {
namespace {

namespace pegtl = tao::pegtl;

TEST(TableGrammar, has_no_loop_that_consumes_nothing) {
    EXPECT_EQ(pegtl::analyze<table_grammar::header>(), 0U);
    EXPECT_EQ(pegtl::analyze<table_grammar::rule>(), 0U);
    EXPECT_EQ(pegtl::analyze<table_grammar::boxed_header>(), 0U);
    EXPECT_EQ(pegtl::analyze<table_grammar::border>(), 0U);
}

TEST(RecordGrammar, has_no_loop_that_consumes_nothing) {
    EXPECT_EQ(pegtl::analyze<record_grammar::pair<record_grammar::colon>>(), 0U);
    EXPECT_EQ(pegtl::analyze<record_grammar::pair<record_grammar::equals>>(), 0U);
}

using Stretches = std::vector<Stretch>;
using Texts = std::vector<std::string>;

TEST(TableGrammar, finds_header_words_in_their_order) {
    const std::vector<std::string> columns{"SLOT", "WHAT IT IS", "STATE"};
    EXPECT_EQ(parse_header("SLOT  WHAT IT IS  STATE", columns),
              (Stretches{{0, 4}, {6, 16}, {18, 23}}));
    EXPECT_EQ(parse_header("  SLOT WHAT IT IS STATE  ", columns),
              (Stretches{{2, 6}, {7, 17}, {18, 23}}));
    EXPECT_EQ(parse_header("N\xc2\xb0 SLOT", {"N\xc2\xb0", "SLOT"}), (Stretches{{0, 3}, {4, 8}}));
}

TEST(TableGrammar, takes_no_other_line_for_a_header) {
    const std::vector<std::string> columns{"SLOT", "WHAT IT IS", "STATE"};
    for (const char* line :
         {"", " ", "SLOT", "SLOT WHAT IT IS", "SLOT WHAT  IT IS STATE", "SLOTS WHAT IT IS STATE",
          "SLOTWHAT IT IS STATE", "SLOT WHAT IT IS STATE X", "WHAT IT IS SLOT STATE",
          "slot what it is state", "SLOT\tWHAT IT IS\tSTATE"})
        EXPECT_EQ(parse_header(line, columns), std::nullopt) << line;
    EXPECT_EQ(parse_header("", {""}), std::nullopt);
}

TEST(TableGrammar, reads_runs_of_dashes_and_nothing_else) {
    EXPECT_EQ(parse_rule("---- --"), (Stretches{{0, 4}, {5, 7}}));
    EXPECT_EQ(parse_rule("  ====  =  "), (Stretches{{2, 6}, {8, 9}}));
    EXPECT_EQ(parse_rule("-"), (Stretches{{0, 1}}));
    for (const char* line : {"", "  ", "--x--", "-- x", "--==", "-+-", "--\t--"})
        EXPECT_EQ(parse_rule(line), std::nullopt) << line;
}

TEST(TableGrammar, finds_header_words_between_bars_of_a_box) {
    const Texts words{"SLOT", "WHAT IT IS"};
    EXPECT_EQ(parse_boxed_header("| SLOT | WHAT IT IS |", words), (Stretches{{2, 6}, {9, 19}}));
    EXPECT_EQ(parse_boxed_header("│SLOT│WHAT IT IS│", words), (Stretches{{3, 7}, {10, 20}}));
    EXPECT_EQ(parse_boxed_header(" SLOT  WHAT IT IS", words), (Stretches{{1, 5}, {7, 17}}));
    EXPECT_EQ(parse_boxed_header("| SLOTWHAT IT IS |", words), std::nullopt);
    EXPECT_EQ(parse_header("| SLOT | WHAT IT IS |", words), std::nullopt);
}

TEST(TableGrammar, finds_the_junctions_of_a_border) {
    EXPECT_EQ(parse_border("+---+--+"), (Stretches{{0, 1}, {4, 5}, {7, 8}}));
    EXPECT_EQ(parse_border("---+--  "), (Stretches{{3, 4}}));
    EXPECT_EQ(parse_border("|===|==|"), (Stretches{{0, 1}, {4, 5}, {7, 8}}));
    EXPECT_EQ(parse_border("├──┼─┤"), (Stretches{{0, 3}, {9, 12}, {15, 18}}));
    EXPECT_EQ(parse_border("══╪══"), (Stretches{{6, 9}}));
    EXPECT_EQ(parse_border("-----"), Stretches{});
    for (const char* line : {"", "+", "||", "+--- +--+", "+-a-+", "+---+ x"})
        EXPECT_EQ(parse_border(line), std::nullopt) << line;
}

struct Labelled {
    bool read = false;
    std::string label;
    std::string value;
};

template <class Separator>
Labelled labelled(const std::string& line) {
    pegtl::memory_input in(line.data(), line.size(), "line");
    record_grammar::Scratch scratch;
    if (!pegtl::parse<record_grammar::pair<Separator>, record_grammar::keep>(in, scratch))
        return {};
    return {true, std::string{scratch.label, scratch.label_size},
            std::string{scratch.value, line.data() + line.size()}};
}

TEST(RecordGrammar, parts_a_label_from_its_value) {
    const auto read = labelled<record_grammar::colon>("  Turning at : 7200 rpm");
    EXPECT_TRUE(read.read);
    EXPECT_EQ(read.label, "Turning at ");
    EXPECT_EQ(read.value, "7200 rpm");
    EXPECT_EQ(labelled<record_grammar::colon>("Started: 10:20:30").value, "10:20:30");
    EXPECT_EQ(labelled<record_grammar::colon>("Serial:").value, "");
    EXPECT_EQ(labelled<record_grammar::equals>("size=12").value, "12");
    EXPECT_EQ(labelled<record_grammar::equals>("a=b=c").value, "b=c");
    EXPECT_EQ(labelled<record_grammar::dots>("Rev. of part ...... 1.2").label, "Rev. of part ");
    EXPECT_EQ(labelled<record_grammar::dots>("Rev. of part ...... 1.2").value, "1.2");
}

TEST(RecordGrammar, needs_a_label_and_the_separator) {
    for (const char* line : {"", "  ", "Serial", ": x", "   : x", "Serial = x"})
        EXPECT_FALSE(labelled<record_grammar::colon>(line).read) << line;
    for (const char* line : {"Serial . x", ".. x", "Serial: x"})
        EXPECT_FALSE(labelled<record_grammar::dots>(line).read) << line;
}

} // namespace
} // namespace slotwitness::layouts
