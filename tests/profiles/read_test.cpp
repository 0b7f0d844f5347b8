#include "files.hpp"

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using state::Attribute;
using state::Value;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

constexpr std::string_view family = R"(
[profile]
format = 1
family = "Test"
[words.state]
up   = "oper enabled"
down = "oper disabled"
shut = "admin locked, oper disabled"
away = "oper unknown"
[words.power]
on  = "oper enabled"
off = "oper disabled"
[words.sense]
lost = "sensor-status unknown"
[query.parts]
ask    = ["parts"]
kind   = "module"
lists  = true
layout = "table"
[query.parts.table]
edges   = "header"
columns = ["NAME", "STATE", "POWER", "LINKS", "SERVES", "SPEED"]
[query.parts.cells]
"NAME"   = { as = "name", until = "@" }
"STATE"  = { as = "word", words = "state" }
"POWER"  = { as = "word", words = "power", required = false, empty = ["-", "n/a"] }
"LINKS"  = { as = "quantity", attribute = "links-usable", required = false }
"SERVES" = { as = "names", attribute = "serves", required = false, empty = ["-"] }
"SPEED"  = { as = "quantity", attribute = "speed", unit = "rpm", required = false }
[query.probe]
ask    = ["probe"]
kind   = "sensor"
layout = "record"
name-is = "inlet"
[query.probe.record]
labels  = ["Value", "Sense", "Note"]
[query.probe.cells]
"Value" = { as = "quantity", attribute = "reading", unit = "C" }
"Sense" = { as = "word", words = "sense", required = false }
"Note"  = { as = "text", attribute = "text", required = false }
)";

constexpr std::string_view header = "NAME       STATE    POWER  LINKS     SERVES  SPEED\n";

Profile test_profile() {
    auto profile = parse_profile(family, "family.toml");
    if (profile)
        return std::move(*profile);
    for (const auto& problem : profile.error())
        ADD_FAILURE() << state::to_text(problem);
    return {};
}

state::Reading parts(std::string_view rows, bool whole = true) {
    return read(test_profile(), "parts", std::string{header}.append(rows), whole);
}

Value quantity(const char* text) {
    return units::parse_quantity(text).value();
}

TEST(Reading, gives_typed_facts_with_their_places) {
    const auto reading = parts("FAB3@peer  shut     -      12        1,2 4   7200\n");
    EXPECT_THAT(reading.lists, ElementsAre(state::Kind::module));
    EXPECT_TRUE(reading.wholly_read());
    EXPECT_THAT(reading.remarks, IsEmpty());
    ASSERT_THAT(reading.rows, SizeIs(1));
    const state::Row& row = reading.rows[0];
    EXPECT_EQ(row.name, "FAB3");
    EXPECT_EQ(row.kind, state::Kind::module);
    EXPECT_EQ(row.at, (state::Position{2, 1}));
    EXPECT_EQ(row.text, "FAB3@peer  shut     -      12        1,2 4   7200");
    EXPECT_THAT(row.facts, SizeIs(5));
    EXPECT_EQ(row.facts.at(Attribute::admin), (state::Fact{state::AdminState::locked, {2, 12}}));
    EXPECT_EQ(row.facts.at(Attribute::oper), (state::Fact{state::OperState::disabled, {2, 12}}));
    EXPECT_EQ(row.facts.at(Attribute::links_usable), (state::Fact{quantity("12"), {2, 28}}));
    EXPECT_EQ(row.facts.at(Attribute::serves), (state::Fact{state::Names{"1", "2", "4"}, {2, 38}}));
    EXPECT_EQ(row.facts.at(Attribute::speed), (state::Fact{quantity("7200 rpm"), {2, 46}}));
}

TEST(Reading, an_undeclared_word_is_unknown_and_remarked) {
    const auto reading = parts("FAB3       sleepy\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    // Every attribute that the word list speaks of, for nobody knows which of them the word denies.
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::oper).value, Value{state::Unknown{}});
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::admin).value, Value{state::Unknown{}});
    ASSERT_THAT(reading.remarks, SizeIs(1));
    EXPECT_EQ(reading.remarks[0].at, (state::Position{2, 12}));
    EXPECT_EQ(reading.remarks[0].text,
              "\"sleepy\" in \"STATE\" is not in [words.state]; if its meaning is known, add it "
              "there: admin and oper unknown");
    EXPECT_TRUE(reading.wholly_read());
}

TEST(Reading, words_are_taken_exactly) {
    for (const char* word : {"UP", "Up", "up!", "u", "upp"})
        EXPECT_EQ(parts(std::string{"FAB3       "} + word + "\n")
                      .rows.at(0)
                      .facts.at(Attribute::oper)
                      .value,
                  Value{state::Unknown{}})
            << word;
}

TEST(Reading, a_wrong_unit_is_unknown_and_remarked) {
    const auto reading = parts("FAB3       up              12 Gb/s           40 C\n");
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::links_usable).value, Value{state::Unknown{}});
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::speed).value, Value{state::Unknown{}});
    ASSERT_THAT(reading.remarks, SizeIs(2));
    EXPECT_THAT(
        reading.remarks[0].text,
        HasSubstr("\"12 Gb/s\" in \"LINKS\" is not in the unit of links-usable, which is a count"));
    EXPECT_THAT(reading.remarks[1].text, HasSubstr("is not in the unit of speed, rpm"));
}

TEST(Reading, what_is_no_number_is_unknown_and_remarked) {
    const auto reading = parts("FAB3       up              many              fast\n");
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::links_usable).value, Value{state::Unknown{}});
    EXPECT_THAT(reading.remarks, SizeIs(2));
}

TEST(Reading, an_empty_required_cell_is_unknown_and_an_optional_one_no_fact) {
    const auto reading = parts("FAB3                n/a\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::oper).value, Value{state::Unknown{}});
    EXPECT_THAT(reading.rows[0].facts, SizeIs(2)); // admin and oper of STATE, nothing else
    ASSERT_THAT(reading.remarks, SizeIs(1));
    EXPECT_THAT(reading.remarks[0].text, HasSubstr("\"STATE\" is empty"));
}

TEST(Reading, two_cells_at_odds_make_the_fact_unknown) {
    const auto agreed = parts("FAB3       down     off\n");
    EXPECT_EQ(agreed.rows.at(0).facts.at(Attribute::oper).value, Value{state::OperState::disabled});
    const auto odd = parts("FAB3       up       off\n");
    EXPECT_EQ(odd.rows.at(0).facts.at(Attribute::oper).value, Value{state::Unknown{}});
    ASSERT_THAT(odd.remarks, SizeIs(1));
    EXPECT_EQ(odd.remarks[0].text, "oper is said to be enabled and disabled in one row: unknown");
    const auto doubtful = parts("FAB3       sleepy   on\n");
    EXPECT_EQ(doubtful.rows.at(0).facts.at(Attribute::oper).value, Value{state::Unknown{}});
}

TEST(Reading, a_row_without_a_legible_name_is_an_unread_line) {
    const auto reading = parts("           up\n@peer      up\nF\xff\x42       up\nFAB1       up\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    EXPECT_EQ(reading.rows[0].name, "FAB1");
    ASSERT_THAT(reading.unread, SizeIs(3));
    EXPECT_EQ(reading.unread[0].line, 2U);
    EXPECT_EQ(reading.unread[1],
              (state::UnreadLine{3, "@peer      up", 1, "a legible name of the module"}));
    EXPECT_FALSE(reading.wholly_read());
    EXPECT_THAT(reading.remarks, IsEmpty());
}

TEST(Reading, two_rows_of_one_name_both_stay) {
    const auto reading = parts("FAB3       up\nFAB3       down\n");
    ASSERT_THAT(reading.rows, SizeIs(2));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::oper).value, Value{state::OperState::enabled});
    EXPECT_EQ(reading.rows[1].facts.at(Attribute::oper).value, Value{state::OperState::disabled});
}

TEST(Reading, an_answer_that_is_not_whole_says_so_and_does_not_read_its_torn_line) {
    const auto reading = parts("FAB1       up\nFAB3       up", false);
    EXPECT_FALSE(reading.whole);
    EXPECT_THAT(reading.rows, SizeIs(1));
    EXPECT_THAT(reading.unread, SizeIs(1));
}

state::Reading probe(std::string_view answer) {
    return read(test_profile(), "probe", answer, true);
}

TEST(Reading, a_record_may_be_named_by_its_query) {
    const auto reading = probe("Value: 38.5\nNote: intake\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    EXPECT_EQ(reading.rows[0].name, "inlet");
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::reading).value, quantity("38.5 C"));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::text).value, Value{std::string{"intake"}});
    EXPECT_THAT(reading.lists, IsEmpty());
}

// RFC 8348, typedef sensor-value: -1000000000 stands for an underflow, +1000000000 for an overflow.
TEST(Reading, a_sensor_value_beyond_its_range_is_unknown) {
    for (const char* value : {"1000000000", "-1000000000", "+1000000000 C", "1000000000 mV"}) {
        const auto reading = probe(std::string{"Value: "} + value + "\n");
        EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::reading).value, Value{state::Unknown{}})
            << value;
        EXPECT_THAT(reading.remarks, SizeIs(1)) << value;
    }
    for (const char* value :
         {"999999999", "1000000001", "100000000", "1000000000.5", "10000000000"})
        EXPECT_THAT(probe(std::string{"Value: "} + value + "\n").remarks, IsEmpty()) << value;
}

TEST(Reading, unknown_is_a_word_also_where_the_standard_has_none) {
    EXPECT_EQ(probe("Value: 1\nSense: lost\n").rows.at(0).facts.at(Attribute::sensor_status).value,
              Value{state::Unknown{}});
}

TEST(Reading, a_missing_required_label_is_unknown) {
    const auto reading = probe("Note: x\n");
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::reading).value, Value{state::Unknown{}});
    ASSERT_THAT(reading.remarks, SizeIs(1));
    EXPECT_THAT(reading.remarks[0].text, HasSubstr("\"Value\" is missing here"));
    EXPECT_FALSE(reading.rows[0].facts.contains(Attribute::sensor_status));
}

TEST(Reading, of_a_block_with_unread_lines_even_optional_labels_are_unknown) {
    const auto reading = probe("Value: 1\nSurprise: 2\nNote: x\n");
    EXPECT_THAT(reading.unread, SizeIs(2));
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::reading).value, quantity("1 C"));
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::text).value, Value{state::Unknown{}});
    EXPECT_EQ(reading.rows.at(0).facts.at(Attribute::sensor_status).value, Value{state::Unknown{}});
}

/// Modules whose names no line shows whole.
state::Reading composed(const std::string& table, const std::string& answer) {
    const auto profile = parse_profile(R"(
[profile]
format = 1
family = "Composed"
[words.state]
up   = "oper enabled"
down = "oper disabled"
[query.parts]
ask    = ["parts"]
kind   = "module"
layout = "table"
)" + table + R"(
"STATE" = { as = "word", words = "state" }
)",
                                       "composed.toml");
    return profile ? read(*profile, "parts", answer, true) : state::Reading{};
}

constexpr const char* shelves = R"(
name-join = "/"
[query.parts.table]
edges   = "rule"
columns = ["SHELF", "STATE", "SLOT"]
[query.parts.cells]
"SHELF" = { as = "name" }
"SLOT"  = { as = "name" }
)";

TEST(Reading, an_unread_line_with_all_parts_of_a_joined_name_may_name_it) {
    const auto reading = composed(shelves, "SHELF  STATE  SLOT\n-----  -----  ----\n"
                                           "2      up     FAB3\n3      up     FAB4\n"
                                           "2      down   FAB4  ?\n2      down   fab3  ?\n");
    ASSERT_THAT(reading.rows, SizeIs(2));
    EXPECT_EQ(reading.rows[0].name, "2/FAB3");
    ASSERT_THAT(reading.unread, SizeIs(2));
    EXPECT_EQ(reading.unread[0].also, "") << "no row is 2/FAB4";
    EXPECT_EQ(reading.unread[1].also, "\n2/FAB3");
}

TEST(Reading, an_unread_line_below_a_group_names_by_what_stands_in_it) {
    const auto reading =
        composed(R"(
name-join = "/"
[query.parts.table]
edges   = "rule"
group   = "Shelf"
columns = ["SLOT", "STATE"]
[query.parts.cells]
"Shelf" = { as = "name" }
"SLOT"  = { as = "name" }
)",
                 "SLOT  STATE\n----  -----\nShelf 2\nFAB3  up\n\x1a\nFAB3  down\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    ASSERT_THAT(reading.unread, SizeIs(2));
    EXPECT_EQ(reading.unread[1].also, "\n2/FAB3");
}

TEST(Reading, an_unread_line_with_the_beginning_of_a_wrapped_name_may_name_it) {
    const auto reading = composed(
        "[query.parts.table]\nedges = \"rule\"\nwraps = true\n"
        "columns = [\"STATE\", \"SLOT\"]\n[query.parts.cells]\n\"SLOT\" = { as = \"name\" }",
        "STATE  SLOT\n-----  ------\nup     FABRIC\n       3\ndown   FABRIC  ?\n");
    ASSERT_THAT(reading.rows, SizeIs(1));
    EXPECT_EQ(reading.rows[0].name, "FABRIC 3");
    ASSERT_THAT(reading.unread, SizeIs(1));
    EXPECT_EQ(reading.unread[0].also, "\nFABRIC 3");
}

// 20,000 names in 14,000 bytes: more than the reader looks through.
TEST(Reading, of_too_many_joined_names_each_may_be_named) {
    std::string answer = "SHELF  STATE  SLOT\n-----  -----  ----\n";
    for (int i = 10'000; i < 30'000; ++i)
        answer += std::to_string(i) + "  up     FAB3\n";
    answer += "\x1a" + std::string(14'000, '-') + "\n";
    const auto reading = composed(shelves, answer);
    ASSERT_THAT(reading.unread, SizeIs(1));
    EXPECT_THAT(reading.unread[0].also, HasSubstr("\n29999/FAB3"));
}

TEST(Reading, an_answer_to_no_query_of_the_profile_is_unread) {
    const auto reading = read(test_profile(), "planes", "x", true);
    EXPECT_THAT(reading.rows, IsEmpty());
    EXPECT_THAT(reading.unread, SizeIs(1));
    EXPECT_FALSE(reading.wholly_read());
}

} // namespace
} // namespace slotwitness::profiles
