#include "world.hpp"

#include <gtest/gtest.h>

// Capacity against load. The figures are worked by hand.
namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;

Facts plane(OperState oper, const char* capacity) {
    Facts told = {{Attribute::oper, oper}};
    if (capacity != nullptr)
        told.emplace_back(Attribute::capacity, quantity(capacity));
    return told;
}

/// Plane 3, of three, and the chassis's load.
View planes_and_load(const Facts& third, const char* load, const char* each = "3 Tb/s") {
    return view({Sheet({Kind::plane})
                     .row(Kind::plane, "1", plane(OperState::enabled, each))
                     .row(Kind::plane, "2", plane(OperState::enabled, each))
                     .row(Kind::plane, "3", third),
                 Sheet({Kind::chassis})
                     .row(Kind::chassis, "edge-7",
                          load != nullptr ? Facts{{Attribute::load, quantity(load)}} : Facts{})});
}
View planes_and_load(const char* load) {
    return planes_and_load(plane(OperState::enabled, "3 Tb/s"), load);
}

const Inventory plane_names = inventory({{Kind::plane, {"1", "2", "3"}}});

Judgement covered(const char* sentence, const View& view, const char* peak = nullptr) {
    Grounds grounds{view, plane_names};
    if (peak != nullptr)
        grounds.peak_load = std::get<units::Quantity>(quantity(peak)).value;
    return evaluate(condition(sentence), grounds).judgement;
}

constexpr const char* without_3 = "capacity without plane 3 covers load with 20 % margin";

TEST(capacity, covers_up_to_the_very_figure) {
    EXPECT_EQ(covered(without_3, planes_and_load("4 Tb/s")).truth, T) << "6 against 4.8";
    EXPECT_EQ(covered(without_3, planes_and_load("5 Tb/s")).truth, T) << "6 against 6";
    EXPECT_EQ(covered(without_3, planes_and_load("5.000000000001 Tb/s")).truth, F);
    EXPECT_EQ(covered(without_3, planes_and_load("6 Tb/s")).truth, F) << "6 against 7.2";
    EXPECT_EQ(
        covered("capacity without plane 3 covers load with 0 % margin", planes_and_load("6 Tb/s"))
            .truth,
        T);
    EXPECT_EQ(covered("capacity without plane 3 covers load with 0.0001 % margin",
                      planes_and_load("6 Tb/s"))
                  .truth,
              F);
}

TEST(capacity, covers_the_worse_of_what_is_seen_and_the_peak_stated) {
    EXPECT_EQ(covered(without_3, planes_and_load("4 Tb/s"), "5 Tb/s").truth, T);
    EXPECT_EQ(covered(without_3, planes_and_load("4 Tb/s"), "5.1 Tb/s").truth, F)
        << "the peak is worse";
    EXPECT_EQ(covered(without_3, planes_and_load("5.1 Tb/s"), "4 Tb/s").truth, F)
        << "what is seen is worse";
}

TEST(capacity, of_an_unknown_load_can_be_too_small_for_the_peak_and_never_large_enough) {
    EXPECT_EQ(covered(without_3, planes_and_load(nullptr)).truth, U);
    EXPECT_EQ(covered(without_3, planes_and_load(nullptr), "4 Tb/s").truth, U);
    EXPECT_EQ(covered(without_3, planes_and_load(nullptr), "9 Tb/s").truth, F);
}

TEST(capacity, counts_on_planes_that_are_operational_alone) {
    constexpr const char* without_1 = "capacity without plane 1 covers load with 20 % margin";
    EXPECT_EQ(covered(without_1, planes_and_load("5 Tb/s")).truth, T)
        << "planes 2 and 3: 6 against 6";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::disabled, "3 Tb/s"), "5 Tb/s")).truth,
        F)
        << "what is down carries nothing, whatever it is stated to carry";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::disabled, nullptr), "2.5 Tb/s")).truth,
        T)
        << "nor is its figure needed: 3 against 3";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::testing, "3 Tb/s"), "5 Tb/s")).truth,
        U);
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::testing, "3 Tb/s"), "5.1 Tb/s")).truth,
        F)
        << "not even with it";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::unknown, "3 Tb/s"), "2 Tb/s")).truth, T)
        << "plane 2 alone";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::enabled, nullptr), "5 Tb/s")).truth, U);
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::enabled, nullptr), "50 Tb/s")).truth, U)
        << "an unknown figure may be any";
    EXPECT_EQ(
        covered(without_1, planes_and_load(plane(OperState::enabled, "3000 rpm"), "5 Tb/s")).truth,
        U);
}

TEST(capacity, of_a_plane_with_fewer_links_than_there_are_is_uncertain) {
    Facts degraded = plane(OperState::enabled, "3 Tb/s");
    degraded.emplace_back(Attribute::links_usable, quantity("15"));
    degraded.emplace_back(Attribute::links_total, quantity("16"));
    constexpr const char* without_1 = "capacity without plane 1 covers load with 0 % margin";
    EXPECT_EQ(covered(without_1, planes_and_load(degraded, "3 Tb/s")).truth, T);
    EXPECT_EQ(covered(without_1, planes_and_load(degraded, "3.1 Tb/s")).truth, U);
    EXPECT_EQ(covered(without_1, planes_and_load(degraded, "6.1 Tb/s")).truth, F);
}

View with_two_planes(Sheet planes, const char* load) {
    return view(
        {std::move(planes.row(Kind::plane, "1", plane(OperState::enabled, "3 Tb/s"))
                       .row(Kind::plane, "3", plane(OperState::enabled, "3 Tb/s"))),
         Sheet({Kind::chassis}).row(Kind::chassis, "edge-7", {{Attribute::load, quantity(load)}})});
}

TEST(capacity, of_an_absent_plane_is_nothing_only_if_all_are_listed) {
    EXPECT_EQ(covered(without_3, with_two_planes(Sheet({Kind::plane}), "2.5 Tb/s")).truth, T);
    EXPECT_EQ(covered(without_3, with_two_planes(Sheet({Kind::plane}), "2.6 Tb/s")).truth, F);
    EXPECT_EQ(covered(without_3, with_two_planes(Sheet(), "2.5 Tb/s")).truth, T)
        << "what is listed suffices";
    EXPECT_EQ(covered(without_3, with_two_planes(Sheet(), "2.6 Tb/s")).truth, U);
}

TEST(capacity, without_a_name_that_nobody_knows_is_unknown) {
    const View look = planes_and_load("1 Tb/s");
    EXPECT_EQ(
        evaluate(condition("capacity without plane 33 covers load with 20 % margin"), {look, {}})
            .judgement.truth,
        U);
    EXPECT_EQ(covered("capacity without module FAB33 covers load with 20 % margin", look).truth, U);
}

/// Modules FAB1 and FAB3; FAB3 serves planes as stated.
View served(const Facts& fab3, const char* load) {
    return view(
        {Sheet({Kind::plane})
             .row(Kind::plane, "1", plane(OperState::enabled, "3 Tb/s"))
             .row(Kind::plane, "2", plane(OperState::enabled, "3 Tb/s"))
             .row(Kind::plane, "3", plane(OperState::enabled, "3 Tb/s")),
         Sheet({Kind::module})
             .row(Kind::module, "FAB1", {{Attribute::serves, state::Names{"1"}}})
             .row(Kind::module, "FAB3", fab3),
         Sheet({Kind::chassis}).row(Kind::chassis, "edge-7", {{Attribute::load, quantity(load)}})});
}
const Facts serves_2_and_3 = {{Attribute::serves, state::Names{"2", "3"}}};

TEST(capacity, without_a_module_is_without_every_plane_that_it_serves) {
    for (const std::string lost : {"module FAB3", "every plane served by module FAB3",
                                   "every module except FAB1", "every plane except 1"}) {
        const std::string sentence = "capacity without " + lost + " covers load with 20 % margin";
        EXPECT_EQ(covered(sentence.c_str(), served(serves_2_and_3, "2.5 Tb/s")).truth, T) << lost;
        EXPECT_EQ(covered(sentence.c_str(), served(serves_2_and_3, "2.6 Tb/s")).truth, F) << lost;
    }
    for (const std::string lost :
         {"module FAB3", "every plane served by module FAB3", "every module"}) {
        const std::string sentence = "capacity without " + lost + " covers load with 20 % margin";
        EXPECT_EQ(covered(sentence.c_str(), served({}, "0.1 Tb/s")).truth, U)
            << lost << ": which planes it serves is not told";
        EXPECT_EQ(covered(sentence.c_str(), served({}, "8 Tb/s")).truth, F)
            << lost << ": not even all of them suffice";
    }
}

TEST(capacity, is_not_confirmed_by_an_answer_that_was_cut) {
    const auto cut = [](const char* load) {
        return view({Sheet({Kind::plane})
                         .row(Kind::plane, "1", plane(OperState::enabled, "3 Tb/s"))
                         .row(Kind::plane, "2", plane(OperState::enabled, "3 Tb/s"))
                         .row(Kind::plane, "3", plane(OperState::enabled, "3 Tb/s")),
                     Sheet({Kind::chassis})
                         .row(Kind::chassis, "edge-7", {{Attribute::load, quantity(load)}})
                         .cut()});
    };
    EXPECT_EQ(covered(without_3, cut("1 Tb/s")).truth, U);
    EXPECT_EQ(covered(without_3, cut("9 Tb/s")).truth, F);
}

TEST(capacity, that_cannot_be_computed_exactly_is_unknown) {
    EXPECT_EQ(covered("capacity without plane 3 covers load with 0.12345678901234567 % margin",
                      planes_and_load("4.123456789012 Tb/s"))
                  .truth,
              U);
}

TEST(capacity, rests_on_the_fewest_planes_that_suffice) {
    const Judgement one = covered(without_3, planes_and_load("2.5 Tb/s"));
    ASSERT_EQ(one.truth, T);
    EXPECT_EQ(one.because.cites.size(), 3U) << "oper and capacity of one plane, and the load";
    EXPECT_EQ(one.because.text,
              "The device reports at least 3 Tb/s of capacity against 2.5 Tb/s of load with 20 % "
              "margin; planes counted: 1, 2.");
    const Judgement peak = covered(without_3, planes_and_load("2.5 Tb/s"), "9 Tb/s");
    ASSERT_EQ(peak.truth, F);
    EXPECT_EQ(peak.because.cites.size(), 3U) << "two capacities and the list; the load is stated";
    EXPECT_EQ(
        peak.because.text,
        "The device reports at most 6 Tb/s of capacity against 9 Tb/s of stated peak load with "
        "20 % margin; planes counted: 1, 2.");
}

TEST(capacity, takes_the_peak_that_the_run_states) {
    for (const auto& [peak, truth] : {std::pair{"4 Tb/s", T}, std::pair{"5.1 Tb/s", F}}) {
        World world;
        RunStarted run;
        run.inventory = {{Kind::plane, {"1", "2", "3"}}};
        run.peak_load = std::get<units::Quantity>(quantity(peak)).value;
        world.tell({at(0), run});
        world.open(0, without_3);
        Sheet all({Kind::plane, Kind::chassis});
        for (const char* name : {"1", "2", "3"})
            all.row(Kind::plane, name, plane(OperState::enabled, "3 Tb/s"));
        all.row(Kind::chassis, "edge-7", {{Attribute::load, quantity("1 Tb/s")}});
        world.look(1, 2, all);
        EXPECT_EQ(world.gate().truth, truth) << peak;
    }
}

} // namespace
} // namespace slotwitness::witness::test
