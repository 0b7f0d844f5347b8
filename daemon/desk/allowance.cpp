#include "allowance.hpp"

#include <utility>

namespace slotwitness::desk {

namespace {

std::size_t shell_queries(const profiles::Profile& profile) {
    return profile.reach.by == profiles::Reach::By::shell
               ? profile.reach.shell.session_queries.size()
               : 0;
}

} // namespace

std::size_t queries_at_entrance(const profiles::Profile& profile) {
    return (profile.identity ? 1U : 0U) + (profile.proven_for ? 1U : 0U) + shell_queries(profile);
}

Allowance::Allowance(const Clock& clock, const ChassisSettings& settings,
                     const std::vector<units::Instant>& asked)
    : clock_(clock), profile_(*settings.profile), guard_(*settings.profile),
      spending_(settings.budget) {
    for (const units::Instant at : asked)
        spending_.spend(at);
}

void Allowance::begin_shell() {
    owed_by_shell_ = shell_queries(profile_);
}

tl::expected<links::ApprovedQuery, Allowance::Refused> Allowance::take(const std::string& asking) {
    const auto known = profiles::from_key(profile_, asking);
    auto approved =
        known ? guard_.approve(*known)
              : tl::expected<links::ApprovedQuery, state::Problem>(
                    tl::unexpect,
                    state::Problem{
                        "profile", {}, asking, "a query of the profile", "open the gate again"});
    if (!approved)
        return tl::unexpected(Refused{false, state::to_text(approved.error())});
    if (!spend())
        return tl::unexpected(Refused{true, over_budget()});
    return std::move(*approved);
}

bool Allowance::spend() {
    const units::Instant now = clock_.now();
    const std::size_t queries = 1 + owed_by_shell_;
    if (spending_.most() && spending_.room_for(queries, *spending_.most(), now) != now)
        return false;
    for (std::size_t i = 0; i < queries; ++i)
        spending_.spend(now);
    owed_by_shell_ = 0;
    return true;
}

std::string Allowance::over_budget() const {
    return "the budget of " + std::to_string(spending_.most().value_or(0)) +
           " queries an hour bears no more now (" + std::to_string(spending_.spent(clock_.now())) +
           " were asked within the last hour)";
}

} // namespace slotwitness::desk
