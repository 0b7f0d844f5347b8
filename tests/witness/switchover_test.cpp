#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using state::StandbyState;
using Of = SwitchedOver::Of;

/// Controllers by name with their standby-state, RFC 8348 (its words are those of RFC 4268).
Sheet controllers(std::initializer_list<std::pair<const char*, StandbyState>> states) {
    Sheet sheet({Kind::controller});
    for (const auto& [name, state] : states)
        sheet.row(Kind::controller, name, {{Attribute::standby, state}});
    return sheet;
}

const Sheet first_leads =
    controllers({{"CTL0", StandbyState::providing_service}, {"CTL1", StandbyState::hot_standby}});
const Sheet second_leads =
    controllers({{"CTL0", StandbyState::cold_standby}, {"CTL1", StandbyState::providing_service}});

void look(World& world, std::int64_t t, const Sheet& sheet) {
    world.begin(t, {"controllers"});
    world.answer(t + 1, t, sheet, "controllers");
}

void open_session(World& world, std::int64_t t, const std::string& address) {
    SessionOpened session;
    session.address = address;
    world.tell({at(t), std::move(session)});
}

TEST(a_switchover, is_another_controller_in_charge_than_the_look_before_showed) {
    World world;
    world.run(0);
    look(world, 10, first_leads);
    look(world, 20, first_leads);
    EXPECT_TRUE(world.all<SwitchedOver>().empty());
    look(world, 30, second_leads);
    ASSERT_EQ(world.all<SwitchedOver>().size(), 1U);
    EXPECT_EQ(world.all<SwitchedOver>()[0], (SwitchedOver{Of::controller, "CTL0", "CTL1"}));
    look(world, 40, second_leads);
    EXPECT_EQ(world.all<SwitchedOver>().size(), 1U) << "told once";
}

TEST(a_switchover, is_seen_across_a_look_in_which_nobody_is_in_charge) {
    World world;
    world.run(0);
    look(world, 10, first_leads);
    look(world, 20,
         controllers({{"CTL0", StandbyState::unknown}, {"CTL1", StandbyState::unknown}}));
    EXPECT_TRUE(world.all<SwitchedOver>().empty());
    look(world, 30, second_leads);
    EXPECT_EQ(world.all<SwitchedOver>().size(), 1U);
}

TEST(a_switchover, is_not_told_by_an_answer_that_was_cut) {
    World world;
    world.run(0);
    look(world, 10, first_leads);
    look(world, 20, Sheet(second_leads).cut());
    EXPECT_TRUE(world.all<SwitchedOver>().empty());
}

TEST(a_switchover, is_another_address_of_the_chassis_that_answers) {
    World world;
    world.run(0);
    open_session(world, 10, "192.0.2.7:22");
    open_session(world, 20, "192.0.2.7:22");
    EXPECT_TRUE(world.all<SwitchedOver>().empty());
    open_session(world, 30, "192.0.2.8:22");
    ASSERT_EQ(world.all<SwitchedOver>().size(), 1U);
    EXPECT_EQ(world.all<SwitchedOver>()[0],
              (SwitchedOver{Of::address, "192.0.2.7:22", "192.0.2.8:22"}));
}

// Nobody knows what happened while the daemon did not run.
TEST(a_switchover, is_not_claimed_across_a_start_of_the_daemon) {
    World world;
    world.run(0);
    look(world, 10, first_leads);
    open_session(world, 15, "192.0.2.7:22");
    world.run(20);
    open_session(world, 25, "192.0.2.8:22");
    look(world, 30, second_leads);
    EXPECT_TRUE(world.all<SwitchedOver>().empty());
}

} // namespace
} // namespace slotwitness::witness::test
