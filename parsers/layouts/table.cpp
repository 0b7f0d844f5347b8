#include "table.hpp"

#include "glyphs.hpp"
#include "lines.hpp"
#include "open_row.hpp"
#include "table_edges.hpp"
#include "table_header.hpp"
#include "table_rows.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

class TableReader {
  public:
    TableReader(const TableSpec& spec, bool ended, const TakeBlock& take)
        : spec_(spec), ended_(ended), take_(take), header_(spec), edges_(spec),
          place_(spec.heading.empty() ? first_place() : Place::before_heading) {}

    Leftover read(std::string_view answer, Octets octets) && {
        LineSplitter splitter{answer, octets};
        Line last{1, "", true};
        while (splitter.next(last))
            read_line(last);
        refuse_header_in_part();
        if (!ended_ && spec_.wraps)
            row_.give_up(left_.unread);
        row_.close(take_);
        if (!found_ && !is_one_of("", spec_.empty))
            left_.unread.push_back(unread(last, 1, opening() + " before the end of the answer"));
        std::stable_sort(left_.unread.begin(), left_.unread.end(),
                         [](const auto& a, const auto& b) { return a.line < b.line; });
        return std::move(left_);
    }

  private:
    using Edges = TableSpec::Edges;
    enum class Place {
        before_heading,
        elsewhere,
        before_header,
        under_header,
        rule_seen,
        rows,
        after_rows
    };

    void read_line(const Line& line) {
        if (!line.ended && !ended_) {
            refuse(line, line.text.size() + 1, "the rest of this line: the answer was cut here");
            return;
        }
        if (read_headings(line))
            return;
        if (is_blank(line.text)) {
            row_.close(take_);
            if (place_ == Place::rows && !spec_.rows_after_blank && spec_.edges != Edges::blanks)
                place_ = Place::after_rows;
            return;
        }
        if (place_ == Place::elsewhere || is_one_of(line.text, spec_.pass_over) ||
            spec_.pass_over_rules.takes(line.text, scratch_)) {
            left_.set_aside.push_back(line.number);
            return;
        }
        if (is_one_of(line.text, spec_.empty)) {
            found_ = true;
            row_.close(take_);
            return;
        }
        if (line.printable)
            glyphs_.show_ascii(line.text);
        else
            glyphs_.show(line.text);
        if (!line.printable || line.text.size() > longest_line)
            if (const auto problem = illegible(line)) {
                refuse(line, problem->column, problem->expected);
                return;
            }
        if (place_ == Place::before_heading)
            refuse(line, 1, "the heading " + in_quotes(spec_.heading));
        else if (!read_header(line))
            read_in_table(line);
    }

    /// Where the answer has several tables: which of them this line is in.
    bool read_headings(const Line& line) {
        const bool ours = !spec_.heading.empty() && is_one_of(line.text, {&spec_.heading, 1});
        if (!ours && (spec_.other_headings.empty() || !is_one_of(line.text, spec_.other_headings)))
            return false;
        refuse_header_in_part();
        row_.close(take_);
        group_.reset();
        if (ours)
            place_ = first_place();
        else
            left_.set_aside.push_back(line.number);
        if (!ours)
            place_ = Place::elsewhere;
        return true;
    }

    bool read_header(const Line& line) {
        const bool was_in_part = !header_lines_.empty();
        switch (header_.read(glyphs_)) {
        case HeaderReader::Seen::other:
            if (was_in_part)
                refuse_header_in_part();
            return false;
        case HeaderReader::Seen::part:
            if (was_in_part && header_.is_first())
                refuse_header_in_part();
            header_lines_.push_back(line);
            return true;
        case HeaderReader::Seen::whole:
            begin_table(line);
            return true;
        }
        __builtin_unreachable();
    }

    void begin_table(const Line& line) {
        if (const auto misfit = edges_.begin(header_.columns())) {
            refuse(line, *misfit);
            place_ = first_place();
            return;
        }
        header_lines_.clear();
        row_.close(take_);
        place_ = spec_.edges == Edges::blanks ? Place::rows : Place::under_header;
        found_ = found_ || spec_.edges == Edges::header || spec_.edges == Edges::blanks;
    }

    void read_in_table(const Line& line) {
        if (spec_.edges == Edges::box && place_ != Place::under_header &&
            edges_.is_border(glyphs_, place_ == Place::before_header)) {
            row_.close(take_);
            return;
        }
        if (place_ != Place::under_header && read_group(line))
            return;
        if (place_ == Place::before_header || place_ == Place::after_rows) {
            refuse(line, 1, opening() + (place_ == Place::after_rows ? " after a blank line" : ""));
            return;
        }
        if (place_ == Place::under_header && spec_.edges != Edges::header) {
            begin_rows(line);
            return;
        }
        if (place_ == Place::under_header && edges_.take_underline(line.text)) {
            place_ = Place::rule_seen;
            return;
        }
        if (edges_.is_rule_again(line.text))
            row_.close(take_);
        else
            read_row(line);
    }

    /// The rule or border line gives the columns their widths.
    void begin_rows(const Line& line) {
        place_ = first_place();
        if (const auto misfit = edges_.take_widths(glyphs_)) {
            refuse(line, *misfit);
            return;
        }
        place_ = Place::rule_seen;
        found_ = true;
    }

    bool read_group(const Line& line) {
        if (spec_.group.empty())
            return false;
        const auto name = after_words(line.text, spec_.group);
        if (!name)
            return false;
        row_.close(take_);
        const auto column = static_cast<std::size_t>(name->data() - line.text.data()) + 1;
        group_ = Cell{spec_.group, *name, {line.number, column}};
        return true;
    }

    void read_row(const Line& line) {
        if (const auto misfit = edges_.cut(glyphs_, cuts_)) {
            refuse(line, *misfit);
            return;
        }
        if (!glyphs_.is_ascii()) // else a place is a byte
            for (Stretch& cell : cuts_)
                cell = {glyphs_.byte_of(cell.begin), glyphs_.byte_of(cell.end)};
        place_ = Place::rows;
        found_ = true;
        const bool continues = spec_.wraps && cuts_.front().begin == cuts_.front().end;
        if (continues && row_.is_open()) {
            row_.go_on(line, cuts_);
        } else if (continues) {
            refuse(line, 1,
                   "a row above that this line continues, or its own " +
                       in_quotes(spec_.columns.front()));
        } else if (!spec_.group.empty() && !group_) {
            refuse(line, 1,
                   "a line that begins with " + in_quotes(spec_.group) +
                       " above the rows of each group");
        } else {
            const Cell* group = group_ ? &*group_ : nullptr;
            row_.close(take_);
            if (spec_.wraps)
                row_.begin(line, cuts_, edges_.columns(), group);
            else
                row_.pass(line, cuts_, edges_.columns(), group, take_);
        }
    }

    /// The line is the one that the glyphs show.
    void refuse(const Line& line, const Misfit& misfit) {
        refuse(line, glyphs_.byte_of(misfit.place) + 1, misfit.expected);
    }

    void refuse(const Line& line, std::size_t column, std::string expected) {
        refuse_header_in_part();
        if (may_continue(line))
            row_.give_up(left_.unread);
        row_.close(take_);
        // It may have headed the next group.
        group_.reset();
        left_.unread.push_back(unread(line, column, std::move(expected)));
    }

    void refuse_header_in_part() {
        for (const Line& line : std::exchange(header_lines_, {}))
            left_.unread.push_back(
                unread(line, line.text.size() + 1, "the next line of the header"));
    }

    /// Its first column may be blank; what stands there is a blank or cannot be seen.
    [[nodiscard]] bool may_continue(const Line& line) const {
        return spec_.wraps && (line.text.empty() || spec_.edges == Edges::box ||
                               static_cast<unsigned char>(line.text.front()) <= ' ');
    }

    [[nodiscard]] Place first_place() const {
        return spec_.edges == Edges::blanks && spec_.header.empty() ? Place::rows
                                                                    : Place::before_header;
    }

    [[nodiscard]] std::string opening() const {
        std::string text{header_.is_printed() ? "the header" : "a row of the columns"};
        for (const std::string& column : spec_.columns)
            text.append(" ").append(in_quotes(column));
        return text;
    }

    const TableSpec& spec_;
    bool ended_;
    const TakeBlock& take_;
    HeaderReader header_;
    TableEdges edges_;
    Place place_;
    Leftover left_;
    Glyphs glyphs_; ///< of the line being read
    Cuts cuts_;
    std::vector<Line> header_lines_; ///< of a header that is not yet whole
    std::optional<Cell> group_;
    OpenRow row_;
    abnf::Scratch scratch_;
    bool found_ = false; ///< a header, a row or a line that stands for "none"
};

/// A specification that no table can meet: nothing is read by it.
Leftover read_nothing(std::string_view answer) {
    Leftover left;
    LineSplitter splitter{answer};
    Line line;
    while (splitter.next(line))
        left.unread.push_back(unread(
            line, 1, "a table described by 1 to " + std::to_string(most_columns) + " columns"));
    return left;
}

} // namespace

Leftover read_table(std::string_view answer, const TableSpec& spec, bool ended,
                    const TakeBlock& take, Octets octets) {
    if (spec.columns.empty() || spec.columns.size() > most_columns)
        return read_nothing(answer);
    return TableReader{spec, ended, take}.read(answer, octets);
}

} // namespace slotwitness::layouts
