#include "post.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/sheet/sheet.hpp>
#include <slotwitness/witness/course.hpp>
#include <slotwitness/witness/say.hpp>

#include <algorithm>

// What goes to a printer.
namespace slotwitness::desk {

namespace {

/// As the device reports it at its slots; nothing if it does not.
std::string label_in(const ChassisView& chassis, const std::string& slot) {
    for (const ComponentView& component : chassis.components) {
        const auto label = component.row.facts.find(state::Attribute::label);
        if (component.row.name != slot || label == component.row.facts.end())
            continue;
        if (const auto* text = std::get_if<std::string>(&label->second.value))
            return *text;
    }
    return "";
}

} // namespace

tl::expected<std::string, Refusal> LiveDesk::run_sheet(std::string_view id) const {
    const auto view = published_procedures_->procedure(id);
    if (!view)
        return tl::unexpected(refusal(Refusal::Kind::no_such_procedure, std::string(id), "",
                                      "list the procedures to see their ids"));
    const witness::ProcedureOpened& opened = view->record.opened;
    const auto written = std::find_if(book_.begin(), book_.end(), [&](const auto& each) {
        return journal::digest_of(each.second.text) == opened.text;
    });
    if (written == book_.end())
        return tl::unexpected(refusal(
            Refusal::Kind::not_done, "no file of the configuration that reads as it did then",
            "the procedure's file as it was when the procedure was opened",
            "put the file back as it was, or go on without a sheet: the steps are shown here"));
    const auto filled = procedures::fill_procedure(written->second.procedure, opened.arguments);
    if (!filled)
        return tl::unexpected(Refusal{Refusal::Kind::not_done, filled.error().front()});
    sheet::SheetFacts facts{view->chassis, {}, opened.ticket, opened.window, "", "", {}, {}};
    if (const auto chassis = this->chassis(view->chassis))
        facts.face =
            sheet::face_of(*posts_.find(view->chassis)->second->settings.profile, *filled,
                           [&](const std::string& slot) { return label_in(*chassis, slot); });
    for (const witness::Exception& each : opened.handback.accepted)
        facts.accepted.push_back(witness::spoken(each.component) + ": " + each.reason);
    facts.warnings = opened.warnings;
    facts.codes = witness::release_codes(opened);
    return sheet::run_sheet(*filled, facts);
}

} // namespace slotwitness::desk
