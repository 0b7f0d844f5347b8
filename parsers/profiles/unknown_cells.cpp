#include "unknown_cells.hpp"

#include "attributes.hpp"

namespace slotwitness::profiles {
namespace {

std::string in_quotes(std::string_view text) {
    std::string quoted{"\""};
    return quoted.append(text).append("\"");
}

std::string text_in_cell(std::string_view text, const layouts::Cell& cell) {
    return in_quotes(text) + " in " + in_quotes(cell.label) + " ";
}

} // namespace

std::string why_not_empty(const layouts::Cell& cell) {
    return (cell.text.empty() ? in_quotes(cell.label) + " is empty"
                              : text_in_cell(cell.text, cell) + "stands for an empty cell") +
           "; where that is no fault, write required = false in its cell of the profile";
}

std::string why_missing(std::string_view label, bool complete) {
    return in_quotes(label) +
           (complete ? " is missing here; where that is no fault, write required = false in its "
                       "cell of the profile"
                     : " was not read, for lines of this block are unread");
}

std::string why_no_word(const layouts::Cell& cell, std::string_view text, const Meaning& meaning) {
    return text_in_cell(text, cell) + "is not in [words." + meaning.words +
           "]; if its meaning is known, add it there";
}

std::string why_no_quantity(const layouts::Cell& cell, std::string_view text, bool is_quantity,
                            bool fits, state::Attribute attribute) {
    const std::string said = text_in_cell(text, cell);
    if (!is_quantity)
        return said + "is not a number with a known unit";
    if (fits)
        return said + "stands for a value beyond the sensor's range (RFC 8348)";
    const units::Unit unit = unit_of(attribute).value_or(units::Unit::none);
    const std::string subject = said + "is not in the unit of " + std::string{to_word(attribute)};
    if (unit == units::Unit::none)
        return subject + ", which is a count";
    return subject + ", " + std::string{units::to_text(unit)} +
           "; a bare number takes the unit of its cell in the profile";
}

} // namespace slotwitness::profiles
