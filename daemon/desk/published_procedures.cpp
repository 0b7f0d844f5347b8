#include "published_procedures.hpp"

#include "published.hpp"

#include <algorithm>
#include <type_traits>
#include <utility>
#include <variant>

namespace slotwitness::desk {

using witness::Phase;

namespace {

/// Whether it tells something of this procedure: a refusal does not.
bool is_about(const witness::Finding& finding, std::string_view procedure) {
    return std::visit(
        [&]<class Told>(const Told& told) {
            if constexpr (std::is_same_v<Told, witness::ProcedureFinding>)
                return told.id == procedure;
            else if constexpr (std::is_same_v<Told, witness::ProcedureRefused>)
                return false;
            else if constexpr (requires { told.procedure; })
                return told.procedure == procedure;
            else
                return false;
        },
        finding);
}

} // namespace

void PublishedProcedures::restore(std::string_view chassis,
                                  const replay::RecordedProcedure& procedure,
                                  units::Instant seen_until) {
    ProcedureView view{std::string(chassis), procedure, 2 * procedure.changes, false};
    auto& valid_until = view.record.finding.valid_until;
    if (valid_until) // nobody has looked since
        valid_until = std::min(*valid_until, seen_until);
    procedures_[procedure.opened.id].view = Snapshot(std::move(view));
    order_.push_back(procedure.opened.id);
}

void PublishedProcedures::take(std::string_view chassis, const Recorded& recorded) {
    const auto* opened = std::get_if<witness::ProcedureOpened>(&recorded.event.what);
    const auto told = [&](const witness::Finding& finding) {
        const auto* procedure = std::get_if<witness::ProcedureFinding>(&finding);
        return procedure && procedure->id == opened->id;
    };
    const auto& findings = recorded.outcome.findings;
    if (opened && recorded.stored && std::any_of(findings.begin(), findings.end(), told) &&
        !procedures_.contains(opened->id)) {
        ProcedureView view;
        view.chassis = chassis;
        view.record.opened = *opened;
        procedures_[opened->id].view = Snapshot(std::move(view));
        order_.push_back(opened->id);
    }
    for (auto& [id, place] : procedures_) {
        if (place.view.recorded().chassis != chassis)
            continue;
        for (const witness::Finding& finding : findings)
            if (is_about(finding, id))
                show(place, finding, recorded.stored);
    }
}

void PublishedProcedures::show(Place& place, const witness::Finding& finding, bool stored) {
    // Of what is not recorded only the word is shown, and only a worse one.
    const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
    if (!stored && (told == nullptr || told->word <= place.view.recorded().record.finding.word))
        return;
    place.view.change([&](ProcedureView& view) {
        witness::ProcedureFinding& shown = view.record.finding;
        if (stored) {
            static_cast<void>(replay::take(view.record, finding));
        } else {
            shown.word = told->word;
            shown.text = told->text;
            shown.advice = told->advice;
            shown.code = told->code;
            ++place.bad_news;
        }
        view.unrecorded = !stored;
        view.revision = 2 * (view.record.changes + place.bad_news);
    });
    place.waiters.wake();
}

SharedView<ProcedureView> PublishedProcedures::procedure(std::string_view id) const {
    const auto found = procedures_.find(id);
    return found == procedures_.end() ? nullptr : found->second.view.at(clock_.now());
}

std::vector<SharedView<ProcedureView>> PublishedProcedures::newest_first() const {
    std::vector<SharedView<ProcedureView>> views;
    views.reserve(order_.size());
    std::transform(order_.rbegin(), order_.rend(), std::back_inserter(views),
                   [this](const std::string& id) { return procedure(id); });
    return views;
}

SharedView<ProcedureView> PublishedProcedures::by_idempotency_key(std::string_view by,
                                                                  std::string_view key) const {
    for (const auto& [id, place] : procedures_)
        if (const auto& opened = place.view.recorded().record.opened;
            opened.idempotency_key == key && opened.by == by)
            return procedure(id);
    return nullptr;
}

SharedView<ProcedureView> PublishedProcedures::open_on(std::string_view chassis) const {
    for (const auto& [id, place] : procedures_)
        if (const ProcedureView& view = place.view.recorded();
            view.chassis == chassis && view.record.finding.phase != Phase::closed)
            return procedure(id);
    return nullptr;
}

void PublishedProcedures::add_open(std::span<ChassisSummary> chassis) const {
    for (const auto& [id, place] : procedures_) {
        const ProcedureView& view = place.view.recorded();
        if (view.record.finding.phase == Phase::closed)
            continue;
        ChassisSummary* of = find(chassis, view.chassis);
        if (of != nullptr && !of->procedure)
            of->procedure = view.record.opened.id;
    }
}

boost::asio::awaitable<void> PublishedProcedures::change(boost::asio::any_io_executor executor,
                                                         std::string id,
                                                         std::optional<std::uint64_t> seen,
                                                         units::Instant until) {
    const auto found = procedures_.find(id);
    if (found == procedures_.end())
        co_return;
    Place& place = found->second; // procedures are never erased, so it stays where it is
    std::function<bool()> is_over = [this, &place, seen] {
        const auto now = place.view.at(clock_.now());
        return stopping_ ||
               (seen ? now->revision != *seen : now->record.finding.phase == Phase::closed);
    };
    std::function<std::optional<units::Instant>()> stale_at = [&place] {
        auto stale = place.view.recorded().record.finding.valid_until;
        return stale ? std::optional(*stale + units::Duration(1)) : stale;
    };
    co_await place.waiters.wait(executor, clock_, until, std::move(is_over), std::move(stale_at));
}

void PublishedProcedures::stop() {
    stopping_ = true;
    for (auto& [id, place] : procedures_)
        place.waiters.wake();
}

} // namespace slotwitness::desk
