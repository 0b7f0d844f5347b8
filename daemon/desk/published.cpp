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

ChassisSummary* find(std::span<ChassisSummary> chassis, std::string_view name) {
    const auto at = std::ranges::lower_bound(chassis, name, {}, &ChassisSummary::name);
    return at != chassis.end() && at->name == name ? &*at : nullptr;
}

void Published::restore(std::string_view chassis, const replay::RecordedGate& gate,
                        units::Instant seen_until) {
    GateView view{std::string(chassis), gate.finding, gate.opened.by, revision_of(gate.changes),
                  false};
    view.code = witness::code_of(chassis, gate.finding);
    // Nobody has looked since: what an earlier run held true is not shown as if it still were.
    view.finding.valid_until = std::min(gate.finding.valid_until, seen_until);
    Place place;
    place.view = Snapshot(std::move(view));
    place.changes = gate.changes;
    place.idempotency_key = gate.opened.idempotency_key;
    place.gap = gate.opened.gap;
    place.guard = gate.opened.guard;
    order_.push_back(gate.opened.id);
    gates_.emplace(gate.opened.id, std::move(place));
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
    GateView view;
    view.chassis = chassis;
    view.finding.id = opened.id;
    view.opened_by = opened.by;
    Place place;
    place.view = Snapshot(std::move(view));
    place.idempotency_key = opened.idempotency_key;
    place.gap = opened.gap;
    place.guard = opened.guard;
    if (gates_.emplace(opened.id, std::move(place)).second)
        order_.push_back(opened.id);
}

void Published::show(std::string_view, const witness::GateFinding& finding) {
    const auto found = gates_.find(finding.id);
    if (found == gates_.end())
        return;
    Place& place = found->second;
    place.view.change([&](GateView& view) {
        const bool is_new = replay::tells_something_new(view.finding, finding);
        view.finding = finding;
        if (is_new) {
            ++place.changes;
            view.code = witness::code_of(view.chassis, finding);
        }
        view.revision = revision_of(place.changes);
        view.unrecorded = false;
    });
    place.waiters.wake();
}

void Published::show_bad_news(const witness::GateFinding& finding) {
    const auto found = gates_.find(finding.id);
    if (found == gates_.end())
        return;
    Place& place = found->second;
    const witness::GateFinding& before = place.view.recorded().finding;
    const bool less_true = finding.truth < before.truth;
    const bool worse = before.standing && finding.standing &&
                       confidence(finding.standing) < confidence(before.standing);
    if (!less_true && !worse)
        return;
    ++place.changes;
    // A verdict is decided by evidence alone; only confidence is taken back.
    place.view.change([&](GateView& view) {
        view.finding.truth = std::min(view.finding.truth, finding.truth);
        if (worse)
            view.finding.standing = finding.standing;
        view.finding.because = finding.because;
        view.code = witness::code_of(view.chassis, view.finding);
        view.revision = revision_of(place.changes);
        view.unrecorded = true;
    });
    place.waiters.wake();
}

SharedView<GateView> Published::gate(std::string_view id) const {
    const auto found = gates_.find(id);
    return found == gates_.end() ? nullptr : found->second.view.at(clock_.now());
}

std::vector<SharedView<GateView>> Published::newest_first() const {
    std::vector<SharedView<GateView>> views;
    views.reserve(order_.size());
    // Newest first. NOLINTNEXTLINE(modernize-loop-convert): a range of its own would be longer.
    for (auto id = order_.rbegin(); id != order_.rend(); ++id)
        views.push_back(gate(*id));
    return views;
}

std::optional<Published::Keyed> Published::by_idempotency_key(std::string_view by,
                                                              std::string_view key) const {
    for (const auto& [id, place] : gates_)
        if (place.idempotency_key == key && place.view.recorded().opened_by == by)
            return Keyed{*gate(id), place.gap, place.guard};
    return std::nullopt;
}

std::size_t Published::count_open(std::string_view chassis) const {
    return static_cast<std::size_t>(
        std::count_if(gates_.begin(), gates_.end(), [&](const auto& each) {
            const GateView& view = each.second.view.recorded();
            return view.chassis == chassis && !view.finding.retired;
        }));
}

void Published::add_pending(std::span<ChassisSummary> chassis) const {
    for (const auto& [id, place] : gates_) {
        const GateView& view = place.view.recorded();
        if (view.finding.verdict != witness::Verdict::pending)
            continue;
        if (ChassisSummary* of = find(chassis, view.chassis))
            ++of->gates_pending;
    }
}

void Published::stop() {
    stopping_ = true;
    for (auto& [id, place] : gates_)
        place.waiters.wake();
}

boost::asio::awaitable<void> Published::change(boost::asio::any_io_executor executor,
                                               std::string id, std::optional<std::uint64_t> seen,
                                               units::Instant until) {
    const auto found = gates_.find(id);
    if (found == gates_.end())
        co_return;
    Place& place = found->second; // gates are never erased, so it stays where it is
    std::function<bool()> is_over = [this, &place, seen] {
        const auto now = place.view.at(clock_.now());
        return stopping_ ||
               (seen ? now->revision != *seen : now->finding.verdict != witness::Verdict::pending);
    };
    std::function<std::optional<units::Instant>()> stale_at = [&place] {
        return place.view.recorded().finding.valid_until + units::Duration(1);
    };
    co_await place.waiters.wait(executor, clock_, until, std::move(is_over), std::move(stale_at));
}

} // namespace slotwitness::desk
