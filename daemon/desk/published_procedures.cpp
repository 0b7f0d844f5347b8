#include "published_procedures.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

using witness::Phase;

void PublishedProcedures::restore(std::string_view chassis,
                                  const replay::RecordedProcedure& procedure,
                                  units::Instant seen_until) {
    Shown& shown = procedures_[procedure.opened.id];
    shown.view = {std::string(chassis), procedure, 2 * procedure.changes, false};
    auto& valid_until = shown.view.record.finding.valid_until;
    if (valid_until) // nobody has looked since
        valid_until = std::min(*valid_until, seen_until);
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
        Shown& shown = procedures_[opened->id];
        shown.view.chassis = chassis;
        shown.view.record.opened = *opened;
        order_.push_back(opened->id);
    }
    for (auto& [id, shown] : procedures_) {
        if (shown.view.chassis != chassis)
            continue;
        for (const witness::Finding& finding : findings)
            show(shown, finding, recorded.stored);
    }
}

void PublishedProcedures::show(Shown& shown, const witness::Finding& finding, bool stored) {
    replay::RecordedProcedure& record = shown.view.record;
    if (stored) {
        if (!replay::take(record, finding))
            return;
        shown.view.unrecorded = false;
    } else {
        // Of what is not recorded only the word is shown, and only a worse one.
        const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
        if (!told || told->id != record.opened.id || told->word <= record.finding.word)
            return;
        record.finding.word = told->word;
        record.finding.text = told->text;
        record.finding.advice = told->advice;
        record.finding.code = told->code;
        ++shown.bad_news;
        shown.view.unrecorded = true;
    }
    shown.view.revision = 2 * (record.changes + shown.bad_news);
    shown.waiters.wake();
}

std::optional<ProcedureView> PublishedProcedures::procedure(std::string_view id) const {
    const auto found = procedures_.find(id);
    return found == procedures_.end() ? std::nullopt
                                      : std::optional(as_of(found->second.view, clock_.now()));
}

std::vector<ProcedureView> PublishedProcedures::newest_first() const {
    std::vector<ProcedureView> views;
    views.reserve(order_.size());
    std::transform(order_.rbegin(), order_.rend(), std::back_inserter(views),
                   [this](const std::string& id) { return *procedure(id); });
    return views;
}

std::optional<ProcedureView> PublishedProcedures::by_idempotency_key(std::string_view by,
                                                                     std::string_view key) const {
    for (const auto& [id, shown] : procedures_)
        if (const auto& opened = shown.view.record.opened;
            opened.idempotency_key == key && opened.by == by)
            return procedure(id);
    return std::nullopt;
}

std::optional<ProcedureView> PublishedProcedures::open_on(std::string_view chassis) const {
    for (const auto& [id, shown] : procedures_)
        if (shown.view.chassis == chassis && shown.view.record.finding.phase != Phase::closed)
            return procedure(id);
    return std::nullopt;
}

boost::asio::awaitable<void> PublishedProcedures::change(boost::asio::any_io_executor executor,
                                                         std::string id,
                                                         std::optional<std::uint64_t> seen,
                                                         units::Instant until) {
    const auto found = procedures_.find(id);
    if (found == procedures_.end())
        co_return;
    Shown& shown = found->second; // procedures are never erased, so it stays where it is
    std::function<bool()> is_over = [this, &shown, seen] {
        const ProcedureView now = as_of(shown.view, clock_.now());
        return stopping_ ||
               (seen ? now.revision != *seen : now.record.finding.phase == Phase::closed);
    };
    std::function<std::optional<units::Instant>()> stale_at = [&shown] {
        auto stale = shown.view.record.finding.valid_until;
        return stale ? std::optional(*stale + units::Duration(1)) : stale;
    };
    co_await shown.waiters.wait(executor, clock_, until, std::move(is_over), std::move(stale_at));
}

void PublishedProcedures::stop() {
    stopping_ = true;
    for (auto& [id, shown] : procedures_)
        shown.waiters.wake();
}

} // namespace slotwitness::desk
