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

/// The members that one component serves: known only if the device tells it now, for what an absent
/// module served, no answer says.
Members served(const View& view, Trust trust, const Component& serving, Kind kind) {
    const auto attribute = relation(serving.kind, kind);
    if (!attribute)
        return {{},
                Because{Reason::fact_missing,
                        "The device reports nothing of what a " + spoken(serving.kind) +
                            " does for a " + spoken(kind) + ".",
                        {}}};
    if (auto doubt = view.doubt(serving))
        return {{}, std::move(doubt)};
    if (Judgement presence = view.presence(serving, trust); presence.truth != Truth::yes)
        return {{}, std::move(presence.because)};
    Told told = view.fact(serving, *attribute, trust);
    if (!told.value)
        return {{}, std::move(told.because)};
    const auto* names = std::get_if<state::Names>(&*told.value);
    if (names == nullptr)
        return {{},
                Because{Reason::fact_missing,
                        "The device's " + std::string(state::to_word(*attribute)) + " of " +
                            spoken(serving) + " is no list of names.",
                        std::move(told.because.cites)}};
    return {{names->begin(), names->end()}, view.unread_beside(serving)};
}

} // namespace

Members members_of(const View& view, Trust trust, const Inventory& inventory,
                   const sentences::Group& group) {
    Members members;
    if (group.served_by) {
        members = served(view, trust, {group.served_by->kind, group.served_by->name}, group.kind);
    } else {
        members.names = view.listed(group.kind);
        if (const Inventory::Names* names = inventory.of(group.kind))
            members.names.insert(names->begin(), names->end());
    }
    if (!members.open)
        members.open = view.may_have_more(group.kind);
    for (const std::string& name : group.except)
        members.names.erase(name);
    return members;
}

} // namespace slotwitness::witness
