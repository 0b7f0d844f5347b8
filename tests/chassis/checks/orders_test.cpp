#include <slotwitness/chassis/device.hpp>
#include <slotwitness/chassis/orders.hpp>

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

namespace slotwitness::chassis {
namespace {

using nlohmann::json;
using std::chrono::seconds;

struct Bad {
    std::string line;
    std::size_t column;
    std::string found;
    std::string expected;
};

class BadOrder : public testing::TestWithParam<Bad> {};

TEST_P(BadOrder, is_answered_with_its_place_and_what_was_expected) {
    Device device(Fitting{}, seconds(2));
    const auto reply = json::parse(device.obey(GetParam().line, seconds(1)).reply);
    EXPECT_EQ(reply.at("done"), false);
    EXPECT_EQ(reply.at("column"), GetParam().column);
    EXPECT_EQ(reply.at("found"), GetParam().found);
    EXPECT_EQ(reply.at("expected"), GetParam().expected);
}

INSTANTIATE_TEST_SUITE_P(
    Lines, BadOrder,
    testing::Values(
        Bad{"", 1, "the end of the line", "engineer, technician, world, fault, drop, state"},
        Bad{"  ", 3, "the end of the line", "engineer, technician, world, fault, drop, state"},
        Bad{"enginer release plane 3", 1, "enginer",
            "engineer, technician, world, fault, drop, state"},
        Bad{"engineer relaese plane 3", 10, "relaese", "release, engage, lead"},
        Bad{"engineer release tray TRAY1", 18, "tray", "plane, module, port"},
        Bad{"engineer release plane", 23, "the end of the line", "the name of a plane"},
        Bad{"engineer release plane 3 now", 26, "now", "the end of the line"},
        Bad{"technician seat tray TRAY2 serial Q/4", 35, "Q/4",
            "a serial number: at most 16 letters, digits, - or ."},
        Bad{"technician seat module FAB3 serial 12345678901234567", 36, "12345678901234567",
            "a serial number: at most 16 letters, digits, - or ."},
        Bad{"technician pull controller CTL0", 17, "controller", "tray, module, supply"},
        Bad{"world load 9", 13, "the end of the line",
            "a whole number of Gb/s or Tb/s, 0 to 100000"},
        Bad{"world load 9 m", 14, "m", "a whole number of Gb/s or Tb/s, 0 to 100000"},
        Bad{"world room 81 C", 12, "81", "a whole number of C, -20 to 80"},
        Bad{"world break tray TRAY1", 13, "tray", "sensor, feed, neighbour"},
        Bad{"fault slow 3h", 12, "3h", "a duration: 3s, 500ms, 1 min"},
        Bad{"fault slow 99999999999999999999s", 12, "99999999999999999999s",
            "a duration: 3s, 500ms, 1 min"},
        Bad{"fault cut -1", 11, "-1", "a whole number of bytes, 0 to 1000000"},
        Bad{"fault cut 20x", 11, "20x", "a whole number of bytes, 0 to 1000000"},
        Bad{"fault contradict sensor inlet", 18, "sensor",
            "plane, module, port, tray, supply, controller"},
        Bad{"fault sleep", 7, "sleep",
            "slow, cut, garble, pager, contradict, disconnect, refuse-command, refuse-auth, "
            "change-host-key, clear"},
        Bad{"drop everything", 6, "everything", "sessions"}));

TEST(Orders, bytes_that_are_no_text_are_answered_too) {
    Device device(Fitting{}, seconds(2));
    const auto reply = json::parse(device.obey("engineer \xff\xfe", seconds(1)).reply);
    EXPECT_EQ(reply.at("column"), 10);
}

TEST(Orders, what_the_model_refuses_is_told_with_its_remedy) {
    Device device(Fitting{}, seconds(2));
    const auto reply = json::parse(device.obey("technician pull module FAB3", seconds(1)).reply);
    EXPECT_EQ(reply.at("done"), false);
    EXPECT_EQ(reply.at("error"), "FAB3 stands behind TRAY2: pull the tray first");
    EXPECT_FALSE(reply.contains("column"));
}

TEST(Orders, every_form_is_read) {
    for (const std::string line : {"engineer release plane 3",
                                   "engineer engage plane 3",
                                   "engineer release module FAB3",
                                   "engineer engage module FAB3",
                                   "engineer release port eth1",
                                   "engineer engage port eth1",
                                   "engineer lead controller CTL1",
                                   "technician pull tray TRAY2",
                                   "technician pull module FAB3",
                                   "technician seat module FAB3 serial QL40100099 build R4",
                                   "technician seat tray TRAY2",
                                   "technician pull supply PSU1",
                                   "technician seat supply PSU1 serial QL1",
                                   "world flap port eth1",
                                   "world break sensor inlet",
                                   "world mend sensor inlet",
                                   "world break feed PSU1",
                                   "world mend feed PSU1",
                                   "technician cross port eth1 eth2",
                                   "world break neighbour eth1",
                                   "world mend neighbour eth1",
                                   "world load 9 Tb/s",
                                   "world room 31 C",
                                   "fault slow 3s",
                                   "fault slow 500 ms",
                                   "fault cut 200 once",
                                   "fault garble",
                                   "fault pager once",
                                   "fault contradict plane 3",
                                   "fault disconnect",
                                   "fault refuse-command",
                                   "fault refuse-auth",
                                   "fault change-host-key once",
                                   "fault clear",
                                   "drop sessions",
                                   "state",
                                   "  engineer\trelease  plane 4  "}) {
        const auto order = parse_order(line);
        EXPECT_TRUE(order) << line << ": found " << order.error().found << ", expected "
                           << order.error().expected;
    }
}

TEST(Orders, a_written_fault_is_read_back) {
    for (const std::string line :
         {"slow 3000ms", "cut 200", "garble once", "contradict tray TRAY2 once"}) {
        const auto order = parse_order("fault " + line);
        ASSERT_TRUE(order) << line;
        EXPECT_EQ(to_text(std::get<Fault>(*order)), line);
    }
}

TEST(Orders, state_tells_the_chassis_as_it_is_now) {
    Device device(Fitting{}, seconds(2));
    static_cast<void>(device.obey("engineer release plane 3", Time(1'500)));
    static_cast<void>(device.obey("fault cut 20", Time(2'500)));
    const auto state = json::parse(device.obey("state", Time(2'501)).reply);
    EXPECT_EQ(state.at("done"), true);
    EXPECT_EQ(state.at("at_ms"), 2'501);
    EXPECT_EQ(state.at("planes").at(2).at("drive"), "released");
    EXPECT_EQ(state.at("planes").at(1).at("drive"), "engaged");
    EXPECT_EQ(state.at("modules").size(), 14u);
    EXPECT_EQ(state.at("faults"), json::parse(R"(["cut 20"])"));
}

} // namespace
} // namespace slotwitness::chassis
