#include "parts.hpp"

namespace slotwitness::sheet {
namespace {

/// What a slot has to do with the work. Each looks another way without its colour, and says so.
enum class Role { none, work, tray, stays };

Role role_of(const Slot& slot, const procedures::FilledProcedure& filled) {
    if (slot.name.empty())
        return Role::none;
    if (filled.work_slot && filled.work_slot->name == slot.name)
        return Role::work;
    return filled.tray && filled.tray == slot.name ? Role::tray : Role::none;
}

/// Beside what is worked on stands what is pulled by mistake.
Role role_in(const std::vector<Slot>& row, std::size_t place,
             const procedures::FilledProcedure& filled) {
    const Role own = role_of(row[place], filled);
    if (own != Role::none || row[place].name.empty())
        return own;
    const bool is_beside =
        (place > 0 && role_of(row[place - 1], filled) != Role::none) ||
        (place + 1 < row.size() && role_of(row[place + 1], filled) != Role::none);
    return is_beside ? Role::stays : Role::none;
}

struct Look {
    std::string_view classes;
    std::string_view says;
};
Look look_of(Role role) {
    switch (role) {
    case Role::none:
        return {"", ""};
    case Role::work:
        return {"work", "work slot"};
    case Role::tray:
        return {"tray", "comes out first"};
    case Role::stays:
        return {"stays", "stays in"};
    }
    __builtin_unreachable();
}

Markup slot(const Slot& slot, Role role) {
    if (slot.name.empty())
        return element("td", "gap", "");
    const Look look = look_of(role);
    Markup inner = element("b", "", slot.label.empty() ? slot.name : slot.label);
    if (!slot.label.empty() && slot.label != slot.name)
        inner += element("i", "", slot.name);
    if (!look.says.empty())
        inner += element("em", "", look.says);
    return element("td", look.classes, inner);
}

Markup side_boxes() {
    return element("span", "choice", "☐ front   ☐ rear");
}

Markup legend(const procedures::FilledProcedure& filled) {
    Markup marks;
    if (filled.work_slot)
        marks += element("p", "", "Mark with X the work slot " + filled.work_slot->name + ".");
    if (filled.tray && (!filled.work_slot || filled.tray != filled.work_slot->name))
        marks += element("p", "", "Mark with T fan tray " + *filled.tray + ".");
    return marks;
}

} // namespace

Markup slot_map(const procedures::FilledProcedure& filled, const std::optional<Face>& face) {
    if (!face) {
        const Markup drawing = element("p", "", "Draw what you stand before, from its labels.") +
                               legend(filled) + side_boxes();
        return element("section", "map blank",
                       element("h2", "", "Slots") + element("div", "frame", drawing));
    }
    // Rows of different length are as wide as each other, as on the chassis.
    Markup rows;
    bool is_here = !filled.work_slot;
    for (const std::vector<Slot>& row : face->rows) {
        Markup cells;
        for (std::size_t place = 0; place < row.size(); ++place) {
            cells += slot(row[place], role_in(row, place, filled));
            is_here = is_here || row[place].name == filled.work_slot->name;
        }
        rows += element("table", "row", element("tr", "", cells));
    }
    if (!is_here)
        rows += element("p", "",
                        "The work slot " + filled.work_slot->name +
                            " is not on this side. Ask the engineer where it is.");
    return element("section", "map",
                   element("h2", "", "Slots, seen from the " + face->side) + rows);
}

} // namespace slotwitness::sheet
