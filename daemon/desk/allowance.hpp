#pragma once

#include "clock.hpp"
#include "settings.hpp"

#include <slotwitness/links/guard.hpp>
#include <slotwitness/watch/budget.hpp>

#include <tl/expected.hpp>

#include <string>
#include <vector>

namespace slotwitness::desk {

/// What may be asked of one chassis: what the guard lets through, as far as the budget has room.
class Allowance {
  public:
    /// `asked`: within the last hour, in order.
    Allowance(const Clock& clock, const ChassisSettings& settings,
              const std::vector<units::Instant>& asked);

    struct Refused {
        bool is_for_now = false; ///< for want of room in the budget
        std::string text;
    };
    /// The query as it may leave; it counts, with what its shell asks before it.
    [[nodiscard]] tl::expected<links::ApprovedQuery, Refused> take(const std::string& asking);
    /// The next query begins a shell, which asks its session queries before it.
    void begin_shell();

    [[nodiscard]] const watch::Spending& spending() const { return spending_; }
    /// For a person.
    [[nodiscard]] std::string over_budget() const;

  private:
    /// False if the budget has no room.
    [[nodiscard]] bool spend();

    const Clock& clock_;
    const profiles::Profile& profile_;
    links::Guard guard_;
    watch::Spending spending_;
    std::size_t owed_by_shell_ = 0; ///< session queries that go before the next query
};

} // namespace slotwitness::desk
