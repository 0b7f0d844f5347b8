#pragma once

#include "line_rules.hpp"
#include "sheet.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A table: a header of one or more lines, perhaps a rule line under it, rows of cells.
struct TableSpec {
    enum class Edges {
        header, ///< a column begins where its header word begins (and reaches left over blanks for
                ///< right-aligned numbers)
        rule,   ///< a column is as wide as its run of dashes in the rule line ("----- ----") under
                ///< the header
        box, ///< a column stands between the bars, where the border lines ("+----+", "├──┼──┤")
             ///< have their junctions
        blanks, ///< columns are parted by blanks, the last takes the rest of the line
    };
    Edges edges = Edges::header;
    std::vector<std::string> columns{}; ///< the headers, left to right; all must be there
    std::vector<std::string>
        right_aligned{}; ///< those of `columns` whose cells end where the header ends
    /// A row whose first column is blank continues the cells of the row above. Not with `blanks`.
    bool wraps = false;
    /// Lines passed over wherever they stand, whole and exact after trimming trailing blanks.
    std::vector<std::string> pass_over{};
    /// Whole lines that stand for "there are none": the table is then read and empty. An empty text
    /// here lets an answer without any row do so.
    std::vector<std::string> empty{};
    LineMatcher pass_over_rules{}; ///< lines passed over too, described in ABNF
    /// Rows go on after a blank line. Otherwise what follows one below a row needs a header of its
    /// own: it is more often a footer ("4 slots listed.") than a row. No matter with `blanks`.
    bool rows_after_blank = false;
    /// How the header is printed, line by line, a text a column ("" where the column has none in
    /// this line). Empty: one line, `columns` as they are. With `blanks` no header is printed
    /// unless one stands here.
    std::vector<std::vector<std::string>> header{};
    /// How many blanks part two cells at least, with `blanks`: 2 lets a cell have blanks inside.
    std::size_t gap = 1;
    /// The line above this table, where the answer has several. Nothing is read before it.
    std::string heading{};
    /// Lines that begin other tables: each is set aside with all that follows it, up to `heading`.
    std::vector<std::string> other_headings{};
    /// The word or words that begin a line between rows ("Shelf 2:"); what follows them is a cell
    /// of this label in each row below, up to the next such line.
    std::string group{};
};

/// Reads every table that the header opens (a repeated header begins anew). A line before the first
/// header, a row whose cell straddles a column edge, a short rule, a tab or another control byte:
/// unread, with what was expected. Lines end in LF or CRLF.
///
/// Columns are counted in UTF-8 code points and reported in bytes. With `header`, a line of dashes
/// right under the header is passed over, and again wherever it stands below; a right-aligned cell
/// ends where its header ends and begins after the last two blanks, or after the only blank that
/// can part it from the cell before, which ends left of this header; the last column takes the rest
/// of the line. With `rule`, no cell reaches past its dashes. With `box`, bars stand exactly under
/// the junctions of the border line under the header; the outer ones may be left out.
///
/// `ended` is false where the answer was cut: its unterminated last line is then unread, and with
/// `wraps` the last row too, for the rest of its cells may be missing. An answer without a header,
/// a row or a line of `empty` is not an empty table: it has an unread line that says so.
[[nodiscard]] Leftover read_table(std::string_view answer, const TableSpec& spec, bool ended,
                                  const TakeBlock& take, Octets octets = Octets::any);

} // namespace slotwitness::layouts
