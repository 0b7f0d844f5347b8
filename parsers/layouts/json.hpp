#pragma once

#include "pointer.hpp"
#include "sheet.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A JSON document (RFC 8259) whose rows and cells are named by JSON Pointers (RFC 6901).
struct JsonSpec {
    /// The rows: with one `*`, the elements of an array or the members of an object
    /// ("/blockdevices/*"); without, the one object of one component ("/system", or "" for the
    /// whole document).
    Pointer rows;
    /// The cells, as pointers inside a row: "/name", "/addr_info/0/local", or "" where the row
    /// itself is a value. They are also the labels. "*" is the row's member name, where `rows` runs
    /// over the members of an object. None may lie inside another.
    std::vector<std::string> cells;
    /// Pointers inside the document, with `*` for any token: what is passed over on purpose. A row
    /// or a cell that lies inside is read all the same, so "/blockdevices/*/*" passes over the
    /// members that no cell names.
    std::vector<std::string> pass_over;
};

/// Reads each row as it closes. A cell is a string with its escapes undone, a number exactly as it
/// is written, "true" or "false", empty for null, or an array of those joined by ", " (not of null
/// or empty ones, or of any with a comma, which would read as others). It stands at its first byte,
/// of a string the one after the quote; its text is trimmed of blanks. A row begins at its member's
/// name, if it has one, and its text is all its lines; of a row longer than `longest_line` its
/// first line.
///
/// Unread, each with its whole text: a member or element that neither a row, a cell nor `pass_over`
/// names, inside the rows and outside; a cell that is an object, has a control byte or is longer
/// than `longest_line`; a second member of the same name, which also takes back the cells of the
/// first; an object without the path that leads to the rows. Such a row is not complete. An empty
/// array has no rows and is read. Text that is not JSON, passes a bound of json_tokens.hpp or
/// stands after the document is unread to the end of the answer; rows before it stand.
///
/// Where the text ends before its document does, the row that is open is given with the cells that
/// had ended, not complete, and the rest is unread. `ended` false says that the answer was cut: a
/// number at its end may then go on. A document that had closed is read as it is.
[[nodiscard]] Leftover read_json(std::string_view answer, const JsonSpec& spec, bool ended,
                                 const TakeBlock& take);

} // namespace slotwitness::layouts
