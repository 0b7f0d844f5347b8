#include "accepted.hpp"

#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/sentences/sentence_grammar.hpp>

#include <gtest/gtest.h>
#include <tao/pegtl/contrib/analyze.hpp>

namespace slotwitness::sentences {
namespace {

using std::chrono::milliseconds;
using std::chrono::minutes;
using std::chrono::seconds;

Condition read(std::string_view text) {
    const auto sentence = parse(text);
    EXPECT_TRUE(sentence) << (sentence ? "" : state::to_text(sentence.error()));
    return sentence ? sentence->condition : Condition{};
}

OneIs one(std::string name, Trade trade) {
    return {{state::Kind::plane, std::move(name)}, trade};
}

TEST(grammar, has_no_endless_loop) {
    EXPECT_EQ(tao::pegtl::analyze<grammar::sentence>(), 0U);
}

TEST(parse, reads_each_form_and_prints_its_canonical_text) {
    for (const Accepted& row : accepted) {
        const auto sentence = parse(row.text);
        ASSERT_TRUE(sentence) << row.text << ": " << state::to_text(sentence.error());
        EXPECT_EQ(to_text(*sentence), row.canonical) << row.text;
        EXPECT_EQ(parse(row.canonical), *sentence) << row.text;
    }
}

TEST(parse, reads_subject_predicate_hold_and_deadline) {
    const auto sentence = parse("module FAB3 shut for 10 s within 5 min");
    ASSERT_TRUE(sentence);
    const OneIs one{{state::Kind::module, "FAB3"}, Trade::shut};
    EXPECT_EQ(sentence->condition.node, Condition{one}.node);
    EXPECT_EQ(sentence->hold, seconds{10});
    EXPECT_EQ(sentence->within, minutes{5});
}

TEST(parse, leaves_hold_and_deadline_out_where_none_is_stated) {
    const auto sentence = parse("plane 3 down");
    ASSERT_TRUE(sentence);
    EXPECT_FALSE(sentence->hold);
    EXPECT_FALSE(sentence->within);
}

TEST(parse, binds_not_before_and_before_or) {
    const Condition negated{Not{{Condition{one("1", Trade::up)}}}};
    const Condition all{And{{negated, Condition{one("2", Trade::up)}}}};
    const Condition any{Or{{all, Condition{one("3", Trade::up)}}}};
    EXPECT_EQ(read("not plane 1 up and plane 2 up or plane 3 up"), any);
}

TEST(parse, keeps_the_grouping_of_parentheses) {
    const Condition any{Or{{Condition{one("1", Trade::up)}, Condition{one("2", Trade::up)}}}};
    EXPECT_EQ(read("not (plane 1 up or plane 2 up)"), Condition{Not{{any}}});
    EXPECT_EQ(read("(plane 1 up or plane 2 up) and plane 3 up"),
              (Condition{And{{any, Condition{one("3", Trade::up)}}}}));
}

TEST(parse, joins_three_operands_in_one_node) {
    const auto all = std::get<And>(read("plane 1 up and plane 2 up and plane 3 up").node);
    EXPECT_EQ(all.operands.size(), 3U);
}

TEST(parse, reads_a_group_with_exceptions_and_what_serves_it) {
    const auto every =
        std::get<EveryIs>(read("every plane except 3, \"4 b\" served by module FAB3 shut").node);
    EXPECT_EQ(every.group.kind, state::Kind::plane);
    EXPECT_EQ(every.group.except, (std::vector<std::string>{"3", "4 b"}));
    EXPECT_EQ(every.group.served_by, (Named{state::Kind::module, "FAB3"}));
    EXPECT_EQ(every.predicate, Predicate{Trade::shut});
}

TEST(parse, reads_what_covers_a_module) {
    const auto every = std::get<EveryIs>(read("every module covered by fan-tray TRAY1 up").node);
    EXPECT_EQ(every.group.kind, state::Kind::module);
    EXPECT_EQ(every.group.served_by, (Named{state::Kind::fan_tray, "TRAY1"}));
}

TEST(parse, reads_a_count_apart_from_a_comparison_of_its_components) {
    const auto count = std::get<CountIs>(read("at most 1 sensor not at least 45 C").node);
    EXPECT_FALSE(count.at_least);
    EXPECT_EQ(count.limit, 1U);
    EXPECT_TRUE(count.negated);
    const auto& measured = std::get<Measured>(count.predicate);
    EXPECT_EQ(measured.comparison, Comparison::at_least);
    EXPECT_EQ(measured.limit, (units::Quantity{*units::Decimal::of(45, 0), units::Unit::celsius}));
}

TEST(parse, reads_standard_words_as_values_of_their_attribute) {
    const auto is = std::get<OneIs>(read("controller CTL0 standby providing-service").node);
    EXPECT_EQ(std::get<Standard>(is.predicate),
              (Standard{state::Attribute::standby, state::StandbyState::providing_service}));
}

TEST(parse, reads_a_negated_subject_as_the_negated_condition) {
    EXPECT_EQ(read("plane 3 not up"), read("not plane 3 up"));
    EXPECT_EQ(read("plane 3 not up and plane 4 up"), read("(not plane 3 up) and plane 4 up"));
}

TEST(parse, reads_comparisons_with_the_baseline) {
    const auto earlier = [](std::string_view text) {
        return std::get<Earlier>(read(text).node).comparison;
    };
    EXPECT_EQ(std::get<NoNewAlarm>(earlier("no new alarm at or above major since baseline")),
              NoNewAlarm{state::Severity::major});
    EXPECT_EQ(std::get<TextCompared>(earlier("module FAB3 part differs from baseline")),
              (TextCompared{Named{state::Kind::module, "FAB3"}, state::Attribute::part, true}));
    EXPECT_EQ(std::get<StillIs>(earlier("every port up in baseline is down")),
              (StillIs{Group{state::Kind::port, {}, {}}, Trade::up, Trade::down}));
    EXPECT_EQ(std::get<ErrorsNotRising>(earlier("errors of every plane except 3 not rising")),
              (ErrorsNotRising{Group{state::Kind::plane, {"3"}, {}}}));
}

TEST(parse, adds_the_parts_of_a_duration) {
    const auto sentence = parse("plane 3 up for 1 d 2 h 3 min 4 s 5 ms");
    ASSERT_TRUE(sentence);
    EXPECT_EQ(sentence->hold, std::chrono::hours{26} + minutes{3} + seconds{4} + milliseconds{5});
}

} // namespace
} // namespace slotwitness::sentences
