#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;
using testing::Optional;

constexpr std::string_view proven_family = R"([profile]
format = 1
family = "Example"
[proven-for]
query = "frame"
from  = "4.2"
to    = "4.9"
[stated.module.FAB3]
label  = "FABRIC 3"
serves = ["3", "4"]
[query.frame]
ask     = ["tell", "frame"]
kind    = "chassis"
name-is = "frame"
layout  = "record"
[query.frame.record]
labels = ["Software"]
[query.frame.cells]
"Software" = { as = "text", attribute = "software-rev" }
[query.slots]
ask    = ["tell", "slots"]
kind   = "module"
lists  = true
layout = "table"
[query.slots.table]
edges   = "header"
columns = ["SLOT", "PLANES"]
[query.slots.cells]
"SLOT"   = { as = "name" }
"PLANES" = { as = "names", attribute = "serves", required = false }
)";

Profile profile() {
    auto parsed = parse_profile(proven_family, "family.toml");
    EXPECT_TRUE(parsed) << (parsed ? "" : state::to_text(parsed.error().front()));
    return parsed ? *parsed : Profile{};
}

std::optional<std::string> verdict(const std::string& software,
                                   std::vector<std::string> allowed = {}, bool whole = true) {
    const Profile known = profile();
    return not_proven(known, read(known, "frame", "Software: " + software + "\n", whole), allowed);
}

TEST(ProvenFor, holds_from_the_first_version_to_the_last) {
    for (const char* version : {"4.2", "4.2.1", "4.8", "4.9"})
        EXPECT_EQ(verdict(version), std::nullopt) << version;
    for (const char* version : {"4.1", "4.9.1", "4.10", "5", "beta"})
        EXPECT_THAT(verdict(version),
                    Optional(HasSubstr("the device reports software " + std::string{version})));
}

TEST(ProvenFor, another_version_counts_where_the_operator_names_it) {
    EXPECT_EQ(verdict("4.10", {"4.10"}), std::nullopt);
    EXPECT_NE(verdict("4.11", {"4.10"}), std::nullopt);
}

TEST(ProvenFor, a_version_that_was_not_read_is_not_proven) {
    EXPECT_THAT(verdict("", {""}),
                Optional(HasSubstr("did not report a readable software version")));
    EXPECT_THAT(verdict("4.5", {"4.5"}, false), Optional(HasSubstr("did not report")));
    EXPECT_NE(not_proven(profile(), {}, {}), std::nullopt);
}

TEST(Stated, facts_stand_beside_what_the_device_says) {
    const auto reading = read(profile(), "slots", "SLOT  PLANES\nFAB3\nFAB4  4\n", true);
    ASSERT_EQ(reading.rows.size(), 2U);
    EXPECT_EQ(reading.rows[0].facts.at(state::Attribute::serves).value,
              (state::Value{state::Names{"3", "4"}}));
    EXPECT_EQ(reading.rows[0].facts.at(state::Attribute::label).value,
              (state::Value{std::string{"FABRIC 3"}}));
    EXPECT_FALSE(reading.rows[1].facts.contains(state::Attribute::label));
}

TEST(Stated, facts_at_odds_with_the_device_are_unknown) {
    const auto reading = read(profile(), "slots", "SLOT  PLANES\nFAB3  3, 5\n", true);
    EXPECT_EQ(reading.rows.at(0).facts.at(state::Attribute::serves).value,
              state::Value{state::Unknown{}});
    EXPECT_EQ(reading.remarks.size(), 1U);
}

TEST(Stated, a_fault_is_refused_with_its_place) {
    for (const auto& [before, after, message] : {
             std::tuple{"[stated.module.FAB3]", "[stated.modul.FAB3]", "Did you mean \"module\"?"},
             {"label  = ", "labell = ", "\"labell\""},
             {"to    = \"4.9\"", "to    = \"4.1\"", "not before from, 4.2"},
             {"query = \"frame\"", "query = \"slots\"", "reads the software-rev"},
             {"query = \"frame\"", "query = \"fram\"", "Did you mean \"frame\"?"},
         }) {
        std::string text{proven_family};
        text.replace(text.find(before), std::string_view{before}.size(), after);
        const auto parsed = parse_profile(text, "family.toml");
        ASSERT_FALSE(parsed) << after;
        EXPECT_THAT(state::to_text(parsed.error().front()), HasSubstr(message));
    }
}

TEST(Face, is_read_in_rows_from_the_top) {
    const auto parsed = parse_profile(std::string{proven_family} +
                                          "[face.rear]\nrows = [[\"TRAY1\", \"\"], [\"FAB3\"]]\n",
                                      "family.toml");
    ASSERT_TRUE(parsed) << state::to_text(parsed.error().front());
    EXPECT_EQ(parsed->faces, (std::map<Side, Face>{{Side::rear, {{"TRAY1", ""}, {"FAB3"}}}}));
    EXPECT_EQ(label_of(*parsed, "FAB3"), "FABRIC 3");
    EXPECT_EQ(label_of(*parsed, "TRAY1"), "");
}

TEST(Face, a_fault_is_refused_with_its_place) {
    for (const auto& [face, message] : {
             std::pair{"[face.left]\nrows = [[\"A\"]]", "expected in [face] one of front, rear"},
             {"[face.rear]", "expected the key \"rows\" in [face.rear]"},
             {"[face.rear]\nrows = []", "1 to 32 rows from the top"},
             {"[face.rear]\nrows = [[]]", "a list of 1 to 64 names"},
             {"[face.rear]\nrows = [\"A\"]", "a list of 1 to 64 names"},
             {"[face.rear]\nrows = [[7]]", "the name of a slot in double quotes"},
             {"[face.rear]\nrows = [[\"A\"], [\"A\"]]", "each slot once in [face.rear]"},
             {"[face.rear]\nrow = [[\"A\"]]", "Did you mean \"rows\"?"},
         }) {
        const auto parsed = parse_profile(std::string{proven_family} + face + "\n", "family.toml");
        ASSERT_FALSE(parsed) << face;
        std::string all;
        for (const state::Problem& problem : parsed.error())
            all += state::to_text(problem) + "\n";
        EXPECT_THAT(all, HasSubstr(message));
    }
}

} // namespace
} // namespace slotwitness::profiles
