#include <slotwitness/journal/codec.hpp>
#include <slotwitness/pack/compare.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::pack {
namespace {

using What = Change::What;

state::Reading sample_reading() {
    state::Reading reading;
    reading.whole = true;
    reading.lists = {state::Kind::module};
    state::Row row{state::Kind::module, "FAB1", {2, 1}, "FAB1 up locked", {}};
    row.facts[state::Attribute::oper] = {state::OperState::enabled, {2, 6}};
    row.facts[state::Attribute::serial] = {std::string("locked"), {2, 9}};
    reading.rows.push_back(row);
    return reading;
}

std::vector<Change> changes(const state::Reading& then, const state::Reading& now) {
    const auto found = compare(journal::to_json(then), journal::to_json(now));
    EXPECT_TRUE(found) << (found ? "" : found.error());
    return found.value_or(std::vector<Change>{});
}

TEST(Compare, one_reading_is_the_same_as_itself) {
    EXPECT_TRUE(changes(sample_reading(), sample_reading()).empty());
}

TEST(Compare, a_fact_that_changed_says_from_what_to_what_and_where) {
    state::Reading now = sample_reading();
    now.rows[0].facts[state::Attribute::oper].value = state::Unknown{};
    const auto found = changes(sample_reading(), now);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0], (Change{What::fact, {2, 6}, "module FAB1", "oper", "enabled", "unknown"}));
    EXPECT_EQ(to_text(found[0]), "module FAB1: oper was enabled, is now unknown");
}

TEST(Compare, a_text_is_not_the_word_that_it_spells) {
    state::Reading now = sample_reading();
    now.rows[0].facts[state::Attribute::serial].value = state::AdminState::locked;
    EXPECT_EQ(changes(sample_reading(), now).size(), 1U);
}

TEST(Compare, the_same_value_from_another_place_is_a_change) {
    state::Reading now = sample_reading();
    now.rows[0].facts[state::Attribute::oper].at.column = 7;
    const auto found = changes(sample_reading(), now);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].from, "enabled from line 2, column 6");
    EXPECT_EQ(found[0].to, "enabled from line 2, column 7");
}

TEST(Compare, facts_rows_and_remarks_come_and_go) {
    state::Reading now = sample_reading();
    now.rows[0].facts.erase(state::Attribute::serial);
    now.rows.push_back({state::Kind::module, "FAB2", {3, 1}, "FAB2", {}});
    now.remarks.push_back({{3, 2}, "odd"});
    const auto found = changes(sample_reading(), now);
    ASSERT_EQ(found.size(), 3U);
    EXPECT_EQ(to_text(found[0]), "module FAB1: serial was \"locked\", is now not told");
    EXPECT_EQ(found[1].what, What::row_new);
    EXPECT_EQ(found[2], (Change{What::remark_new, {3, 2}, "", "", "", "odd"}));
    const auto back = changes(now, sample_reading());
    ASSERT_EQ(back.size(), 3U);
    EXPECT_EQ(back[1].what, What::row_gone);
    EXPECT_EQ(back[2].what, What::remark_gone);
}

TEST(Compare, rows_of_one_name_are_told_apart_by_their_order) {
    state::Reading then = sample_reading();
    then.rows.push_back(then.rows[0]);
    const auto found = changes(then, sample_reading());
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].what, What::row_gone);
}

TEST(Compare, unread_lines_come_go_and_stop_elsewhere) {
    state::Reading then = sample_reading();
    then.unread.push_back({5, "what?", 1, "a row"});
    const auto gone = changes(then, sample_reading());
    ASSERT_EQ(gone.size(), 1U);
    EXPECT_EQ(gone[0].what, What::unread_gone);
    const auto fresh = changes(sample_reading(), then);
    ASSERT_EQ(fresh.size(), 1U);
    EXPECT_EQ(fresh[0], (Change{What::unread_new, {5, 1}, "", "", "", "a row"}));
    state::Reading later = then;
    later.unread[0].column = 3;
    EXPECT_EQ(changes(then, later).at(0).what, What::wording);
}

TEST(Compare, whole_and_lists_count) {
    state::Reading now = sample_reading();
    now.whole = false;
    now.lists.clear();
    const auto found = changes(sample_reading(), now);
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(to_text(found[0]), "the answer was whole, is now not whole");
    EXPECT_EQ(found[1].what, What::lists);
}

TEST(Compare, what_is_no_reading_is_an_error) {
    EXPECT_FALSE(compare(nlohmann::json::array(), journal::to_json(sample_reading())));
    EXPECT_FALSE(compare({{"whole", 1}}, journal::to_json(sample_reading())));
}

} // namespace
} // namespace slotwitness::pack
