#include "parts.hpp"

namespace slotwitness::sheet {
namespace {

Markup slot(const Slot& slot, const procedures::FilledProcedure& filled) {
    const bool is_work = filled.work_slot && filled.work_slot->name == slot.name;
    const bool is_tray = filled.tray && filled.tray == slot.name;
    Markup inner = element("b", "", slot.label.empty() ? slot.name : slot.label);
    if (!slot.label.empty() && slot.label != slot.name)
        inner += element("i", "", slot.name);
    if (is_work)
        inner += element("em", "", "work slot");
    else if (is_tray)
        inner += element("em", "", "comes out first");
    return element("td", is_work ? "work" : is_tray ? "tray" : "", inner);
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
        for (const Slot& each : row) {
            cells += slot(each, filled);
            is_here = is_here || each.name == filled.work_slot->name;
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
