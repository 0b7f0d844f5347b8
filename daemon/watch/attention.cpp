#include "attention.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::watch {

namespace {

using units::Duration;
using units::Instant;

/// How long looks must be apart so that what is left lasts: half of the share of the hour that this
/// one takes of it. What was asked an hour ago comes back, so that in the long run two thirds of a
/// budget are used, and none of it ends before the hour does.
Duration rarer(std::size_t cost, std::size_t left) {
    return left == 0 ? budget_window
                     : std::min(budget_window, budget_window * static_cast<Duration::rep>(cost) /
                                                   static_cast<Duration::rep>(2 * left));
}

std::size_t share_of_idle(std::size_t most) {
    return most / 2;
}

} // namespace

Plan next_round(const Pace& pace, const Spending& spending, std::optional<Instant> last_start,
                Instant now, Attention attention) {
    const bool idle = attention.wanted.empty();
    Duration interval = idle ? pace.idle : pace.pending;
    const Instant at_pace = last_start ? std::max(now, *last_start + interval) : now;
    Plan plan{at_pace, std::move(idle ? attention.idle_askings : attention.wanted)};
    if (!spending.most())
        return plan;

    const std::size_t cost = plan.askings.size() + attention.at_entrance;
    const std::size_t most = *spending.most();
    const std::size_t left = most - std::min(most, spending.spent(now));
    if (!idle && last_start && left < most - share_of_idle(most))
        interval = std::max(interval, rarer(cost, left));
    if (last_start)
        plan.start = std::max(now, *last_start + interval);
    const auto room = spending.room_for(cost, idle ? share_of_idle(most) : most, plan.start);
    // A look that is larger than the budget never comes; who asks again is told so again.
    plan.start = room ? *room : now + budget_window;
    plan.held_up = plan.start > at_pace;
    return plan;
}

std::size_t least_budget(std::size_t whole_look, std::size_t at_entrance) {
    return 2 * (whole_look + at_entrance);
}

Price price(const Pace& pace, std::size_t queries_a_look, const Budget& budget) {
    const auto at = [queries_a_look](Duration interval) {
        const auto looks = budget_window / std::max(interval, Duration(1));
        return static_cast<std::size_t>(looks) * queries_a_look;
    };
    Price price{at(pace.pending), at(pace.idle)};
    if (const auto most = budget.queries_an_hour)
        price = {std::min(price.pending, *most), std::min(price.idle, share_of_idle(*most))};
    return price;
}

Duration lasting_interval(const Pace& pace, std::size_t queries_a_look, const Budget& budget) {
    if (!budget.queries_an_hour)
        return pace.pending;
    const auto most = static_cast<Duration::rep>(std::max<std::size_t>(*budget.queries_an_hour, 1));
    // Two thirds of a budget are used in the long run: see `rarer`.
    return std::max(pace.pending,
                    budget_window * 3 * static_cast<Duration::rep>(queries_a_look) / (2 * most));
}

Duration default_gap(const Pace& pace, Duration query_timeout) {
    return 3 * pace.pending + query_timeout;
}

} // namespace slotwitness::watch
