#include "random_life.hpp"

#include <slotwitness/chassis/model.hpp>
#include <slotwitness/chassis/state_json.hpp>

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

namespace slotwitness::chassis {
namespace {

using std::chrono::seconds;
using testing::Each;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

class Chassis : public testing::Test {
  protected:
    Model model{Fitting{}};

    void wait(Time time) { model.advance(model.now() + time); }
    void done(const Model::Done& result) { ASSERT_TRUE(result) << result.error(); }

    PlaneRow plane(std::string_view name) {
        return *found(model.snapshot().planes, &PlaneRow::name, name);
    }
    ModuleRow module(std::string_view slot) {
        return *found(model.snapshot().modules, &ModuleRow::slot, slot);
    }
    SensorRow sensor(std::string_view name) {
        return *found(model.snapshot().sensors, &SensorRow::name, name);
    }
    PortRow port(std::string_view name) {
        return *found(model.snapshot().ports, &PortRow::name, name);
    }
    std::vector<std::string> alarms_about(std::string_view about) {
        std::vector<std::string> texts;
        for (const auto& alarm : model.snapshot().alarms)
            if (alarm.about == about)
                texts.push_back(alarm.text);
        return texts;
    }

    template <class Rows, class Member>
    static std::optional<typename Rows::value_type> found(const Rows& rows, Member member,
                                                          std::string_view name) {
        for (const auto& row : rows)
            if (row.*member == name)
                return row;
        return std::nullopt;
    }
};

TEST_F(Chassis, begins_whole_and_without_alarms) {
    const auto now = model.snapshot();
    EXPECT_EQ(now.planes.size(), 6u);
    EXPECT_EQ(now.modules.size(), 14u);
    EXPECT_EQ(now.controllers.size(), 2u);
    EXPECT_EQ(now.trays.size(), 3u);
    EXPECT_EQ(now.supplies.size(), 4u);
    EXPECT_EQ(now.ports.size(), 32u);
    EXPECT_GE(now.sensors.size(), 20u);
    EXPECT_THAT(now.planes, Each(Field(&PlaneRow::paths, 16)));
    EXPECT_THAT(now.alarms, IsEmpty());
}

TEST_F(Chassis, every_plane_is_served_by_two_modules_and_every_module_serves_two_planes) {
    const auto now = model.snapshot();
    for (const auto& plane : now.planes)
        EXPECT_EQ(std::count_if(now.modules.begin(), now.modules.end(),
                                [&](const ModuleRow& row) {
                                    return std::count(row.planes.begin(), row.planes.end(),
                                                      plane.name);
                                }),
                  2)
            << plane.name;
    EXPECT_THAT(module("FAB3").planes, ElementsAre("3", "4"));
    EXPECT_THAT(module("FAB6").planes, ElementsAre("1", "6"));
}

TEST_F(Chassis, a_released_module_eases_then_takes_half_of_the_paths_of_its_planes) {
    done(model.release(Part::module, "FAB3"));
    EXPECT_EQ(module("FAB3").drive, Drive::easing);
    EXPECT_EQ(plane("3").paths, 16);
    wait(Time(999));
    EXPECT_EQ(plane("3").paths, 16);
    wait(Time(1));
    EXPECT_EQ(module("FAB3").drive, Drive::released);
    EXPECT_EQ(module("FAB3").condition, Condition::dark);
    EXPECT_EQ(plane("3").paths, 8);
    EXPECT_EQ(plane("3").condition, Condition::carrying);
    EXPECT_EQ(plane("3").capacity_gbps, 1'600);
    EXPECT_EQ(plane("4").paths, 8);
    EXPECT_EQ(plane("2").paths, 16);
    EXPECT_THAT(alarms_about("plane 3"), ElementsAre("Plane has lost some of its paths."));
}

TEST_F(Chassis, a_plane_whose_modules_are_both_dark_is_dark_but_engaged) {
    done(model.release(Part::module, "FAB2"));
    done(model.release(Part::module, "FAB3"));
    wait(seconds(1));
    EXPECT_EQ(plane("3").condition, Condition::dark);
    EXPECT_EQ(plane("3").drive, Drive::engaged);
    EXPECT_EQ(plane("3").capacity_gbps, 0);
    EXPECT_THAT(alarms_about("plane 3"), ElementsAre(HasSubstr("dark")));
}

TEST_F(Chassis, a_released_plane_is_dark_while_its_modules_run) {
    done(model.release(Part::plane, "3"));
    EXPECT_EQ(plane("3").drive, Drive::easing);
    wait(seconds(1));
    EXPECT_EQ(plane("3").drive, Drive::released);
    EXPECT_EQ(plane("3").condition, Condition::dark);
    EXPECT_EQ(module("FAB3").condition, Condition::running);
}

TEST_F(Chassis, an_engaged_plane_gets_its_paths_back_one_line_module_after_the_other) {
    done(model.release(Part::plane, "3"));
    wait(seconds(10));
    done(model.engage(Part::plane, "3"));
    EXPECT_EQ(plane("3").paths, 0);
    wait(Time(400));
    EXPECT_EQ(plane("3").paths, 2);
    EXPECT_THAT(alarms_about("plane 3"), ElementsAre(HasSubstr("some")));
    wait(Time(7 * 400));
    EXPECT_EQ(plane("3").paths, 16);
    EXPECT_THAT(alarms_about("plane 3"), IsEmpty());
}

TEST_F(Chassis, engaging_what_still_eases_keeps_it_as_it_was) {
    done(model.release(Part::plane, "3"));
    done(model.release(Part::module, "FAB5"));
    wait(Time(500));
    done(model.engage(Part::plane, "3"));
    done(model.engage(Part::module, "FAB5"));
    wait(seconds(5));
    EXPECT_EQ(plane("3").paths, 16);
    EXPECT_EQ(module("FAB5").condition, Condition::running);
    EXPECT_GT(module("FAB5").in_condition_s, 3'600);
}

TEST_F(Chassis, a_fabric_module_cannot_be_reached_through_its_tray) {
    const auto refused = model.pull(Part::module, "FAB3");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error(), "FAB3 stands behind TRAY2: pull the tray first");
    EXPECT_TRUE(model.pull(Part::module, "LINE3"));
}

TEST_F(Chassis, a_whole_swap_ends_with_the_spare_running_and_no_alarm) {
    done(model.release(Part::module, "FAB3"));
    wait(seconds(2));
    done(model.pull(Part::tray, "TRAY2"));
    done(model.pull(Part::module, "FAB3"));
    EXPECT_FALSE(found(model.snapshot().modules, &ModuleRow::slot, "FAB3"));
    EXPECT_FALSE(found(model.snapshot().trays, &TrayRow::slot, "TRAY2"));
    EXPECT_FALSE(found(model.snapshot().sensors, &SensorRow::name, "FAB3-core"));
    EXPECT_THAT(alarms_about("FAB3"), ElementsAre("Module is not in its place."));
    wait(seconds(30));
    done(model.seat(Part::module, "FAB3", "QL40100099", "R4"));
    EXPECT_EQ(module("FAB3").serial, "QL40100099");
    EXPECT_EQ(module("FAB3").condition, Condition::dark);
    done(model.seat(Part::tray, "TRAY2", std::nullopt, std::nullopt));
    done(model.engage(Part::module, "FAB3"));
    EXPECT_EQ(module("FAB3").condition, Condition::proving);
    wait(Time(19'999));
    EXPECT_EQ(module("FAB3").condition, Condition::proving);
    EXPECT_EQ(plane("3").paths, 8);
    wait(Time(1));
    EXPECT_EQ(module("FAB3").condition, Condition::running);
    wait(seconds(4));
    EXPECT_EQ(plane("3").paths, 16);
    EXPECT_EQ(module("FAB3").build, "R4");
    EXPECT_EQ(plane("3").faults, 0);
    EXPECT_THAT(model.snapshot().alarms, IsEmpty());
}

TEST_F(Chassis, a_module_seated_while_engaged_is_not_recognised_at_once) {
    done(model.pull(Part::module, "LINE2"));
    done(model.seat(Part::module, "LINE2", "QL40200099", std::nullopt));
    EXPECT_EQ(module("LINE2").condition, Condition::unclear);
    EXPECT_EQ(module("LINE2").serial, "");
    EXPECT_EQ(sensor("LINE2-core").sense, Sense::away);
    wait(seconds(2));
    EXPECT_EQ(module("LINE2").condition, Condition::proving);
    EXPECT_EQ(module("LINE2").serial, "QL40200099");
    wait(seconds(20));
    EXPECT_EQ(module("LINE2").condition, Condition::running);
}

TEST_F(Chassis, a_module_pulled_with_traffic_on_it_leaves_faults_on_its_planes) {
    done(model.pull(Part::tray, "TRAY2"));
    done(model.pull(Part::module, "FAB3"));
    EXPECT_EQ(plane("3").faults, 128);
    EXPECT_EQ(plane("4").faults, 128);
    EXPECT_EQ(plane("5").faults, 0);
}

TEST_F(Chassis, without_its_tray_a_module_warms_as_a_first_order_response_says) {
    EXPECT_EQ(sensor("FAB3-core").tenths, 540);
    done(model.pull(Part::tray, "TRAY2"));
    wait(seconds(60));
    // 88 − (88 − 54)·e⁻¹ after one time constant of 60 s: 75.49.
    EXPECT_EQ(sensor("FAB3-core").tenths, 755);
    EXPECT_THAT(alarms_about("FAB3"), ElementsAre(HasSubstr("Above 75 C")));
    EXPECT_LT(sensor("FAB5-core").tenths, 530);
    wait(seconds(240));
    EXPECT_THAT(alarms_about("FAB3"), ElementsAre(HasSubstr("Above 85 C")));
}

TEST_F(Chassis, the_other_fans_speed_up_for_a_missing_tray_and_slow_down_again) {
    done(model.pull(Part::tray, "TRAY2"));
    wait(seconds(60));
    EXPECT_THAT(model.snapshot().trays,
                ElementsAre(Field(&TrayRow::rpm, 7'800), Field(&TrayRow::rpm, 7'800)));
    done(model.seat(Part::tray, "TRAY2", std::nullopt, std::nullopt));
    EXPECT_EQ(model.snapshot().trays[1].condition, Condition::proving);
    EXPECT_EQ(model.snapshot().trays[1].rpm, 0);
    wait(seconds(60));
    EXPECT_THAT(model.snapshot().trays, Each(Field(&TrayRow::rpm, 5'400)));
    EXPECT_THAT(model.snapshot().trays, Each(Field(&TrayRow::condition, Condition::running)));
}

TEST_F(Chassis, an_alarm_keeps_its_number_and_a_new_one_gets_a_new_number) {
    done(model.pull(Part::tray, "TRAY1"));
    const auto first = model.snapshot().alarms.front();
    done(model.pull(Part::tray, "TRAY2"));
    EXPECT_EQ(model.snapshot().alarms.front().number, first.number);
    done(model.seat(Part::tray, "TRAY1", std::nullopt, std::nullopt));
    done(model.pull(Part::tray, "TRAY1"));
    EXPECT_THAT(model.snapshot().alarms, Each(Field(&AlarmRow::number, Not(first.number))));
}

TEST_F(Chassis, ports_go_dark_with_their_line_module_and_count_each_change) {
    done(model.release(Part::module, "LINE2"));
    wait(seconds(1));
    EXPECT_EQ(port("eth5").condition, Condition::dark);
    EXPECT_EQ(port("eth5").flaps, 1);
    EXPECT_EQ(port("eth4").condition, Condition::running);
    EXPECT_THAT(model.snapshot().planes, Each(Field(&PlaneRow::paths, 14)));
    done(model.engage(Part::module, "LINE2"));
    wait(seconds(20));
    EXPECT_EQ(port("eth5").condition, Condition::running);
    EXPECT_EQ(port("eth5").flaps, 2);
    done(model.flap("eth5"));
    EXPECT_EQ(port("eth5").flaps, 4);
    done(model.release(Part::port, "eth5"));
    EXPECT_EQ(port("eth5").flaps, 5);
    EXPECT_EQ(port("eth5").drive, Drive::released);
}

TEST_F(Chassis, a_controller_that_gave_up_the_lead_is_cold_for_a_boot) {
    done(model.lead("CTL1"));
    EXPECT_EQ(model.snapshot().controllers[0].role, Role::cold);
    EXPECT_EQ(model.snapshot().controllers[1].role, Role::leading);
    EXPECT_EQ(model.lead("CTL0").error(), "CTL0 is cold: wait until it is ready");
    wait(seconds(20));
    EXPECT_EQ(model.snapshot().controllers[0].role, Role::ready);
    done(model.lead("CTL0"));
}

TEST_F(Chassis, supplies_share_what_the_chassis_draws) {
    EXPECT_EQ(model.snapshot().supplies[0].watts, 1'180);
    done(model.pull(Part::supply, "PSU4"));
    done(model.break_feed("PSU2", true));
    EXPECT_EQ(model.snapshot().supplies.size(), 3u);
    EXPECT_EQ(model.snapshot().supplies[0].watts, 2'360);
    EXPECT_EQ(model.snapshot().supplies[1].watts, std::nullopt);
    EXPECT_EQ(model.snapshot().supplies[1].condition, Condition::dark);
}

TEST_F(Chassis, carries_no_more_than_its_planes_can) {
    model.offer_load(50'000);
    EXPECT_EQ(model.snapshot().chassis.load_gbps, 19'200);
    done(model.release(Part::plane, "1"));
    wait(seconds(1));
    EXPECT_EQ(model.snapshot().chassis.load_gbps, 16'000);
}

TEST_F(Chassis, refuses_what_makes_no_sense_with_what_would) {
    EXPECT_EQ(model.release(Part::plane, "7").error(), "no plane \"7\", expected 1 to 6");
    EXPECT_EQ(model.release(Part::module, "FAB9").error(),
              "no module \"FAB9\", expected FAB1 to FAB6 or LINE1 to LINE8");
    EXPECT_EQ(model.engage(Part::module, "FAB1").error(), "FAB1 is engaged already");
    EXPECT_EQ(model.release(Part::tray, "TRAY1").error(),
              "a tray cannot be released, only a plane, module or port");
    EXPECT_EQ(model.seat(Part::tray, "TRAY1", std::nullopt, std::nullopt).error(),
              "TRAY1 is in its place already");
    EXPECT_EQ(model.seat(Part::tray, "TRAY1", std::nullopt, "R4").error(),
              "only a module has a build");
    EXPECT_EQ(model.pull(Part::plane, "1").error(),
              "a plane cannot be pulled, only a tray, module or supply");
}

RC_GTEST_PROP(ChassisProperty, how_time_is_sliced_changes_nothing, ()) {
    const auto acts = checks::random_acts(25);
    const auto slice = Time(*rc::gen::inRange(30, 3'000));
    Model whole{Fitting{}};
    Model sliced{Fitting{}};
    checks::live(whole, acts, [](Model& model, Time to) { model.advance(to); });
    checks::live(sliced, acts, [&](Model& model, Time to) {
        while (model.now() + slice < to)
            model.advance(model.now() + slice);
        model.advance(to);
    });
    RC_ASSERT(state_json(whole.snapshot(), {}) == state_json(sliced.snapshot(), {}));
}

RC_GTEST_PROP(ChassisProperty, paths_and_alarms_follow_from_what_is_seated_and_engaged, ()) {
    Model model{Fitting{}};
    checks::live(model, checks::random_acts(25), [](Model& one, Time to) { one.advance(to); });
    const auto now = model.snapshot();
    for (const auto& plane : now.planes) {
        int most = 0;
        for (const auto& fabric : now.modules)
            for (const auto& line : now.modules)
                if (std::count(fabric.planes.begin(), fabric.planes.end(), plane.name) > 0 &&
                    line.planes.empty() && fabric.condition == Condition::running &&
                    line.condition == Condition::running)
                    ++most;
        RC_ASSERT(plane.paths >= 0 && plane.paths <= (plane.drive == Drive::released ? 0 : most));
        RC_ASSERT((plane.condition == Condition::carrying) == (plane.paths > 0));
        RC_ASSERT(plane.capacity_gbps == 200 * plane.paths);
        const bool whole = plane.paths == plane.of;
        const bool alarmed =
            std::any_of(now.alarms.begin(), now.alarms.end(), [&](const AlarmRow& alarm) {
                return alarm.about == "plane " + plane.name;
            });
        RC_ASSERT(whole != alarmed);
    }
}

} // namespace
} // namespace slotwitness::chassis
