#include <slotwitness/warming/warming.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

// The chassis is invented: a part warms from 40 C towards 95 C with a time constant of 60 s.
namespace slotwitness::warming {
namespace {

using namespace std::chrono_literals;
using state::Attribute;
using state::Kind;
using witness::Instant;

Instant after(witness::Duration time) {
    return Instant(1'000'000ms) + time;
}

/// When the invented part reaches that many °C, by the model's own formula.
witness::Duration reaches(double celsius) {
    return witness::Duration(std::llround(60'000 * std::log((95 - 40) / (95 - celsius))));
}

class Chassis {
  public:
    /// `hottest`: nothing: as the device states it.
    explicit Chassis(std::optional<units::Decimal> hottest) {
        witness::ProcedureOpened opened;
        opened.id = "job";
        opened.cooling.emplace().warm = {{"core", hottest, {"sensors"}, 0ms}};
        witness::ProcedureFinding admitted;
        admitted.id = "job";
        tell(after(0ms), opened, {admitted});
        witness::CoolingFinding clock;
        clock.procedure = "job";
        clock.began = after(0ms);
        clock.limit = after(600s);
        tell(after(0ms), witness::Tick{}, {clock});
    }

    /// What is made of an answer that shows the course's own temperature, in tenths.
    const std::vector<witness::ForecastMade>& look(witness::Duration time) {
        const double celsius = 95 - 55 * std::exp(-static_cast<double>(time.count()) / 60'000);
        return look(time, units::Decimal::of(std::lround(celsius * 10), -1));
    }
    const std::vector<witness::ForecastMade>& look(witness::Duration time,
                                                   std::optional<units::Decimal> celsius) {
        state::Row row;
        row.kind = Kind::sensor;
        row.name = "core";
        if (celsius)
            row.facts[Attribute::reading] = {units::Quantity{*celsius, units::Unit::celsius}, {}};
        if (states)
            row.facts[Attribute::limit] = {*states, {}};
        return answer(time, "sensors", Kind::sensor, row);
    }
    const std::vector<witness::ForecastMade>& fans(witness::Duration time, std::int64_t rpm) {
        state::Row row;
        row.kind = Kind::fan_tray;
        row.name = "A";
        row.facts[Attribute::speed] = {
            units::Quantity{*units::Decimal::of(rpm, 0), units::Unit::rpm}, {}};
        return answer(time, "trays", Kind::fan_tray, row);
    }
    /// The newest forecast while the part warms from `from` to `until`, looked at every 2 s.
    std::optional<witness::ForecastMade> watch(witness::Duration from, witness::Duration until) {
        std::optional<witness::ForecastMade> newest;
        for (witness::Duration time = from; time <= until; time += 2s)
            for (const auto& one : look(time))
                newest = one;
        return newest;
    }
    Warming warming;
    std::optional<units::Quantity> states; ///< of the part, by the device

  private:
    const std::vector<witness::ForecastMade>& answer(witness::Duration time, std::string asking,
                                                     Kind kind, const state::Row& row) {
        auto reading = std::make_shared<state::Reading>();
        reading->whole = true;
        reading->lists = {kind};
        reading->rows = {row};
        witness::Answered answered;
        answered.round = ++round_;
        answered.asking = std::move(asking);
        answered.asked = after(time);
        answered.reading = std::move(reading);
        tell(after(time), answered, {});
        return made_;
    }
    void tell(Instant at, decltype(witness::Event::what) what,
              const std::vector<witness::Finding>& findings) {
        made_ = warming.take({at, std::move(what)}, findings);
    }

    witness::RoundNumber round_ = 0;
    std::vector<witness::ForecastMade> made_;
};

TEST(warming, forecasts_no_later_than_the_part_reaches_its_limit_and_not_much_sooner) {
    Chassis chassis(*units::Decimal::of(85, 0));
    const auto made = chassis.watch(0s, 60s);
    ASSERT_TRUE(made && made->at);
    EXPECT_LE(*made->at, after(reaches(85)));
    EXPECT_GE(*made->at, after(reaches(85) / 2));
    EXPECT_EQ(made->from, 1U);
}

TEST(warming, says_nothing_of_a_limit_that_is_far_above_where_the_part_settles) {
    Chassis chassis(*units::Decimal::of(120, 0));
    EXPECT_FALSE(chassis.watch(0s, 300s));
}

TEST(warming, begins_anew_when_a_fan_turns_faster) {
    Chassis chassis(*units::Decimal::of(85, 0));
    EXPECT_TRUE(chassis.fans(0s, 6'000).empty());
    chassis.watch(1s, 21s);
    chassis.fans(22s, 6'500);
    chassis.fans(23s, 6'700); // by more than a tenth since the course began
    const auto made = chassis.watch(24s, 90s);
    ASSERT_TRUE(made && made->at);
    EXPECT_EQ(made->from, 15U) << "the first look after the change";
}

TEST(warming, takes_what_is_not_told_for_unseen_and_says_so_once) {
    for (const auto& told : {std::optional<units::Decimal>(), units::Decimal::of(750, 0)}) {
        Chassis chassis(*units::Decimal::of(85, 0));
        const auto lost = chassis.look(2s, told);
        ASSERT_EQ(lost.size(), 1U);
        EXPECT_FALSE(lost.front().at);
        EXPECT_THAT(lost.front().because, testing::HasSubstr("core tells no temperature"));
        EXPECT_TRUE(chassis.look(4s, told).empty());
        const auto back = chassis.look(6s);
        ASSERT_EQ(back.size(), 1U);
        EXPECT_FALSE(back.front().at);
        EXPECT_EQ(back.front().because, "");
    }
}

TEST(warming, ends_the_clock_at_a_value_at_its_limit_even_if_it_jumps_there) {
    Chassis chassis(*units::Decimal::of(85, 0));
    chassis.look(2s);
    const auto made = chassis.look(4s, units::Decimal::of(187, 0));
    ASSERT_EQ(made.size(), 1U);
    EXPECT_EQ(made.front().at, after(4s));
}

TEST(warming, goes_by_the_limit_that_the_device_states_where_people_give_none) {
    Chassis stated(std::nullopt);
    stated.states = units::Quantity{*units::Decimal::of(85, 0), units::Unit::celsius};
    Chassis given(*units::Decimal::of(85, 0));
    const auto by_device = stated.watch(0s, 60s);
    const auto by_people = given.watch(0s, 60s);
    ASSERT_TRUE(by_device && by_people);
    EXPECT_EQ(by_device->at, by_people->at);

    Chassis people_know_better(*units::Decimal::of(120, 0));
    people_know_better.states = stated.states;
    EXPECT_FALSE(people_know_better.watch(0s, 300s));
}

TEST(warming, takes_a_sensor_whose_limit_is_not_stated_for_unseen) {
    for (const auto& told :
         {std::optional<units::Quantity>(),
          std::optional(units::Quantity{*units::Decimal::of(85, 0), units::Unit::percent})}) {
        Chassis chassis(std::nullopt);
        chassis.states = told;
        const auto made = chassis.look(2s);
        ASSERT_EQ(made.size(), 1U);
        EXPECT_FALSE(made.front().at);
        EXPECT_THAT(made.front().because,
                    testing::HasSubstr("The device states no limit of sensor core"));
    }
}

TEST(warming, knows_the_forecasts_that_it_made_and_no_others) {
    Chassis chassis(*units::Decimal::of(85, 0));
    auto made = chassis.watch(0s, 60s);
    ASSERT_TRUE(made && made->at);
    EXPECT_EQ(chassis.warming.differs(*made), std::nullopt);
    *made->at += tolerance;
    EXPECT_EQ(chassis.warming.differs(*made), std::nullopt);
    *made->at += 1ms;
    EXPECT_TRUE(chassis.warming.differs(*made));
    *made->at -= 1ms;
    made->to += 1;
    EXPECT_TRUE(chassis.warming.differs(*made));
}

TEST(warming, shows_how_a_sensor_may_go_on_no_further_than_it_was_looked_at) {
    Chassis chassis(*units::Decimal::parse("90"));
    EXPECT_TRUE(chassis.warming.outlooks().at(0).band.empty());
    chassis.watch(2s, 40s);
    const Outlook outlook = chassis.warming.outlooks().at(0);
    EXPECT_EQ(outlook.procedure, "job");
    EXPECT_EQ(outlook.sensor, "core");
    ASSERT_FALSE(outlook.band.empty());
    EXPECT_EQ(outlook.band.front().at, after(40s));
    EXPECT_EQ(outlook.band.back().at, after(78s)); // as far ahead as from 2 s to 40 s
}

} // namespace
} // namespace slotwitness::warming
