#include "sensor.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace slotwitness::warming {

namespace {

using state::Attribute;
using witness::Duration;
using witness::ForecastMade;
using witness::Instant;

/// Of a chance that is smaller nobody is told: the early edge of all courses is then beyond the
/// clock's limit.
constexpr double worth_telling = 0.1;
/// A forecast that shortens the clock by less than this is none: it would be recorded at each look.
constexpr Duration worth_recording{1'000};

double number(const units::Decimal& decimal) {
    return static_cast<double>(decimal.coefficient()) * std::pow(10.0, decimal.exponent());
}

/// No further ahead than it was looked at: a short beginning allows for almost any end, and a clock
/// that was shortened stays so.
Instant horizon_of(const forecast::Belief& belief, Instant limit) {
    return std::min(limit, belief.last + (belief.last - belief.first));
}

const state::Value* value_of(const state::Row& row, Attribute attribute) {
    const auto fact = row.facts.find(attribute);
    return fact == row.facts.end() ? nullptr : &fact->second.value;
}

} // namespace

Sensor::Sensor(witness::WarmPlan plan, Instant since)
    : plan_(std::move(plan)), segment_({}, since) {}

void Sensor::begin_anew(Instant at) {
    segment_.begin_anew(at);
    finest_ = 0;
    from_ = 0;
}

tl::expected<units::Decimal, std::string> Sensor::told_by(const state::Reading& reading) const {
    const auto none = [this](const std::string& why) {
        return tl::unexpected("Sensor " + plan_.sensor + " tells no temperature (" + why +
                              "): nobody can say how warm it is.");
    };
    std::optional<units::Decimal> told;
    for (const state::Row& row : reading.rows) {
        if (row.kind != state::Kind::sensor || row.name != plan_.sensor)
            continue;
        if (const state::Value* status = value_of(row, Attribute::sensor_status);
            status && *status != state::Value(state::SensorStatus::ok))
            return none("its state is " + state::to_text(*status));
        const state::Value* value = value_of(row, Attribute::reading);
        const auto* quantity = value ? std::get_if<units::Quantity>(value) : nullptr;
        if (!quantity)
            return none("its value is not told");
        if (quantity->unit != units::Unit::celsius)
            return none("its value is in " + std::string(units::to_text(quantity->unit)));
        if (told && *told != quantity->value)
            return none("it stands there twice");
        told = quantity->value;
    }
    if (!told)
        return none(reading.whole && reading.wholly_read() ? "it is not listed"
                                                           : "the answer was not wholly read");
    if (const double celsius = number(*told); celsius < -60 || celsius > 250)
        return none(told->to_text() + " C is none that a board can have");
    return *told;
}

/// The lowest that the answer states of it.
tl::expected<units::Decimal, std::string> Sensor::hottest_by(const state::Reading& reading) const {
    if (plan_.hottest)
        return *plan_.hottest;
    std::optional<units::Decimal> stated;
    for (const state::Row& row : reading.rows) {
        if (row.kind != state::Kind::sensor || row.name != plan_.sensor)
            continue;
        const state::Value* value = value_of(row, Attribute::limit);
        const auto* quantity = value ? std::get_if<units::Quantity>(value) : nullptr;
        if (quantity && quantity->unit == units::Unit::celsius)
            stated = stated ? std::min(*stated, quantity->value) : quantity->value;
    }
    if (!stated)
        return tl::unexpected("The device states no limit of sensor " + plan_.sensor +
                              ": nobody can say how warm it may become.");
    return *stated;
}

ForecastMade Sensor::made(std::string because) const {
    return {"", plan_.sensor, std::nullopt, std::move(because), from_, to_};
}

std::optional<ForecastMade> Sensor::take(Instant at, const witness::Answered& answer,
                                         Instant limit) {
    if (std::find(plan_.askings.begin(), plan_.askings.end(), answer.asking) == plan_.askings.end())
        return std::nullopt;
    to_ = answer.round;
    if (from_ == 0)
        from_ = answer.round;
    const auto celsius = told_by(*answer.reading);
    const auto hottest = hottest_by(*answer.reading);
    if (!celsius || !hottest) {
        if (std::exchange(unseen_, true))
            return std::nullopt;
        return made(celsius ? hottest.error() : celsius.error());
    }
    if (*celsius >= *hottest) {
        unseen_ = false;
        ForecastMade reached = made("The device reports " + celsius->to_text() + " C at sensor " +
                                    plan_.sensor + "; its limit is " + hottest->to_text() + " C.");
        reached.at = at;
        return at < limit ? std::optional(std::move(reached)) : std::nullopt;
    }
    finest_ = std::min(finest_, celsius->exponent());
    // One that may show what was so before the change, or out of order, is no look of this course.
    if (!segment_.take({answer.asked - plan_.refresh, at, number(*celsius)})) {
        from_ = segment_.looks().empty() ? 0 : from_;
    } else if (auto shortens = forecast(*celsius, *hottest, limit)) {
        unseen_ = false;
        shortens->at = std::max(*shortens->at, at);
        return shortens;
    }
    if (std::exchange(unseen_, false))
        return made("");
    return std::nullopt;
}

double Sensor::step() const {
    return std::pow(10.0, finest_);
}

tl::expected<forecast::Fit, forecast::NotIdentified> Sensor::fit() const {
    return forecast::fit(segment_.looks(), {.step = step()});
}

forecast::Band Sensor::outlook(Instant limit) const {
    const auto fit = this->fit();
    return fit ? forecast::band(fit->belief, horizon_of(fit->belief, limit)) : forecast::Band{};
}

std::optional<ForecastMade> Sensor::forecast(const units::Decimal& celsius,
                                             const units::Decimal& hottest, Instant limit) const {
    const auto fit = this->fit();
    if (!fit)
        return std::nullopt; // what is not identified reaches nobody
    const forecast::Belief& belief = fit->belief;
    const Instant horizon = horizon_of(belief, limit);
    if (horizon <= belief.last)
        return std::nullopt;
    // Whether a device rounds or cuts digits off is not known: one step lower holds for both.
    const auto crossing = forecast::crossing(belief, number(hottest) - step(), horizon);
    const auto* within = crossing ? std::get_if<forecast::Within>(&*crossing) : nullptr;
    if (!within || within->probability < worth_telling ||
        within->early_edge + worth_recording > limit)
        return std::nullopt;
    ForecastMade shortens =
        made("The device reports " + celsius.to_text() + " C at sensor " + plan_.sensor +
             ", which warms: it may reach its limit of " + hottest.to_text() + " C from " +
             units::to_rfc3339(within->early_edge) + " on.");
    shortens.at = within->early_edge;
    return shortens;
}

} // namespace slotwitness::warming
