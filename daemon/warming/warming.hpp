#pragma once

#include "fans.hpp"
#include "sensor.hpp"

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

/// What the readings of one chassis say of its sensors while a cooling clock runs. Pure: it is led
/// by what is recorded, so a replay makes the same forecasts again.
namespace slotwitness::warming {

/// What a sensor's looks since the last change of cooling say of what comes.
struct Outlook {
    std::string procedure;
    std::string sensor;
    forecast::Band band; ///< empty where they say nothing
};

class Warming {
  public:
    /// What is to be recorded next because of this recorded event and its findings.
    [[nodiscard]] std::vector<witness::ForecastMade>
    take(const witness::Event& event, const std::vector<witness::Finding>& findings);

    /// In words what a recorded forecast says otherwise than what was made of the same looks;
    /// nothing if it is that one, to `tolerance`. To be asked before it is taken.
    [[nodiscard]] std::optional<std::string> differs(const witness::ForecastMade& recorded) const;

    /// How the sensors of the clocks that run may go on.
    [[nodiscard]] std::vector<Outlook> outlooks() const;

  private:
    /// A procedure whose cooling clock may run.
    struct Clock {
        witness::CoolingPlan plan;
        bool runs = false;
        witness::Instant limit;
        std::vector<Sensor> sensors;
        std::vector<witness::ForecastMade> made; ///< and not recorded yet
    };
    void open(const witness::ProcedureOpened& opened,
              const std::vector<witness::Finding>& findings);
    void follow(witness::Instant at, const witness::CoolingFinding& finding);
    void begin_anew(witness::Instant at);
    void look(witness::Instant at, const witness::Answered& answer,
              std::vector<witness::ForecastMade>& made);

    Fans fans_;
    std::map<std::string, Clock> clocks_; ///< by procedure
};

/// How far an instant that is computed again may be from the recorded one: exponentials need not
/// agree to the last bit on two machines.
inline constexpr witness::Duration tolerance{1'000};

} // namespace slotwitness::warming
