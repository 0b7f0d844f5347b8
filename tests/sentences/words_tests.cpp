#include <slotwitness/sentences/sentence.hpp>

#include <gtest/gtest.h>

#include <sstream>

/// The grammar's words against those of the state room, which are held against RFC 8348 by its own
/// tests.
namespace slotwitness::sentences {
namespace {

template <class Word>
void every_word_is_read(std::string_view attribute) {
    for (const Word word : state::words_of<Word>()) {
        const std::string text =
            "module FAB3 " + std::string{attribute} + ' ' + std::string{state::to_word(word)};
        const auto sentence = parse(text);
        ASSERT_TRUE(sentence) << state::to_text(sentence.error());
        const auto& is = std::get<OneIs>(sentence->condition.node);
        EXPECT_EQ(std::get<Standard>(is.predicate).word, state::Value{word}) << text;
        EXPECT_EQ(to_text(*sentence), text);
    }
}

TEST(words, every_standard_word_is_read_for_its_attribute) {
    every_word_is_read<state::AdminState>("admin");
    every_word_is_read<state::OperState>("oper");
    every_word_is_read<state::UsageState>("usage");
    every_word_is_read<state::StandbyState>("standby");
    every_word_is_read<state::AlarmState>("alarm");
    every_word_is_read<state::Severity>("severity");
    every_word_is_read<state::SensorStatus>("sensor-status");
}

TEST(words, every_kind_is_read) {
    for (const state::Kind kind : state::words_of<state::Kind>()) {
        const auto sentence = parse(std::string{state::to_word(kind)} + " X up");
        ASSERT_TRUE(sentence) << state::to_text(sentence.error());
        EXPECT_EQ(std::get<OneIs>(sentence->condition.node).subject.kind, kind);
    }
}

TEST(words, every_severity_but_cleared_is_a_threshold) {
    for (const state::Severity severity : state::words_of<state::Severity>()) {
        const auto sentence =
            parse("no alarm at or above " + std::string{state::to_word(severity)});
        ASSERT_EQ(sentence.has_value(), severity != state::Severity::cleared);
        if (sentence) {
            EXPECT_EQ(std::get<NoAlarm>(sentence->condition.node).at_or_above, severity);
        }
    }
}

TEST(words, a_word_of_the_language_is_a_name_only_in_quotes) {
    std::istringstream words{
        "chassis controller module plane fan-tray power-supply port neighbour sensor alarm up "
        "operational "
        "degraded down shut present absent starting serial part hardware-rev software-rev "
        "system-name port-id and or "
        "not "
        "for within every at most least no new above below except served covered by capacity "
        "without "
        "covers load with margin errors of rising since baseline differs from as in is admin oper "
        "usage standby severity sensor-status"};
    for (std::string word; words >> word;) {
        const auto bare = parse("module " + word + " up");
        ASSERT_FALSE(bare) << word;
        EXPECT_EQ(bare.error().at.column, 8U) << word;
        EXPECT_EQ(bare.error().found, word);
        EXPECT_EQ(bare.error().expected, "a name");
        EXPECT_NE(bare.error().remedy.find("in double quotes"), std::string::npos);
        const std::string quoted = "module \"" + word + "\" up";
        const auto sentence = parse(quoted);
        ASSERT_TRUE(sentence) << word;
        EXPECT_EQ(to_text(*sentence), quoted);
    }
}

TEST(words, a_word_that_begins_like_one_of_the_language_is_a_plain_name) {
    for (const std::string word :
         {"upper", "for-1", "plane3", "not1", "in.0", "at/1", "or:2", "is_3"}) {
        const auto sentence = parse("module " + word + " up");
        ASSERT_TRUE(sentence) << word;
        EXPECT_EQ(to_text(*sentence), "module " + word + " up");
    }
}

} // namespace
} // namespace slotwitness::sentences
