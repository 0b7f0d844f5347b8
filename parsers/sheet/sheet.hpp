#pragma once

#include <slotwitness/procedures/arguments.hpp>

#include <optional>
#include <string>
#include <vector>

/// The run sheet: a procedure on one page of A4, for the rack, where often there is only a pencil
/// and a voice line.
namespace slotwitness::sheet {

/// A place of the chassis: the device's own name, and what is printed there, if it is known.
struct Slot {
    std::string name;
    std::string label;
};
/// The side of the chassis that the technician stands before.
struct Face {
    std::string side;                    ///< "front" or "rear"
    std::vector<std::vector<Slot>> rows; ///< from the top, each from the left; none of them empty
};

/// What the sheet says beside the procedure. What is empty or missing becomes a blank to fill in.
struct SheetFacts {
    std::string chassis;
    std::string serial;
    std::optional<Face> face;
    std::string ticket, window, engineer, technician;
};

/// A whole HTML document without script and external resource, to be printed on A4. All that is
/// given is text: nothing in it can become markup.
[[nodiscard]] std::string run_sheet(const procedures::FilledProcedure& filled,
                                    const SheetFacts& facts);

} // namespace slotwitness::sheet
