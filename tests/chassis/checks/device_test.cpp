#include <slotwitness/chassis/device.hpp>

#include <gmock/gmock.h>

#include <algorithm>

namespace slotwitness::chassis {
namespace {

using std::chrono::seconds;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

class Answering : public testing::Test {
  protected:
    Device device{Fitting{}, seconds(2)};

    void order(std::string_view line, Time at) {
        ASSERT_THAT(device.obey(line, at).reply, HasSubstr("\"done\":true"));
    }
    std::string out(std::string_view command, Time at) { return device.ask(command, at).out; }
};

TEST_F(Answering, tables_show_a_change_only_from_the_next_renewal_on) {
    order("engineer release plane 3", Time(2'100));
    order("engineer release plane 4", Time(3'000));
    EXPECT_THAT(out("tell planes", Time(3'999)), Not(HasSubstr("released")));
    EXPECT_THAT(out("tell planes", Time(4'000)), HasSubstr("3      released  dark"));
    // Plane 4 was released at that very instant, 1 s after its order.
    EXPECT_THAT(out("tell planes", Time(5'999)), HasSubstr("4      released  dark"));
}

TEST_F(Answering, a_table_shows_the_renewal_not_what_came_after_it) {
    order("technician pull module LINE2", Time(4'001));
    EXPECT_THAT(out("tell modules", Time(5'500)), HasSubstr("LINE2"));
    EXPECT_THAT(out("tell modules", Time(6'000)), Not(HasSubstr("LINE2")));
}

TEST_F(Answering, alarms_and_the_chassis_itself_are_told_live) {
    order("technician pull tray TRAY2", Time(4'500));
    EXPECT_THAT(out("tell alarms", Time(4'500)), HasSubstr("TRAY2"));
    EXPECT_THAT(out("tell trays", Time(4'500)), HasSubstr("TRAY2"));
    EXPECT_THAT(out("tell chassis", Time(4'999)), HasSubstr("Running for: 864004 s"));
    EXPECT_THAT(out("tell chassis", Time(5'000)), HasSubstr("Running for: 864005 s"));
}

TEST_F(Answering, what_it_does_not_know_has_status_1_and_a_line_on_the_error_stream) {
    for (const std::string command :
         {"", "tell", "tell ", "tell plane", "tell planes ", "Tell planes",
          "tell planes; tell ports", "show planes", "tell module"}) {
        const auto delivery = device.ask(command, seconds(1));
        EXPECT_EQ(delivery.status, 1) << command;
        EXPECT_EQ(delivery.out, "") << command;
        EXPECT_EQ(delivery.err, "This is no command here: " + command + "\n");
    }
}

TEST_F(Answering, an_empty_slot_has_no_detail) {
    order("technician pull module LINE2", seconds(1));
    const auto delivery = device.ask("tell module LINE2", seconds(2));
    EXPECT_EQ(delivery.status, 1);
    EXPECT_EQ(delivery.err, "There is no module in slot LINE2.\n");
}

class Faulty : public Answering {
  protected:
    const std::string whole = out("tell planes", seconds(1));
};

TEST_F(Faulty, slow_waits_and_says_the_same) {
    order("fault slow 3s", seconds(1));
    const auto delivery = device.ask("tell planes", seconds(1));
    EXPECT_EQ(delivery.wait, seconds(3));
    EXPECT_EQ(delivery.out, whole);
    EXPECT_EQ(delivery.status, 0);
}

TEST_F(Faulty, cut_ends_after_its_bytes_without_an_exit_status) {
    order("fault cut 200", seconds(1));
    const auto delivery = device.ask("tell planes", seconds(1));
    EXPECT_EQ(delivery.out, whole.substr(0, 200));
    EXPECT_EQ(delivery.status, std::nullopt);
    EXPECT_FALSE(delivery.drops);
}

TEST_F(Faulty, garble_damages_bytes_in_place) {
    order("fault garble", seconds(1));
    const auto damaged = out("tell planes", seconds(1));
    ASSERT_EQ(damaged.size(), whole.size());
    std::size_t different = 0;
    for (std::size_t at = 0; at < whole.size(); ++at)
        different += damaged[at] != whole[at];
    EXPECT_GE(different, whole.size() / 61);
}

TEST_F(Faulty, pager_leaves_its_prompt_and_its_erasure) {
    order("fault pager", seconds(1));
    EXPECT_THAT(out("tell planes", seconds(1)), HasSubstr("\n -- more -- \r            \r5 "));
}

TEST_F(Faulty, contradict_adds_a_second_row_that_says_the_opposite) {
    order("fault contradict plane 3", seconds(1));
    const auto text = out("tell planes", seconds(1));
    EXPECT_THAT(text, HasSubstr("3      engaged   carrying"));
    EXPECT_THAT(text, HasSubstr("3      released  dark"));
    EXPECT_EQ(std::count(text.begin(), text.end(), '\n'),
              std::count(whole.begin(), whole.end(), '\n') + 1);
}

TEST_F(Faulty, contradict_reaches_every_part) {
    for (const auto& [part, command] : std::vector<std::pair<std::string, std::string>>{
             {"module FAB3", "tell modules"},
             {"port eth7", "tell ports"},
             {"tray TRAY2", "tell trays"},
             {"supply PSU1", "tell supplies"},
             {"controller CTL0", "tell controllers"}}) {
        const auto before = out(command, seconds(1));
        order("fault contradict " + part + " once", seconds(1));
        EXPECT_GT(out(command, seconds(1)).size(), before.size() + 10) << part;
    }
}

TEST_F(Faulty, disconnect_drops_half_way) {
    order("fault disconnect", seconds(1));
    const auto delivery = device.ask("tell planes", seconds(1));
    EXPECT_TRUE(delivery.drops);
    EXPECT_THAT(whole, StartsWith(delivery.out));
    EXPECT_EQ(delivery.out.size(), whole.size() / 2);
}

TEST_F(Faulty, refuse_command_says_so_with_status_1) {
    order("fault refuse-command", seconds(1));
    const auto delivery = device.ask("tell planes", seconds(1));
    EXPECT_EQ(delivery.status, 1);
    EXPECT_EQ(delivery.err, "This account may not ask that.\n");
}

TEST_F(Faulty, once_means_the_next_answer_alone_and_clear_ends_the_others) {
    order("fault cut 10 once", seconds(1));
    order("fault refuse-auth", seconds(1));
    order("fault change-host-key once", seconds(1));
    EXPECT_EQ(out("tell planes", seconds(1)).size(), 10u);
    EXPECT_EQ(out("tell planes", seconds(1)), whole);
    EXPECT_TRUE(device.refuses_auth());
    EXPECT_TRUE(device.refuses_auth());
    EXPECT_TRUE(device.changes_host_key());
    EXPECT_FALSE(device.changes_host_key());
    order("fault clear", seconds(1));
    EXPECT_FALSE(device.refuses_auth());
}

TEST_F(Faulty, drop_sessions_is_passed_on) {
    EXPECT_TRUE(device.obey("drop sessions", seconds(1)).drops_sessions);
    EXPECT_FALSE(device.obey("state", seconds(1)).drops_sessions);
}

} // namespace
} // namespace slotwitness::chassis
