#include "random_sentence.hpp"

#include <gtest/gtest.h>

namespace slotwitness::sentences {
namespace {

TEST(to_text, is_read_back_as_the_same_sentence) {
    std::size_t in_bounds = 0;
    EXPECT_TRUE(rc::check([&in_bounds] {
        const Sentence sentence = *random_sentence();
        const std::string text = to_text(sentence);
        const auto read = parse(text);
        if (text.size() > longest_sentence) {
            RC_ASSERT_FALSE(read.has_value());
            RC_DISCARD("longer than a sentence may be");
        }
        RC_LOG() << text << '\n';
        if (!read)
            RC_LOG() << state::to_text(read.error());
        RC_ASSERT(read.has_value());
        const bool same = *read == sentence;
        RC_ASSERT(same);
        RC_ASSERT(to_text(*read) == text);
        ++in_bounds;
    }));
    EXPECT_GE(in_bounds, 100U);
}

TEST(to_text, is_the_same_however_the_blanks_stand) {
    EXPECT_TRUE(rc::check([] {
        const std::string text = to_text(*random_sentence());
        RC_PRE(text.size() <= longest_sentence / 3);
        std::string wide;
        bool quoted = false;
        bool escaped = false;
        for (const char byte : text) {
            if (byte == '"' && !escaped)
                quoted = !quoted;
            escaped = byte == '\\' && !escaped;
            wide.append(byte == ' ' && !quoted ? 3 : 1, byte);
        }
        const bool same = parse(wide).value() == parse(text).value();
        RC_ASSERT(same);
    }));
}

} // namespace
} // namespace slotwitness::sentences
