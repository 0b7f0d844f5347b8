#include "post.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/sheet/sheet.hpp>
#include <slotwitness/witness/course.hpp>
#include <slotwitness/witness/say.hpp>

#include <algorithm>

// What goes to a printer.
namespace slotwitness::desk {

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
    const Post& post = *posts_.find(view->chassis)->second;
    facts.face = sheet::face_of(*post.settings.profile, *filled, [&](const std::string& slot) {
        return post.timeline.label_at(slot);
    });
    for (const witness::Exception& each : opened.handback.accepted)
        facts.accepted.push_back(witness::spoken(each.component) + ": " + each.reason);
    facts.warnings = opened.warnings;
    facts.codes = witness::release_codes(opened);
    return sheet::run_sheet(*filled, facts);
}

} // namespace slotwitness::desk
