#include "../../daemon/program/print_state.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

namespace slotwitness::program {
namespace {

using state::Attribute;
using state::Kind;
using testing::HasSubstr;
using testing::Not;

state::Row row(Kind kind, std::string name, std::string text,
               std::vector<std::pair<Attribute, state::Value>> facts) {
    state::Row one{kind, std::move(name), {1, 1}, std::move(text), {}};
    for (auto& [attribute, value] : facts)
        one.facts[attribute] = {std::move(value), {1, 1}};
    return one;
}

const std::vector<state::Row> two_modules{
    row(Kind::module, "FAB3", "FAB3  released\tdark\n  QL40100013",
        {{Attribute::oper, state::OperState::disabled},
         {Attribute::label, std::string("REAR 3")},
         {Attribute::part, std::string("Fabric\x1b[2J module")}}),
    row(Kind::module, "FAB4", "FAB4  engaged  ?",
        {{Attribute::oper, state::Unknown{}}, {Attribute::part, std::string("Fabric module")}})};

std::string printed(const std::vector<state::Row>& rows, std::size_t columns,
                    const std::set<Kind>& listed = {}) {
    std::ostringstream out;
    print_rows(out, "edge-7", rows, listed, columns);
    return out.str();
}

TEST(state_table, shows_label_state_and_the_devices_own_line) {
    EXPECT_EQ(printed(two_modules, 100),
              "\nmodule  label     oper      part                  the device's own line\n"
              "FAB3    REAR 3    disabled  Fabric\\x1B[2J module  FAB3 released dark QL40100013\n"
              "FAB4    not told  unknown   Fabric module         FAB4 engaged ?\n");
}

TEST(state_table, leaves_the_devices_line_out_where_there_is_no_room) {
    EXPECT_THAT(printed(two_modules, 60), Not(HasSubstr("own line")));
    EXPECT_THAT(printed(two_modules, 60), HasSubstr("Fabric module"));
}

TEST(state_table, each_line_stands_for_itself_without_a_terminal) {
    EXPECT_EQ(printed(two_modules, 0),
              "edge-7 module FAB3: oper disabled; part Fabric\\x1B[2J module; label REAR 3\n"
              "edge-7 module FAB4: oper unknown; part Fabric module\n");
}

TEST(state_table, tells_of_a_kind_that_the_device_lists_none_of) {
    EXPECT_THAT(printed(two_modules, 80, {Kind::module, Kind::alarm}),
                HasSubstr("\nalarm: the device lists none\n"));
    EXPECT_THAT(printed(two_modules, 0, {Kind::module, Kind::alarm}),
                HasSubstr("edge-7 alarm: the device lists none\n"));
    EXPECT_THAT(printed(two_modules, 0), Not(HasSubstr("none")));
}

} // namespace
} // namespace slotwitness::program
