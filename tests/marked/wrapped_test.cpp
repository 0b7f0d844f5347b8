#include <slotwitness/marked/wrapped.hpp>

#include <gtest/gtest.h>

namespace slotwitness::marked {
namespace {

struct Wrapping {
    const char* name;
    const char* first;
    const char* text;
    std::size_t columns;
    const char* lines;
};

TEST(Wrapped, breaks_between_words_and_keeps_later_lines_under_the_text) {
    const Wrapping cases[] = {
        {"fits", "do  ", "one two", 20, "do  one two\n"},
        {"fills its line to the last column", "", "one two", 7, "one two\n"},
        {"is one column too long", "", "one two", 6, "one\ntwo\n"},
        {"breaks under the text", "do  ", "one two three", 11, "do  one two\n    three\n"},
        {"breaks more than once", "- ", "aa bb cc", 4, "- aa\n  bb\n  cc\n"},
        {"a long word stands alone", "", "a mmmmmmmmm b", 5, "a\nmmmmmmmmm\nb\n"},
        {"a long word comes first", "- ", "mmmmmmmmm b", 5, "- mmmmmmmmm\n  b\n"},
        {"says nothing", "outcome  ", "", 20, "outcome  \n"},
        {"two blanks are kept", "", "a  b", 20, "a  b\n"},
        {"a code point is one column", "", "38 °C °C", 8, "38 °C °C\n"},
        {"a code point counts in the margin", "°  ", "aa bb", 5, "°  aa\n   bb\n"},
        {"what a terminal acts on is wider", "", "ab \x1b", 6, "ab\n\\x1B\n"},
        {"a line feed is no break of ours", "", "a\nb", 20, "a\\x0Ab\n"},
    };
    for (const Wrapping& each : cases)
        EXPECT_EQ(wrapped(each.first, each.text, each.columns), each.lines) << each.name;
}

} // namespace
} // namespace slotwitness::marked
