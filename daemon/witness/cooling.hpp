#pragma once

#include "procedure_finding.hpp"
#include "view.hpp"

namespace slotwitness::witness {

/// The clock that runs while a fan tray is out. Where it is not known when the tray left or came
/// back, the longer time counts.
class Cooling {
  public:
    /// `takes`: how long the steps from the old part's leaving to the tray's return take, as
    /// rehearsed; nothing: nobody is told to turn back.
    Cooling(const std::string& procedure, CoolingPlan plan, std::optional<Duration> takes,
            Instant opened);

    [[nodiscard]] const CoolingPlan& plan() const { return plan_; }
    [[nodiscard]] const CoolingFinding& finding() const { return finding_; }
    [[nodiscard]] bool runs() const { return finding_.began && !finding_.ended; }

    /// The tray may be pulled from now on: a look that does not show it starts the clock, whatever
    /// else it shows.
    void allow() { allowed_ = true; }
    /// Somebody says that the tray is out.
    void begin(Instant at);
    /// Somebody says that the old part is out: nobody turns back any more.
    void part_is_out();
    /// That was taken back.
    void part_is_in(Instant at);
    void look(Look look, Truth present, Truth operational);
    void forecast(const ForecastMade& forecast);
    /// How long the daemon was stopped cannot be known: a clock that runs counts as run out.
    void lose_time();
    /// For the limit, and for the sensors that tell nothing until they tell something again.
    [[nodiscard]] bool answer(std::string_view by, std::string_view reason);

    [[nodiscard]] std::optional<Instant> due() const;
    void reach(Instant now);

  private:
    void run_from(Instant at);
    void set_limit();
    [[nodiscard]] Instant surely_shown(const Look& look) const;

    CoolingPlan plan_;
    CoolingFinding finding_;
    std::optional<Duration> takes_;
    Instant last_shown_;          ///< the tray was surely there, by the last look that showed it
    std::optional<Instant> said_; ///< when somebody said last that it is out
    bool allowed_ = false;
    bool part_is_out_ = false;
    std::optional<Instant> forecast_;
};

} // namespace slotwitness::witness
