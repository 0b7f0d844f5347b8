#include "helpers.hpp"

#include <thread>

namespace slotwitness::abnf {
namespace {

TEST(Matcher, gives_back_what_a_repetition_took_too_much) {
    EXPECT_TRUE((Tried{"r = *\"x\" \"x\"", {"r"}}.matches("xx")));
    EXPECT_TRUE((Tried{"r = *ALPHA \"end\"", {"r"}}.matches("theend")));
    EXPECT_TRUE((Tried{"r = 1*3DIGIT 2DIGIT", {"r"}}.matches("123")));
    EXPECT_FALSE((Tried{"r = 1*3DIGIT 2DIGIT", {"r"}}.matches("12")));
    EXPECT_TRUE((Tried{"r = *(\"ab\" / \"a\") \"b\"", {"r"}}.matches("abab")));
    EXPECT_FALSE((Tried{"r = *VCHAR \" \"", {"r"}}.matches("ab")));
}

TEST(Matcher, comes_back_to_a_later_alternative) {
    Tried r{"r = (\"a\" / \"ab\") \"c\"", {"r"}};
    EXPECT_TRUE(r.matches("ac"));
    EXPECT_TRUE(r.matches("abc"));
    EXPECT_FALSE(r.matches("ab"));
    // Into a rule that was left already.
    Tried nested{"r = word word\nword = \"a\" / \"aa\" / \"aaa\"", {"r"}, {"word"}};
    EXPECT_EQ(nested.captures("aaaa"), "0=a 0=aaa");
}

TEST(Matcher, takes_the_first_reading_of_several) {
    const char* grammar = "r = one / two\none = *a b\ntwo = *a *b\na = \"x\"\nb = \"x\"";
    EXPECT_EQ((Tried{grammar, {"r"}, {"one", "two", "a", "b"}}.captures("xx")), "0=xx 2=x 3=x");
    EXPECT_EQ((Tried{grammar, {"two"}, {"a", "b"}}.captures("xx")), "0=x 0=x");
    EXPECT_EQ((Tried{grammar, {"two", "one"}, {"a", "b"}}.match("xx").rule), 0U);
    EXPECT_EQ(
        (Tried{"r = short long\nshort = *\"x\"\nlong = *\"x\"", {"r"}, {"short", "long"}}.captures(
            "xxx")),
        "0=xxx 1=");
}

TEST(Matcher, undoes_captures_that_it_comes_back_from) {
    Tried r{"r = left \"!\" / right \"?\"\nleft = 1*name\nright = 1*name\nname = \"ab\" / \"a\" / "
            "\"b\"",
            {"r"},
            {"left", "right", "name"}};
    EXPECT_EQ(r.captures("abb?"), "1=abb 2=ab 2=b");
    EXPECT_EQ(r.captures("abb!"), "0=abb 2=ab 2=b");
    EXPECT_EQ(r.captures("abb"), "no match");
}

TEST(Matcher, captures_inner_rules_after_the_outer_one) {
    Tried tree{"tree = \"(\" *tree \")\"", {"tree"}, {"tree"}};
    EXPECT_EQ(tree.captures("(()())"), "0=(()()) 0=() 0=()");
    EXPECT_EQ(tree.captures("((())"), "no match");
}

TEST(Matcher, counts_repetitions) {
    Tried pairs{"r = 2*3(\"a\" / \"bb\")", {"r"}};
    for (const char* text : {"aa", "abb", "bba", "aaa", "bbabb"})
        EXPECT_TRUE(pairs.matches(text)) << text;
    for (const char* text : {"", "a", "aaaa", "b", "bbb"})
        EXPECT_FALSE(pairs.matches(text)) << text;
    EXPECT_TRUE((Tried{"r = 0\"a\" \"b\"", {"r"}}.matches("b")));
    EXPECT_FALSE((Tried{"r = 0\"a\" \"b\"", {"r"}}.matches("ab")));
    EXPECT_TRUE((Tried{"r = 3(*\"a\")", {"r"}}.matches("")));
    EXPECT_TRUE((Tried{"r = 65535(*\"a\") \"b\"", {"r"}}.matches("aab")));
}

TEST(Matcher, ends_repetitions_of_nothing) {
    for (const char* grammar :
         {"r = *(*\"a\")", "r = *([\"a\"])", "r = *(*(*\"a\"))", "r = *x\nx = *\"a\"",
          "r = 1*(\"\" / \"a\")", "r = *(*\"a\" *\"b\") "}) {
        Tried r{grammar, {"r"}};
        EXPECT_TRUE(r.matches("")) << grammar;
        EXPECT_TRUE(r.matches("aaa")) << grammar;
        EXPECT_FALSE(r.matches("aaac")) << grammar;
    }
}

TEST(Matcher, takes_an_empty_round_only_where_one_is_needed) {
    // RFC 5234, section 3.8: [x] is *1x, and no round of it needs to be.
    EXPECT_EQ((Tried{"r = [x]\nx = *\"a\"", {"r"}, {"x"}}.captures("")), "");
    EXPECT_EQ((Tried{"r = x\nx = *\"a\"", {"r"}, {"x"}}.captures("")), "0=");
    EXPECT_EQ((Tried{"r = 2x\nx = *\"a\"", {"r"}, {"x"}}.captures("a")), "0=a 0=");
}

TEST(Matcher, minds_case_as_the_grammar_says) {
    Tried plain{"r = \"Slot\" %i\"UP\" \"h\"", {"r"}};
    EXPECT_TRUE(plain.matches("sLOTupH")); // RFC 5234, section 2.3
    Tried strict{"r = %s\"Slot\" %x61 %d66.67 %b1000100", {"r"}};
    EXPECT_TRUE(strict.matches("SlotaBCD"));
    for (const char* text : {"slotaBCD", "SlotABCD", "SlotabCD", "SlotaBcd"})
        EXPECT_FALSE(strict.matches(text)) << text;
    EXPECT_FALSE((Tried{"r = \"[\"", {"r"}}.matches("{"))); // they differ as letters' cases do
}

TEST(Matcher, matches_octets_of_every_value) {
    Tried all{"r = *OCTET \"end\"", {"r"}};
    std::string text;
    for (int octet = 0; octet < 256; ++octet)
        text += static_cast<char>(octet);
    EXPECT_TRUE(all.matches(text + "end"));
    Tried high{"degrees = 1*DIGIT %xC2.B0 \"C\"", {"degrees"}};
    EXPECT_TRUE(high.matches("38\xc2\xb0"
                             "C"));
    EXPECT_FALSE(high.matches("38\xb0"
                              "C"));
    EXPECT_FALSE((Tried{"r = %x80-FE", {"r"}}.matches("\xff")));
}

TEST(Matcher, matches_whole_texts_alone) {
    Tried r{"r = \"ab\"", {"r"}};
    for (const char* text : {"", "a", "abc", "ab ", " ab"})
        EXPECT_FALSE(r.matches(text)) << text;
    EXPECT_TRUE((Tried{"r = \"\"", {"r"}}.matches("")));
    EXPECT_FALSE((Tried{"r = \"\"", {"r"}}.matches(" ")));
}

TEST(Matcher, tells_which_of_several_rules_matched) {
    Tried lines{"row = \"Slot \" 1*VCHAR\nfoot = 1*DIGIT \" slots\"\nany = \"Slot \" *OCTET",
                {"row", "foot", "ANY"}};
    EXPECT_EQ(lines.match("Slot FAB3").rule, 0U);
    EXPECT_EQ(lines.match("12 slots").rule, 1U);
    EXPECT_EQ(lines.match("Slot is empty").rule, 2U);
    EXPECT_EQ(lines.match("12 slot").outcome, Outcome::not_matched);
}

TEST(Matcher, says_where_it_got_to_and_what_was_expected) {
    Tried r{"row = \"Slot \" slot \" is \" state [\", up \" duration]\n"
            "slot = 1*ALPHA 1*DIGIT\nstate = \"up\" / \"down\" / %s\"Off\"\n"
            "duration = 1*DIGIT \"d\" 2DIGIT \"h\"",
            {"row"}};
    EXPECT_EQ(r.expected("Slut"), "0: \"Slot \"");
    EXPECT_EQ(r.expected("Slot 3"), "5: rule \"slot\"");
    EXPECT_EQ(r.expected("Slot FAB is up"), "8: rule \"DIGIT\"");
    EXPECT_EQ(r.expected("Slot FAB3 was"), "9: \" is \"");
    EXPECT_EQ(r.expected("Slot FAB3 is off"), "13: \"up\", \"down\" or %s\"Off\"");
    EXPECT_EQ(r.expected("Slot FAB3 is up."), "15: \", up \" or the end");
    EXPECT_EQ(r.expected("Slot FAB3 is up, up x"), "20: rule \"duration\"");
    EXPECT_EQ(r.expected("Slot FAB3 is up, up 3d0"), "23: more of rule \"DIGIT\"");
    EXPECT_EQ(r.expected("Slot FAB3 is up, up 3d04"), "24: \"h\"");
}

TEST(Matcher, names_octets_as_a_grammar_would) {
    EXPECT_EQ((Tried{"r = %x41-43 / %x45", {"r"}}.expected("x")), "0: rule \"r\"");
    EXPECT_EQ((Tried{"r = \"-\" (%x41-43 / %x45)", {"r"}}.expected("-x")), "1: %x41-43 / %x45");
    EXPECT_EQ((Tried{"r = \"-\" CRLF", {"r"}}.expected("-")), "1: %x0D");
    EXPECT_EQ((Tried{"r = \"-\" %x0D.0A", {"r"}}.expected("-")), "1: %x0D.0A");
    EXPECT_EQ((Tried{"r = \"-\" DQUOTE", {"r"}}.expected("-")), "1: %x22");
    EXPECT_EQ(
        (Tried{"r = \"0\" / \"11\" / \"22\" / \"33\" / \"44\" / \"55\" / \"66\" / \"77\" / \"88\" "
               "/ \"99\"",
               {"r"}}
             .expected("x")),
        "0: \"0\", \"11\", \"22\", \"33\", \"44\", \"55\", \"66\", \"77\" or one of 2 others");
}

TEST(Matcher, refuses_prose_only_where_a_rule_needs_it) {
    const Grammar grammar =
        grammar_of("row = name\nname = \"x\" / <whatever is printed>\nother = 0<x> \"y\"");
    EXPECT_TRUE(Matcher::compile(grammar, std::vector<std::string>{"other"}, {}));
    const auto refused = Matcher::compile(grammar, std::vector<std::string>{"row"}, {});
    ASSERT_FALSE(refused);
    EXPECT_EQ(
        to_text(refused.error().at(0)),
        "test:2:14: found \"<whatever is printed>\", expected what a program can match; replace "
        "the words in angle brackets by rules");
}

TEST(Matcher, refuses_names_that_the_grammar_lacks) {
    const Grammar grammar = grammar_of("row = \"x\"");
    const auto refused = Matcher::compile(grammar, std::vector<std::string>{"row", "raw"},
                                          std::vector<std::string>{"slot"});
    ASSERT_FALSE(refused);
    ASSERT_EQ(refused.error().size(), 2U);
    EXPECT_EQ(
        to_text(refused.error()[0]),
        "test: found \"raw\", expected the name of a rule of the grammar; define the rule, or "
        "name another one");
    EXPECT_EQ(refused.error()[1].found, "slot");
    EXPECT_FALSE(Matcher::compile(grammar, {}, {}));
}

TEST(Matcher, may_be_used_by_several_threads_each_with_its_scratch) {
    const Tried r{"r = *(word SP) word\nword = 1*ALPHA", {"r"}, {"word"}};
    const auto read = [&r] {
        Scratch scratch;
        std::size_t words = 0;
        for (int i = 0; i < 1000; ++i)
            words += r.matcher.match("one two three", scratch).captures.size();
        EXPECT_EQ(words, 3000U);
    };
    std::thread other{read};
    read();
    other.join();
}

} // namespace
} // namespace slotwitness::abnf
