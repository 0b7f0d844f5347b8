#pragma once

#include <slotwitness/units/time.hpp>

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace slotwitness::watch {

/// What looking at one chassis may cost it, whoever waits for a gate.
struct Budget {
    std::optional<std::size_t> queries_an_hour; ///< nothing: as many as the pace makes
    std::optional<std::size_t> at_once;         ///< nothing: as many as the profile allows
};

/// An hour of the budget: in no window of this length is a chassis asked more.
inline constexpr units::Duration budget_window = std::chrono::hours(1);

/// Counts what one chassis is asked. A query counts for the hour that follows it and for up to a
/// minute more, so that some numbers keep what thousands of instants would; it never counts
/// shorter.
class Spending {
  public:
    explicit Spending(const Budget& budget) : most_(budget.queries_an_hour) {}

    /// A query goes out. Instants do not run backwards; one that does counts as the newest.
    void spend(units::Instant at);

    /// Nothing: there is no limit.
    [[nodiscard]] const std::optional<std::size_t>& most() const { return most_; }
    /// Queries that count now.
    [[nodiscard]] std::size_t spent(units::Instant now) const;
    /// The soonest instant, `now` or later, from which on so many queries more stay within `most`.
    /// Nothing if they never do.
    [[nodiscard]] std::optional<units::Instant> room_for(std::size_t queries, std::size_t most,
                                                         units::Instant now) const;

  private:
    struct Minute {
        std::int64_t number; ///< of the time line
        std::size_t queries;
    };
    std::optional<std::size_t> most_;
    std::vector<Minute> minutes_; ///< in order; those that count, and at most one hour's
};

} // namespace slotwitness::watch
