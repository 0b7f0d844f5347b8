#include "from_journal.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/procedures/procedure.hpp>
#include <slotwitness/replay/reread.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::card {

namespace {

using journal::StoreError;

/// The component that the procedure's file names as worked on; nothing where this version no
/// longer reads the file.
tl::expected<std::optional<sentences::Named>, StoreError>
work_slot_of(journal::Store& store, const witness::ProcedureOpened& opened) {
    if (opened.text.empty())
        return std::nullopt;
    const auto text = store.capture(opened.text);
    if (!text)
        return tl::unexpected(text.error());
    if (!*text)
        return std::nullopt;
    const auto procedure = procedures::parse_procedure({"procedure " + opened.id, **text});
    if (!procedure)
        return std::nullopt;
    auto filled = procedures::fill_procedure(*procedure, opened.arguments);
    return filled ? std::move(filled->work_slot) : std::nullopt;
}

bool is_refused(const std::string& id, const std::vector<witness::Finding>& findings) {
    return std::any_of(findings.begin(), findings.end(), [&](const witness::Finding& finding) {
        const auto* gate = std::get_if<witness::GateRefused>(&finding);
        const auto* procedure = std::get_if<witness::ProcedureRefused>(&finding);
        return (gate != nullptr && gate->id == id) ||
               (procedure != nullptr && procedure->procedure == id);
    });
}

/// Takes a chassis' entries in order.
class Collector {
  public:
    Collector(journal::Store& store, std::string_view chassis)
        : store_(store), rereader_(store), chassis_(chassis) {}

    tl::expected<void, StoreError> take(const journal::Entry& entry, journal::Decoded decoded) {
        if (const auto* gate = std::get_if<witness::GateOpened>(&decoded.event.what);
            gate != nullptr && !is_refused(gate->id, decoded.findings))
            result.gates.push_back({*gate, {}, 0});
        if (const auto* opened = std::get_if<witness::ProcedureOpened>(&decoded.event.what);
            opened != nullptr && !is_refused(opened->id, decoded.findings)) {
            auto slot = work_slot_of(store_, *opened);
            if (!slot)
                return tl::unexpected(std::move(slot.error()));
            result.procedures.push_back({chassis_, {}, {}, std::move(*slot)});
            result.procedures.back().procedure.opened = *opened;
        }
        // Answers are of use to a procedure under way; a run's start brings the profile.
        const bool is_answer = std::holds_alternative<witness::Answered>(decoded.event.what);
        if (!is_answer || is_one_open()) {
            auto reread = rereader_.reread(entry, std::move(decoded));
            if (!reread)
                return tl::unexpected(std::move(reread.error()));
            decoded = std::move(reread->decoded);
        }
        for (Record& record : result.procedures) {
            record.trail.take(record.procedure.opened.id, decoded.event, decoded.findings);
            for (const witness::Finding& finding : decoded.findings)
                replay::take(record.procedure, finding);
        }
        for (const witness::Finding& finding : decoded.findings)
            if (const auto* told = std::get_if<witness::GateFinding>(&finding))
                for (replay::RecordedGate& gate : result.gates)
                    if (gate.opened.id == told->id)
                        gate.finding = *told;
        result.last = decoded.event.at;
        return {};
    }

    FromJournal result;

  private:
    [[nodiscard]] bool is_one_open() const {
        return std::any_of(result.procedures.begin(), result.procedures.end(),
                           [](const Record& record) { return !record.trail.closed; });
    }

    journal::Store& store_;
    replay::Rereader rereader_;
    std::string chassis_;
};

} // namespace

tl::expected<FromJournal, StoreError> from_journal(journal::Store& store, std::string_view chassis,
                                                   std::optional<Instant> until) {
    const auto entries = store.entries(chassis);
    if (!entries)
        return tl::unexpected(entries.error());
    Collector collector(store, chassis);
    for (const journal::Entry& entry : *entries) {
        auto decoded = journal::from_line(entry.line);
        if (!decoded)
            return tl::unexpected(
                StoreError{StoreError::Kind::damaged, "entry " + std::to_string(entry.sequence) +
                                                          " of chassis " + entry.chassis + ": " +
                                                          decoded.error()});
        if (until && decoded->event.at > *until)
            break;
        if (auto taken = collector.take(entry, std::move(*decoded)); !taken)
            return tl::unexpected(std::move(taken.error()));
    }
    return std::move(collector.result);
}

} // namespace slotwitness::card
