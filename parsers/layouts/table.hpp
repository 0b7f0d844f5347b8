#pragma once

#include "sheet.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A table: a header line, perhaps a rule line under it, rows of aligned cells.
struct TableSpec {
    enum class Edges {
        header, ///< a column begins where its header word begins (and reaches left over blanks for
                ///< right-aligned numbers)
        rule,   ///< a column is as wide as its run of dashes in the rule line ("----- ----") under
                ///< the header
        blanks, ///< no header is printed: columns are parted by blanks, the last takes the rest of
                ///< the line
    };
    Edges edges = Edges::header;
    std::vector<std::string> columns; ///< the headers, as printed, left to right; all must be there
    std::vector<std::string>
        right_aligned; ///< those of `columns` whose cells end where the header ends
    /// A row whose first column is blank continues the cells of the row above. Not with `blanks`.
    bool wraps = false;
    /// Lines passed over wherever they stand, whole and exact after trimming trailing blanks.
    std::vector<std::string> pass_over;
    /// Whole lines that stand for "there are none": the table is then read and empty. An empty text
    /// here lets an answer without any row do so.
    std::vector<std::string> empty;
    /// Rows go on after a blank line. Otherwise what follows one needs a header of its own: it is more
    /// often a footer ("4 slots listed.") than a row. No matter with `blanks`.
    bool rows_after_blank = false;
};

/// Reads every table that the header opens (a repeated header begins anew). A line before the first
/// header, a row whose cell straddles a column edge, a short rule, a tab or another control byte:
/// unread, with what was expected. Lines end in LF or CRLF.
///
/// Columns are counted in UTF-8 code points and reported in bytes. With `header`, a line of dashes
/// right under the header is passed over; a right-aligned cell ends where its header ends and
/// begins after two blanks, or after the only blank that can part it from the cell before; the last
/// column takes the rest of the line. With `rule`, no cell reaches past its dashes.
///
/// `ended` is false where the answer was cut: its unterminated last line is then unread, and with
/// `wraps` the last row too, for the rest of its cells may be missing. An answer without a header,
/// a row or a line of `empty` is not an empty table: it has an unread line that says so.
[[nodiscard]] Sheet read_table(std::string_view answer, const TableSpec& spec, bool ended);

} // namespace slotwitness::layouts
