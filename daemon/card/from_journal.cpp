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

bool is_another(const replay::RecordedGate& gate, const std::vector<Record>& procedures) {
    return std::none_of(procedures.begin(), procedures.end(), [&](const Record& record) {
        return gate.opened.id.starts_with(record.procedure.opened.id + ".");
    });
}

} // namespace

tl::expected<FromJournal, StoreError> from_journal(journal::Store& store,
                                                   std::string_view chassis) {
    auto recovered = replay::recover_fully(store, chassis);
    if (!recovered)
        return tl::unexpected(std::move(recovered.error()));
    FromJournal result;
    result.last = recovered->last_instant;
    for (replay::RecordedProcedure& procedure : recovered->procedures) {
        auto slot = work_slot_of(store, procedure.opened);
        if (!slot)
            return tl::unexpected(std::move(slot.error()));
        result.procedures.push_back(
            {std::string(chassis), std::move(procedure), {}, std::move(*slot)});
    }
    for (replay::RecordedGate& gate : recovered->gates)
        if (is_another(gate, result.procedures))
            result.gates.push_back(std::move(gate));

    const auto entries = store.entries(chassis);
    if (!entries)
        return tl::unexpected(entries.error());
    replay::Rereader rereader(store);
    std::size_t opened = 0; // of the procedures, in order, and not refused: as recovery has them
    for (const journal::Entry& entry : *entries) {
        auto decoded = journal::from_line(entry.line);
        if (!decoded)
            return tl::unexpected(StoreError{StoreError::Kind::damaged, decoded.error()});
        auto reread = rereader.reread(entry, std::move(*decoded));
        if (!reread)
            return tl::unexpected(std::move(reread.error()));
        const witness::Event& event = reread->decoded.event;
        if (const auto* opening = std::get_if<witness::ProcedureOpened>(&event.what);
            opening != nullptr && opened < result.procedures.size() &&
            *opening == result.procedures[opened].procedure.opened)
            ++opened;
        for (std::size_t i = 0; i < opened; ++i)
            result.procedures[i].trail.take(result.procedures[i].procedure.opened.id, event,
                                            reread->decoded.findings);
    }
    return result;
}

} // namespace slotwitness::card
