#include "files.hpp"

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using sentences::Condition;
using sentences::Group;
using sentences::Named;
using sentences::Trade;
using state::Attribute;
using state::Kind;
using testing::HasSubstr;

/// "planes, modules", or the problem.
std::string needs_text(const Profile& profile, Condition condition) {
    const auto askings = needs(profile, {std::move(condition), std::nullopt, std::nullopt});
    if (!askings)
        return state::to_text(askings.error());
    std::string text;
    for (const Asking& asking : *askings)
        text.append(text.empty() ? "" : ", ").append(asking.key());
    return text;
}

Condition one(Kind kind, const char* name, sentences::Predicate predicate) {
    return {sentences::OneIs{Named{kind, name}, std::move(predicate)}};
}

Condition every(Group group, sentences::Predicate predicate) {
    return {sentences::EveryIs{std::move(group), std::move(predicate)}};
}

std::string of_quillon(Condition condition) {
    return needs_text(profile_of("quillon/profile.toml"), std::move(condition));
}

TEST(Needs, are_the_queries_that_tell_the_state_of_the_subject) {
    for (const Trade trade : {Trade::up, Trade::operational, Trade::degraded, Trade::down,
                              Trade::shut, Trade::present, Trade::absent, Trade::starting}) {
        EXPECT_EQ(of_quillon(one(Kind::plane, "3", trade)), "planes");
        EXPECT_EQ(of_quillon(one(Kind::module, "FAB3", trade)), "modules");
        EXPECT_EQ(of_quillon(every({Kind::fan_tray, {}, {}}, trade)), "trays");
    }
}

TEST(Needs, of_a_group_that_a_module_serves_include_what_tells_so) {
    EXPECT_EQ(of_quillon(every({Kind::plane, {}, Named{Kind::module, "FAB3"}}, Trade::shut)),
              "modules, planes");
    EXPECT_EQ(of_quillon(every({Kind::module, {}, Named{Kind::fan_tray, "TRAY1"}}, Trade::up)),
              "modules, trays");
}

TEST(Needs, of_measures_are_the_queries_that_measure_that_kind) {
    const sentences::Measured cool{sentences::Comparison::below,
                                   units::parse_quantity("45 C").value()};
    EXPECT_EQ(of_quillon(one(Kind::sensor, "inlet", cool)), "sensors");
    EXPECT_EQ(of_quillon(one(Kind::fan_tray, "TRAY1", cool)), "trays");
    EXPECT_EQ(of_quillon(one(Kind::chassis, "ROW4-07", cool)), "chassis");
    EXPECT_THAT(of_quillon(one(Kind::port, "eth1", cool)),
                HasSubstr("no query reads load of port"));
}

TEST(Needs, of_alarms_are_the_list_of_alarms) {
    EXPECT_EQ(of_quillon({sentences::NoAlarm{}}), "alarms");
    EXPECT_EQ(of_quillon({sentences::NoAlarm{state::Severity::major}}), "alarms");
}

TEST(Needs, of_a_count_and_of_joined_conditions_are_joined) {
    const Condition count{
        sentences::CountIs{false, 1, {Kind::module, {}, {}}, true, Trade::operational}};
    EXPECT_EQ(of_quillon(count), "modules");
    EXPECT_EQ(
        of_quillon({sentences::And{{one(Kind::plane, "3", Trade::up), {sentences::Not{{count}}}}}}),
        "modules, planes");
    EXPECT_EQ(
        of_quillon({sentences::Or{{one(Kind::port, "eth1", Trade::down), {sentences::NoAlarm{}}}}}),
        "alarms, ports");
}

TEST(Needs, of_comparisons_with_earlier_and_of_capacity) {
    EXPECT_EQ(of_quillon({sentences::Earlier{sentences::NoNewAlarm{}}}), "alarms");
    EXPECT_EQ(of_quillon({sentences::Earlier{
                  sentences::TextCompared{Named{Kind::module, "FAB3"}, Attribute::serial, true}}}),
              "modules");
    EXPECT_EQ(of_quillon({sentences::Earlier{
                  sentences::StillIs{{Kind::port, {}, {}}, Trade::up, Trade::up}}}),
              "ports");
    EXPECT_EQ(
        of_quillon({sentences::Earlier{sentences::ErrorsNotRising{Group{Kind::plane, {"3"}, {}}}}}),
        "planes");
    EXPECT_EQ(of_quillon({sentences::CapacityCovers{Named{Kind::plane, "3"}, {}}}),
              "chassis, planes");
    EXPECT_EQ(of_quillon({sentences::CapacityCovers{Named{Kind::module, "FAB3"}, {}}}),
              "chassis, modules, planes");
    EXPECT_EQ(of_quillon({sentences::CapacityCovers{
                  Group{Kind::plane, {}, Named{Kind::module, "FAB3"}}, {}}}),
              "chassis, modules, planes");
    EXPECT_EQ(of_quillon({sentences::CapacityCovers{
                  Group{Kind::module, {}, Named{Kind::fan_tray, "TRAY2"}}, {}}}),
              "chassis, modules, planes, trays");
}

TEST(Needs, that_the_profile_cannot_meet_are_a_problem_with_a_remedy) {
    EXPECT_EQ(of_quillon(one(Kind::controller, "CTL0", Trade::shut)),
              "sentence: found \"controller\", expected something that the profile of Quillon "
              "reads, and no query reads "
              "admin of controller; Ask something that Quillon tells, or give a query of kind "
              "\"controller\" in its "
              "profile a cell that reads admin.");
    Profile profile = profile_of("quillon/profile.toml");
    profile.queries.at("planes").lists = false;
    EXPECT_THAT(needs_text(profile, every({Kind::plane, {}, {}}, Trade::up)),
                HasSubstr("lists = true"));
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::up)), "planes");
    EXPECT_THAT(needs_text(profile, one(Kind::plane, "3", Trade::absent)),
                HasSubstr("which plane components are there"));
}

TEST(Needs, ask_about_one_component_only_where_no_list_tells_it) {
    Profile profile = profile_of("quillon/profile.toml");
    const sentences::Standard fact{Attribute::software_rev, std::string{"3.1.0"}};
    EXPECT_EQ(needs_text(profile, one(Kind::module, "FAB3", fact)), "module-detail FAB3");
    EXPECT_THAT(needs_text(profile, one(Kind::module, "fab-3", fact)),
                HasSubstr("for the parameter \"module\""));
    EXPECT_THAT(needs_text(profile, every({Kind::module, {}, {}}, fact)),
                HasSubstr("no query reads software-rev of module"));
    EXPECT_EQ(needs_text(profile, one(Kind::module, "FAB3", Trade::up)), "modules");
}

TEST(Needs, are_met_by_few_queries_and_always_the_same) {
    Profile profile = profile_of("quillon/profile.toml");
    // A query that tells only part of what "planes" tells, and one that tells as much.
    Query part = profile.queries.at("planes");
    part.id = "drives";
    part.cells.erase("CONDITION");
    profile.queries["drives"] = part;
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::shut)), "planes");
    Query twin = profile.queries.at("planes");
    twin.id = "all-planes";
    profile.queries["all-planes"] = twin;
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::shut)), "all-planes");
    profile.queries.at("planes").cells.erase("DRIVE");
    profile.queries.erase("all-planes");
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::shut)), "drives, planes");
}

TEST(Needs, of_up_include_links_where_a_query_tells_them) {
    Profile profile = profile_of("quillon/profile.toml");
    Query paths = profile.queries.at("planes");
    paths.id = "paths";
    paths.cells.erase("CONDITION");
    profile.queries["paths"] = paths;
    profile.queries.at("planes").cells.erase("PATHS");
    profile.queries.at("planes").cells.erase("OF");
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::up)), "paths, planes");
    EXPECT_EQ(needs_text(profile, one(Kind::plane, "3", Trade::down)), "planes");
}

} // namespace
} // namespace slotwitness::profiles
