#pragma once

#include <slotwitness/forecast/band.hpp>
#include <slotwitness/forecast/segment.hpp>
#include <slotwitness/witness/event.hpp>

#include <optional>
#include <string>

namespace slotwitness::warming {

/// One sensor while a cooling clock runs.
class Sensor {
  public:
    Sensor(witness::WarmPlan plan, witness::Instant since);

    [[nodiscard]] const witness::WarmPlan& plan() const { return plan_; }
    /// Something changed that its course depends on, at `at` at the latest.
    void begin_anew(witness::Instant at);

    /// What is new to be said because of an answer at `at`: a forecast earlier than `limit`, that
    /// it tells no temperature, that it tells one again. `procedure` is left empty.
    [[nodiscard]] std::optional<witness::ForecastMade>
    take(witness::Instant at, const witness::Answered& answer, witness::Instant limit);

    /// How it may go on, no further than it was looked at and than `limit`; empty where its looks
    /// do not tell.
    [[nodiscard]] forecast::Band outlook(witness::Instant limit) const;

  private:
    /// °C, or why there is none.
    [[nodiscard]] tl::expected<units::Decimal, std::string>
    told_by(const state::Reading& reading) const;
    /// °C that it must not reach, or why that is not known.
    [[nodiscard]] tl::expected<units::Decimal, std::string>
    hottest_by(const state::Reading& reading) const;
    [[nodiscard]] double step() const; ///< °C, the finest that it printed
    [[nodiscard]] tl::expected<forecast::Fit, forecast::NotIdentified> fit() const;
    [[nodiscard]] std::optional<witness::ForecastMade> forecast(const units::Decimal& celsius,
                                                                const units::Decimal& hottest,
                                                                witness::Instant limit) const;
    [[nodiscard]] witness::ForecastMade made(std::string because) const;

    witness::WarmPlan plan_;
    forecast::Segment segment_;
    int finest_ = 0; ///< exponent of the finest step that it printed since the course began
    witness::RoundNumber from_ = 0;
    witness::RoundNumber to_ = 0;
    bool unseen_ = false;
};

} // namespace slotwitness::warming
