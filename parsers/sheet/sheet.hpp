#pragma once

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// The run sheet: a procedure on one page of A4, for the rack, where often there is only a pencil
/// and a voice line.
namespace slotwitness::sheet {

/// A place of the chassis: the device's own name, and what is printed there, if it is known.
/// Without a name there is no slot.
struct Slot {
    std::string name;
    std::string label;
};
/// The side of the chassis that the technician stands before.
struct Face {
    std::string side;                    ///< "front" or "rear"
    std::vector<std::vector<Slot>> rows; ///< from the top, each from the left; none of them empty
};

/// The side on which the work slot is; where none is worked on, the front, else the rear. Nothing
/// if the profile does not show it. `label` gives what is printed at a slot, or nothing.
[[nodiscard]] std::optional<Face>
face_of(const profiles::Profile& profile, const procedures::FilledProcedure& filled,
        const std::function<std::string(const std::string& slot)>& label);

/// What the sheet says beside the procedure. What is empty or missing becomes a blank to fill in.
/// Its serial is not among it: that is to be read from the rack.
struct SheetFacts {
    std::string chassis;
    std::optional<Face> face;
    std::string ticket, window, engineer, technician;
    /// The read-back code of each step's release, of a procedure that is open. Two characters of it
    /// are printed: they tell which step of which procedure on which chassis is spoken of. The
    /// third is written down as it is heard, so that nobody reads back what they were not told.
    std::map<std::string, std::string> codes{};
    /// What is accepted as it is before the work, each in a line: "sensor inlet: it is broken".
    std::vector<std::string> accepted{};
    /// About the way of watching, each a sentence.
    std::vector<std::string> warnings{};
};

/// A whole HTML document without script and external resource, to be printed on A4. All that is
/// given is text: nothing in it can become markup.
[[nodiscard]] std::string run_sheet(const procedures::FilledProcedure& filled,
                                    const SheetFacts& facts);

} // namespace slotwitness::sheet
