#include "published.hpp"

#include <slotwitness/witness/gate_code.hpp>

#include <algorithm>
#include <functional>
#include <utility>

namespace slotwitness::desk {

namespace {

/// Two numbers a change: the even one as recorded, the odd one once its confidence has run out
/// (as_of).
std::uint64_t revision_of(std::uint64_t changes) {
    return 2 * changes;
}

/// How much a person may rely on a passed gate: more is better.
int confidence(const std::optional<witness::Standing>& standing) {
    if (!standing)
        return 3;
    switch (*standing) {
    case witness::Standing::met:
        return 3;
    case witness::Standing::settling:
        return 2;
    case witness::Standing::unseen:
        return 1;
    case witness::Standing::lost:
        return 0;
    }
    return 0;
}

} // namespace

void Published::restore(std::string_view chassis, const replay::RecordedGate& gate,
                        units::Instant seen_until) {
    Shown shown;
    shown.view = {std::string(chassis), gate.finding, gate.opened.by, revision_of(gate.changes),
                  false};
    shown.view.code = witness::code_of(chassis, gate.finding);
    // Nobody has looked since: what an earlier run held true is not shown as if it still were.
    shown.view.finding.valid_until = std::min(gate.finding.valid_until, seen_until);
    shown.changes = gate.changes;
    shown.idempotency_key = gate.opened.idempotency_key;
    shown.gap = gate.opened.gap;
    shown.guard = gate.opened.guard;
    order_.push_back(gate.opened.id);
    gates_.emplace(gate.opened.id, std::move(shown));
}

void Published::take(std::string_view chassis, const Recorded& recorded) {
    if (const auto* opened = std::get_if<witness::GateOpened>(&recorded.event.what);
        opened && recorded.stored)
        open(chassis, *opened);
    for (const witness::Finding& finding : recorded.outcome.findings) {
        const auto* gate = std::get_if<witness::GateFinding>(&finding);
        if (!gate)
            continue;
        if (recorded.stored && !gates_.contains(gate->id))
            open(chassis, replay::opened_by_procedure(*gate));
        if (recorded.stored)
            show(chassis, *gate);
        else
            show_bad_news(*gate);
    }
}

void Published::open(std::string_view chassis, const witness::GateOpened& opened) {
    Shown shown;
    shown.view.chassis = chassis;
    shown.view.finding.id = opened.id;
    shown.view.opened_by = opened.by;
    shown.idempotency_key = opened.idempotency_key;
    shown.gap = opened.gap;
    shown.guard = opened.guard;
    if (gates_.emplace(opened.id, std::move(shown)).second)
        order_.push_back(opened.id);
}

void Published::show(std::string_view, const witness::GateFinding& finding) {
    const auto found = gates_.find(finding.id);
    if (found == gates_.end())
        return;
    Shown& shown = found->second;
    const bool is_new = replay::tells_something_new(shown.view.finding, finding);
    shown.view.finding = finding;
    if (is_new) {
        ++shown.changes;
        shown.view.code = witness::code_of(shown.view.chassis, finding);
    }
    shown.view.revision = revision_of(shown.changes);
    shown.view.unrecorded = false;
    shown.waiters.wake();
}

void Published::show_bad_news(const witness::GateFinding& finding) {
    const auto found = gates_.find(finding.id);
    if (found == gates_.end())
        return;
    witness::GateFinding& shown = found->second.view.finding;
    const bool less_true = finding.truth < shown.truth;
    const bool worse = shown.standing && finding.standing &&
                       confidence(finding.standing) < confidence(shown.standing);
    if (!less_true && !worse)
        return;
    // A verdict is decided by evidence alone; only confidence is taken back.
    shown.truth = std::min(shown.truth, finding.truth);
    if (worse)
        shown.standing = finding.standing;
    shown.because = finding.because;
    found->second.view.code = witness::code_of(found->second.view.chassis, shown);
    ++found->second.changes;
    found->second.view.revision = revision_of(found->second.changes);
    found->second.view.unrecorded = true;
    found->second.waiters.wake();
}

std::optional<GateView> Published::gate(std::string_view id) const {
    const auto found = gates_.find(id);
    return found == gates_.end() ? std::nullopt
                                 : std::optional(as_of(found->second.view, clock_.now()));
}

std::vector<GateView> Published::newest_first() const {
    std::vector<GateView> views;
    views.reserve(order_.size());
    // Newest first. NOLINTNEXTLINE(modernize-loop-convert): a range of its own would be longer.
    for (auto id = order_.rbegin(); id != order_.rend(); ++id)
        views.push_back(*gate(*id));
    return views;
}

std::optional<Published::Keyed> Published::by_idempotency_key(std::string_view by,
                                                              std::string_view key) const {
    for (const auto& [id, shown] : gates_)
        if (shown.idempotency_key == key && shown.view.opened_by == by)
            return Keyed{*gate(id), shown.gap, shown.guard};
    return std::nullopt;
}

std::size_t Published::count_open(std::string_view chassis) const {
    return static_cast<std::size_t>(
        std::count_if(gates_.begin(), gates_.end(), [&](const auto& each) {
            return each.second.view.chassis == chassis && !each.second.view.finding.retired;
        }));
}

std::size_t Published::count_pending(std::string_view chassis) const {
    return static_cast<std::size_t>(
        std::count_if(gates_.begin(), gates_.end(), [&](const auto& each) {
            return each.second.view.chassis == chassis &&
                   each.second.view.finding.verdict == witness::Verdict::pending;
        }));
}

void Published::stop() {
    stopping_ = true;
    for (auto& [id, shown] : gates_)
        shown.waiters.wake();
}

boost::asio::awaitable<void> Published::change(boost::asio::any_io_executor executor,
                                               std::string id, std::optional<std::uint64_t> seen,
                                               units::Instant until) {
    const auto found = gates_.find(id);
    if (found == gates_.end())
        co_return;
    Shown& shown = found->second; // gates are never erased, so it stays where it is
    std::function<bool()> is_over = [this, &shown, seen] {
        const GateView now = as_of(shown.view, clock_.now());
        return stopping_ ||
               (seen ? now.revision != *seen : now.finding.verdict != witness::Verdict::pending);
    };
    std::function<std::optional<units::Instant>()> stale_at = [&shown] {
        return shown.view.finding.valid_until + units::Duration(1);
    };
    co_await shown.waiters.wait(executor, clock_, until, std::move(is_over), std::move(stale_at));
}

} // namespace slotwitness::desk
