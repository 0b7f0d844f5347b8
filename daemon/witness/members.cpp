#include "members.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using state::Attribute;
using state::Kind;

/// Which fact of the serving component names those it serves.
std::optional<Attribute> relation(Kind serving, Kind served) {
    if (serving == Kind::module && served == Kind::plane)
        return Attribute::serves;
    if (serving == Kind::fan_tray && served == Kind::module)
        return Attribute::covers;
    return std::nullopt;
}

} // namespace

Members served_by(const View& view, Trust trust, const Component& serving, Kind kind) {
    const auto open = [](Because because) { return Members{{}, std::move(because), {}, {}}; };
    const auto attribute = relation(serving.kind, kind);
    if (!attribute)
        return open({Reason::fact_missing,
                     "The device reports nothing of what a " + spoken(serving.kind) +
                         " does for a " + spoken(kind) + ".",
                     {}});
    if (auto doubt = view.doubt(serving))
        return open(std::move(*doubt));
    if (Judgement presence = view.presence(serving, trust); presence.truth != Truth::yes)
        return open(std::move(presence.because));
    Told told = view.fact(serving, *attribute, trust);
    if (!told.value)
        return open(std::move(told.because));
    const auto* names = std::get_if<state::Names>(&*told.value);
    if (names == nullptr)
        return open({Reason::fact_missing,
                     "The device's " + std::string(state::to_word(*attribute)) + " of " +
                         spoken(serving) + " is no list of names.",
                     std::move(told.because.cites)});
    return {{names->begin(), names->end()},
            view.unread_beside(serving),
            std::move(told.because.cites),
            {}};
}

Members members_of(const View& view, Trust trust, const Inventory& inventory,
                   const sentences::Group& group) {
    Members members;
    if (group.served_by) {
        members =
            served_by(view, trust, {group.served_by->kind, group.served_by->name}, group.kind);
    } else {
        members.names = view.listed(group.kind);
        if (const Inventory::Names* names = inventory.of(group.kind))
            members.names.insert(names->begin(), names->end());
    }
    if (!members.open)
        members.open = view.may_have_more(group.kind);
    members.completeness = view.lists_of(group.kind);
    for (const std::string& name : group.except)
        members.names.erase(name);
    return members;
}

} // namespace slotwitness::witness
