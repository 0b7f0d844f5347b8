#include "helpers.hpp"

#include <slotwitness/abnf/abnf_grammar.hpp>

#include <array>

namespace slotwitness::abnf {
namespace {

TEST(Reader, has_no_loop_that_consumes_nothing) {
    EXPECT_EQ(tao::pegtl::analyze<grammar::rule_list>(), 0U);
}

TEST(Reader, accepts_abnf) {
    for (const char* text : {"a = \"x\"",
                             "a=\"x\"\n",
                             "a = \"x\"\r\n",
                             "; nothing\n\na = \"x\" ; end\n; nothing",
                             "a = \"x\"\n   ; on the next line\n",
                             "a =\n \"x\"\n",
                             "a\n = \"x\"\n",
                             "a = \"x\" /\n \"y\"",
                             "a = \"x\"\n\n\n / \"y\"\n",
                             "a = \"x\"\n; between\n  ; further in\n / \"y\"\n",
                             "a = ( \"x\" / [ \"y\" ] )",
                             "a = (\"x\")",
                             "a = 1*2(\"x\")",
                             "a = *\"x\" 3*\"y\" *4\"z\" 5\"w\"",
                             "a = %x41 %X41-5a %x41.42.43 %d65-90 %b0-11111111 %B1",
                             "a = %s\"X\" %i\"x\" %S\"\" %I\"\"",
                             "a = <in words; \"so to speak\">",
                             "a = b\nB = \"x\"",
                             "a = \"x\"\nA =/ \"y\"",
                             "    a = \"x\"\n      / \"y\"\n    b = a\n",
                             "\ta = \"x\"\n\t\t\"y\"\n\tb = a",
                             "a-1 = \"x\" ; caf\xc3\xa9\t\xe2\x80\x94\n",
                             "a = \"x\"\n   \n",
                             "a = \"x\"\n   ",
                             "a = ALPHA\nalpha = \"x\"",
                             "a = \"\"",
                             "a = \"x\"   \n\n  ; c",
                             "a = 0<words>"})
        EXPECT_TRUE(parse_grammar(text, "test")) << text;
}

struct Refused {
    std::string_view text;
    std::string_view problem; ///< the beginning, from the line on
};

constexpr auto refused = std::to_array<Refused>({
    // rules
    {"", "expected one rule at least; write a rule as in"},
    {"; nothing\n\n", "expected one rule at least"},
    {"= \"x\"", "1:1: found \"=\", expected the name of a rule, in the column"},
    {"1a = \"x\"", "1:1: found \"1a\", expected the name of a rule"},
    {"  a = \"x\"\n b = \"y\"", "2:1: found \" \", expected the name of a rule"},
    {"a", "1:2: found end of text, expected \"=\" or \"=/\" after the name"},
    {"a_b = \"x\"", "1:2: found \"_\", expected \"=\" or \"=/\""},
    {"a : \"x\"", "1:3: found \":\", expected \"=\""},
    {"a =", "1:4: found end of text, expected a rule name, a text in double quotes"},
    {"a =\nb = \"x\"", "1:4: found \"end of line\", expected a rule name"},
    {"a = \"x\" \"y\" = \"z\"", "1:13: found \"=\", expected a blank and the next element"},
    {"a = \"x\"\"y\"", "1:8: found \"\"\", expected a blank and the next element"},
    {"a = \"x\" )", "1:9: found \")\", expected a blank and the next element"},
    {"a = \"x\" /", "1:10: found end of text, expected a rule name"},
    {"a = / \"x\"", "1:5: found \"/\", expected a rule name"},
    {"a = \"x\" | \"y\"", "1:9: found \"|\", expected a blank and the next element"},
    {"a = \"x\"\v", "1:8: found \"\\x0b\", expected a blank"},
    {"a = \"x\" ; \x1b[m", "1:9: found \";\", expected a blank"},
    {"a = \"x\"\rb = \"y\"", "1:8: found \"\\x0d\", expected a blank"},
    {"a = caf\xc3\xa9", "1:8: found \"\xc3\xa9\", expected a blank"},
    // groups
    {"a = (\"x\"", "1:9: found end of text, expected a blank and the next element, \"/\" or \")\""},
    {"a = [\"x\")", "1:9: found \")\", expected a blank and the next element, \"/\" or \"]\""},
    {"a = ()", "1:6: found \")\", expected a rule name"},
    // repetitions
    {"a = 2", "1:6: found end of text, expected a rule name, a text"},
    {"a = 1* \"x\"", "1:7: found \" \", expected a rule name"},
    {"a = 3*2\"x\"", "1:8: found \"3*2\", expected a number of repetitions up to the second one"},
    {"a = 65536\"x\"", "1:5: found \"65536\", expected a number up to 65535"},
    {"a = 1*99999999999999999999\"x\"", "1:7: found \"99999999999999999999\", expected a number"},
    // texts
    {"a = \"x", "1:7: found end of text, expected printable ASCII characters and a closing"},
    {"a = \"x\n\"", "1:7: found \"end of line\", expected printable ASCII"},
    {"a = \"\xc3\xa9\"", "1:6: found \"\xc3\xa9\", expected printable ASCII"},
    {"a = \"x\ty\"", "1:7: found \"\\x09\", expected printable ASCII"},
    {"a = %s x", "1:7: found \" \", expected a text in double quotes right after"},
    {"a = <x", "1:7: found end of text, expected printable ASCII characters and a closing \">\""},
    // numbers
    {"a = %", "1:6: found end of text, expected \"x\", \"d\", \"b\", \"s\" or \"i\""},
    {"a = %o17", "1:6: found \"o17\", expected \"x\", \"d\", \"b\""},
    {"a = %xg", "1:7: found \"g\", expected a hexadecimal digit"},
    {"a = %x41-", "1:10: found end of text, expected a hexadecimal digit"},
    {"a = %x41.", "1:10: found end of text, expected a hexadecimal digit"},
    {"a = %dA", "1:7: found \"A\", expected a decimal digit"},
    {"a = %b2", "1:7: found \"2\", expected 0 or 1"},
    {"a = %x41-42-43", "1:12: found \"-43\", expected a blank and the next element"},
    {"a = %x100", "1:7: found \"100\", expected an octet: a number from 0 to 255"},
    {"a = %d13.256", "1:10: found \"256\", expected an octet"},
    {"a = %xA0-D7FF", "1:10: found \"D7FF\", expected an octet"},
    {"a = %xFFFFFFFFFFFF", "1:7: found \"FFFFFFFFFFFF\", expected an octet"},
    {"a = %x5A-41", "1:7: found \"90 to 65\", expected a range that ends above its beginning"},
    // names
    {"a = b", "1:5: found \"b\", expected a rule that is defined; define it, or put a text"},
    {"a = \"x\"\nA = \"y\"", "2:1: found \"A\", expected a rule that is not defined yet; line 1 "
                             "defines it too"},
    {"a =/ \"x\"", "1:1: found \"a\", expected a rule that is defined above with \"=\""},
    {"DIGIT =/ \"x\"", "1:1: found \"DIGIT\", expected a rule that is defined above"},
    // rules that begin with themselves
    {"a = a", "1:1: found \"a -> a\", expected a rule that does not begin with itself"},
    {"a = *\"x\" a", "1:1: found \"a -> a\", expected"},
    {"a = [\"x\"] (\"\" / \"y\") A", "1:1: found \"a -> a\", expected"},
    {"a = \"x\" / *b \"y\"\nb = c\nC = \"\" a", "1:1: found \"a -> b -> C -> a\", expected"},
    {"z = a\na = *(b / \"x\")\nb = a \"y\"", "2:1: found \"a -> b -> a\", expected"},
});

TEST(Reader, refuses_what_is_no_abnf_with_its_place) {
    for (const Refused& one : refused) {
        const auto grammar = parse_grammar(one.text, "");
        if (grammar) {
            ADD_FAILURE() << "accepted: " << one.text;
            continue;
        }
        const std::string problem = to_text(grammar.error().front());
        EXPECT_TRUE(problem.starts_with(one.problem)) << one.text << "\n" << problem;
        for (const state::Problem& each : grammar.error())
            EXPECT_FALSE(each.expected.empty() || each.remedy.empty()) << one.text;
    }
}

TEST(Reader, tells_all_problems_that_do_not_hinder_it) {
    const auto grammar = parse_grammar("a = b %x100\nc = 2*1d\na = \"x\"", "profile.toml");
    ASSERT_FALSE(grammar);
    ASSERT_EQ(grammar.error().size(), 5U);
    EXPECT_EQ(to_text(grammar.error()[0]),
              "profile.toml:1:5: found \"b\", expected a rule that is defined; define it, or put a "
              "text that stands for itself in double quotes");
    EXPECT_EQ(grammar.error()[1].at, (state::Position{1, 9}));
    EXPECT_EQ(grammar.error()[2].at, (state::Position{2, 8}));
    EXPECT_EQ(grammar.error()[3].at, (state::Position{2, 8}));
    EXPECT_EQ(grammar.error()[4].at, (state::Position{3, 1}));
}

TEST(Reader, goes_through_rules_that_mention_themselves_later) {
    EXPECT_TRUE(parse_grammar("a = \"(\" [a] \")\"", ""));
    EXPECT_TRUE(parse_grammar("a = 1*\"x\" a / \"y\"", ""));
    EXPECT_TRUE(parse_grammar("a = 0a \"x\"", ""));
}

TEST(Reader, knows_names_in_either_case_and_the_core_rules) {
    const Grammar grammar = grammar_of("Slot = ALPHA\n");
    ASSERT_TRUE(grammar.find("sLoT"));
    EXPECT_EQ(grammar.rules[*grammar.find("sLoT")].name, "Slot");
    EXPECT_FALSE(grammar.find("slots"));
    // RFC 5234, appendix B.1.
    for (const char* name : {"ALPHA", "BIT", "CHAR", "CR", "CRLF", "CTL", "DIGIT", "DQUOTE",
                             "HEXDIG", "HTAB", "LF", "LWSP", "OCTET", "SP", "VCHAR", "WSP"}) {
        ASSERT_TRUE(grammar.find(name)) << name;
        EXPECT_TRUE(grammar.rules[*grammar.find(name)].core);
    }
    EXPECT_EQ(grammar.rules.size(), 17U);
}

TEST(Reader, lets_a_text_define_a_core_rule_itself) {
    Tried r{"r = CRLF\nCRLF = LF", {"r"}};
    EXPECT_TRUE(r.matches("\n"));
    EXPECT_FALSE(r.matches("\r\n"));
}

TEST(Reader, the_core_rules_match_what_appendix_b_says) {
    struct Core {
        const char* rule;
        std::string in;
        std::string out;
    };
    for (const Core& core : std::to_array<Core>({{"ALPHA", "AZaz", "@[`{0"},
                                                 {"BIT", "01", "2a"},
                                                 {"CHAR", "\x01\x7f", std::string("\x00\x80", 2)},
                                                 {"CR", "\r", "\n"},
                                                 {"CTL", std::string("\x00\x1f\x7f", 3), " a"},
                                                 {"DIGIT", "09", "/:"},
                                                 {"DQUOTE", "\"", "'"},
                                                 {"HEXDIG", "09AFaf", "gG"},
                                                 {"HTAB", "\t", " "},
                                                 {"LF", "\n", "\r"},
                                                 {"OCTET", std::string("\x00\xff", 2), ""},
                                                 {"SP", " ", "\t"},
                                                 {"VCHAR", "!~", " \x7f"},
                                                 {"WSP", " \t", "\n"}})) {
        Tried one{std::string{"r = "} + core.rule, {"r"}};
        for (const char octet : core.in)
            EXPECT_TRUE(one.matches(std::string(1, octet))) << core.rule << " " << int{octet};
        for (const char octet : core.out)
            EXPECT_FALSE(one.matches(std::string(1, octet))) << core.rule << " " << int{octet};
    }
    Tried lwsp{"r = LWSP", {"r"}};
    EXPECT_TRUE(lwsp.matches(" \r\n\t \r\n "));
    EXPECT_FALSE(lwsp.matches(" \r\n"));
}

TEST(Reader, adds_choices_behind_those_that_are_there) {
    // RFC 5234, section 3.3.
    Tried r{"r = x / y\nx = \"a\"\ny = \"c\"\nr =/ z\nz = *OCTET", {"r"}, {"x", "y", "z"}};
    EXPECT_EQ(r.captures("a"), "0=a");
    EXPECT_EQ(r.captures("c"), "1=c");
    EXPECT_EQ(r.captures("d"), "2=d");
}

TEST(Reader, binds_as_section_3_10_says) {
    // Concatenation before alternation, repetition before both.
    Tried r{"r = \"a\" \"b\" / 2\"c\" \"d\"", {"r"}};
    for (const char* text : {"ab", "ccd"})
        EXPECT_TRUE(r.matches(text)) << text;
    for (const char* text : {"abd", "acd", "abccd", "cdcd"})
        EXPECT_FALSE(r.matches(text)) << text;
}

TEST(Reader, ends_by_its_limits) {
    const std::string rule = "r = \"x\" ;";
    EXPECT_TRUE(parse_grammar(rule + std::string(longest_grammar - rule.size(), 'x'), ""));
    auto grammar = parse_grammar(rule + std::string(longest_grammar - rule.size() + 1, 'x'), "g");
    ASSERT_FALSE(grammar);
    EXPECT_EQ(to_text(grammar.error().front()),
              "g: found \"a grammar of 65537 bytes\", expected at most 65536 bytes; describe each "
              "answer by a grammar of its own");

    std::string rules;
    for (std::size_t i = 0; i < most_rules; ++i)
        rules += "r" + std::to_string(i) + " = \"x\"\n";
    EXPECT_TRUE(parse_grammar(rules, ""));
    grammar = parse_grammar(rules + "more = \"x\"", "");
    ASSERT_FALSE(grammar);
    EXPECT_EQ(to_text(grammar.error().front()).substr(0, 48),
              "1001:1: found \"more\", expected at most 1000 rule");

    const auto nested = [](std::size_t depth) {
        return "r = " + std::string(depth, '(') + "\"x\"" + std::string(depth, ')');
    };
    EXPECT_TRUE(parse_grammar(nested(deepest_groups), ""));
    for (const std::size_t depth : {deepest_groups + 1, std::size_t{30'000}}) {
        grammar = parse_grammar(nested(depth), "");
        ASSERT_FALSE(grammar);
        EXPECT_EQ(grammar.error().front().expected, "at most 32 groups and options in one another");
        EXPECT_EQ(grammar.error().front().at, (state::Position{1, 5 + deepest_groups}));
    }
    EXPECT_FALSE(parse_grammar("r = " + std::string(20'000, '[') + "\"x\"", ""));
}

TEST(Reader, takes_long_chains_of_rules) {
    // Each rule begins with the next: what is walked from rule to rule may not recurse.
    std::string chain;
    for (std::size_t i = 0; i + 1 < most_rules; ++i)
        chain += "r" + std::to_string(i) + " = [\"y\"] r" + std::to_string(i + 1) + "\n";
    chain += "r" + std::to_string(most_rules - 1) + " = \"x\"";
    Tried r{chain, {"r0"}};
    EXPECT_TRUE(r.matches("x"));
    EXPECT_TRUE(r.matches("yyx"));
}

} // namespace
} // namespace slotwitness::abnf
