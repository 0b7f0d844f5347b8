#pragma once

#include "../procedures/shipped.hpp"

#include <slotwitness/sheet/sheet.hpp>

namespace slotwitness::sheet {

/// The rear of the invented chassis.
inline Face rear() {
    return {"rear",
            {{{"TRAY1", "T1"}, {"TRAY2", "T2"}, {"TRAY3", "T3"}},
             {{"FAB1", "REAR 1"},
              {"FAB2", "REAR 2"},
              {"FAB3", "REAR 3"},
              {"FAB4", "REAR 4"},
              {"FAB5", "REAR 5"},
              {"FAB6", "REAR 6"}},
             {{"PSU1", ""}, {"PSU2", ""}, {"PSU3", ""}, {"PSU4", ""}}}};
}

inline SheetFacts facts() {
    return {"edge-7", rear(), "CHG-20417", "", "", ""};
}

/// As `facts`, of a procedure that is open.
inline SheetFacts facts_of_open(const procedures::FilledProcedure& filled) {
    SheetFacts open = facts();
    for (const procedures::Step& step : filled.procedure.steps)
        open.codes[step.name] = "K7F";
    for (const procedures::BackOutStep& back : filled.procedure.back_out)
        open.codes[back.step.name] = "2WM";
    return open;
}

} // namespace slotwitness::sheet
