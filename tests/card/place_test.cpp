#include <slotwitness/card/place.hpp>

#include <gmock/gmock.h>

namespace slotwitness::card {
namespace {

using state::Attribute;
using state::Kind;

/// An answer with these rows; `lists` all of their kinds.
Heard answer(std::string asking, std::vector<state::Row> rows, std::vector<Kind> lists) {
    auto reading = std::make_shared<state::Reading>();
    reading->whole = true;
    reading->lists = std::move(lists);
    reading->rows = std::move(rows);
    return {std::move(asking), "digest", Instant(units::Duration(1000)), std::move(reading)};
}

state::Row module(std::string name, const std::string& serial) {
    state::Row row{Kind::module, std::move(name), {2, 1}, "a line of the device", {}};
    if (!serial.empty())
        row.facts[Attribute::serial] = {serial, {2, 10}};
    return row;
}

state::Row alarm(std::string text) {
    return {Kind::alarm, "1", {3, 1}, std::move(text), {}};
}

std::map<std::string, Heard> answers(std::vector<Heard> all) {
    std::map<std::string, Heard> map;
    for (Heard& heard : all)
        map.emplace(heard.asking, heard);
    return map;
}

TEST(Place, is_listed_with_its_serial) {
    const Seen it = seen(answers({answer("modules", {module("FAB3", "S1")}, {Kind::module})}),
                         Kind::module, "FAB3");
    EXPECT_EQ(it.listing, Seen::Listing::listed);
    EXPECT_EQ(it.serial, "S1");
    ASSERT_EQ(it.rows.size(), 1U);
    EXPECT_EQ(it.rows[0].line, 2U);
}

TEST(Place, is_not_listed_only_by_an_answer_that_lists_its_kind_and_was_wholly_read) {
    const auto others = [](std::vector<Kind> lists) {
        return answer("modules", {module("FAB4", "S2")}, std::move(lists));
    };
    EXPECT_EQ(seen(answers({others({Kind::module})}), Kind::module, "FAB3").listing,
              Seen::Listing::not_listed);
    EXPECT_EQ(seen(answers({others({})}), Kind::module, "FAB3").listing, Seen::Listing::unknown);
    EXPECT_EQ(seen({}, Kind::module, "FAB3").listing, Seen::Listing::unknown);
    state::Reading unread = *others({Kind::module}).reading;
    unread.unread.push_back({4, "FAB3 ?", 1, "a word"});
    Heard heard = others({Kind::module});
    heard.reading = std::make_shared<state::Reading>(unread);
    const Seen it = seen(answers({heard}), Kind::module, "FAB3");
    EXPECT_EQ(it.listing, Seen::Listing::unknown);
    ASSERT_EQ(it.faults.size(), 1U) << "a line that nobody read and that names it is shown";
    EXPECT_EQ(it.faults[0].text, "FAB3 ?");
}

TEST(Place, has_no_serial_where_two_answers_contradict_each_other) {
    const Seen it = seen(answers({answer("modules", {module("FAB3", "S1")}, {Kind::module}),
                                  answer("module FAB3", {module("FAB3", "S2")}, {})}),
                         Kind::module, "FAB3");
    EXPECT_TRUE(it.disagree);
    EXPECT_EQ(it.serial, std::nullopt);
}

TEST(Place, is_named_by_an_alarm_as_a_word_of_its_own) {
    const auto faults = [](const std::string& text) {
        return seen(answers({answer("alarms", {alarm(text)}, {Kind::alarm})}), Kind::module, "FAB3")
            .faults.size();
    };
    EXPECT_EQ(faults("5  major  FAB3  Module is not in its place."), 1U);
    EXPECT_EQ(faults("4  major  TRAY2 FAB3, FAB4 grow warm."), 1U);
    EXPECT_EQ(faults("5  major  FAB31  Module is not in its place."), 0U);
    EXPECT_EQ(faults("5  major  XFAB3  Module is not in its place."), 0U);
}

TEST(Place, knows_no_alarms_without_an_answer_that_lists_them) {
    EXPECT_FALSE(seen({}, Kind::module, "FAB3").alarms_known);
    EXPECT_TRUE(
        seen(answers({answer("alarms", {}, {Kind::alarm})}), Kind::module, "FAB3").alarms_known);
}

TEST(Place, is_at_a_chassis_whose_serial_is_unknown_where_answers_contradict) {
    const auto chassis = [](const std::string& serial) {
        state::Row row = module("", serial);
        row.kind = Kind::chassis;
        return row;
    };
    const auto same = chassis_serial(answers({answer("a", {chassis("C1")}, {})}));
    ASSERT_TRUE(same);
    EXPECT_EQ(same->text, "C1");
    EXPECT_FALSE(chassis_serial(
        answers({answer("a", {chassis("C1")}, {}), answer("b", {chassis("C2")}, {})})));
}

} // namespace
} // namespace slotwitness::card
