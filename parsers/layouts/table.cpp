#include "table.hpp"

#include "glyphs.hpp"
#include "lines.hpp"
#include "table_lines.hpp"
#include "table_rows.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

class TableReader {
  public:
    TableReader(const TableSpec& spec, bool ended) : spec_(spec), ended_(ended) {}

    Sheet read(std::string_view answer) && {
        const std::vector<Line> lines = split_lines(answer);
        for (const Line& line : lines)
            read_line(line);
        if (!ended_)
            give_up_open_row();
        const bool may_say_nothing = is_one_of("", spec_.empty);
        if (!found_ && !may_say_nothing)
            sheet_.unread.push_back(unread(lines.empty() ? Line{1, "", true} : lines.back(), 1,
                                           opening() + " before the end of the answer"));
        std::stable_sort(sheet_.unread.begin(), sheet_.unread.end(),
                         [](const auto& a, const auto& b) { return a.line < b.line; });
        return std::move(sheet_);
    }

  private:
    using Edges = TableSpec::Edges;
    enum class Place { before_header, under_header, rule_seen, rows, after_rows };

    void read_line(const Line& line) {
        if (!line.ended && !ended_) {
            refuse(line, line.text.size() + 1, "the rest of this line: the answer was cut here");
            return;
        }
        if (is_one_of(line.text, spec_.pass_over) && !is_blank(line.text)) {
            sheet_.set_aside.push_back(line.number);
            return;
        }
        if (is_blank(line.text)) {
            open_row_.clear();
            if (place_ == Place::rows && !spec_.rows_after_blank)
                place_ = Place::after_rows;
            return;
        }
        if (is_one_of(line.text, spec_.empty)) {
            found_ = true;
            open_row_.clear();
            return;
        }
        if (const auto problem = illegible(line)) {
            refuse(line, problem->column, problem->expected);
            return;
        }
        if (spec_.edges == Edges::blanks)
            read_words(line);
        else if (auto header = parse_header(line.text, spec_.columns))
            begin_table(line, *header);
        else
            read_in_table(line);
    }

    void read_words(const Line& line) {
        const auto words = parse_words(line.text);
        const std::size_t needed = spec_.columns.size() - 1; // the last may be empty
        if (!words || words->size() < needed) {
            const std::size_t missing = words ? words->size() : 0;
            refuse(line, line.text.size() + 1, "the column " + in_quotes(spec_.columns[missing]));
            return;
        }
        found_ = true;
        Block block{{line.number, words->front().begin + 1}, std::string{line.text}, {}, true};
        for (std::size_t i = 0; i < spec_.columns.size(); ++i) {
            Stretch cell{line.text.size(), line.text.size()};
            if (i < words->size())
                cell = i < needed ? (*words)[i] : Stretch{(*words)[i].begin, words->back().end};
            block.cells.push_back({spec_.columns[i],
                                   std::string{line.text.substr(cell.begin, cell.end - cell.begin)},
                                   {line.number, cell.begin + 1}});
        }
        sheet_.blocks.push_back(std::move(block));
    }

    void begin_table(const Line& line, const std::vector<Stretch>& header) {
        const Glyphs glyphs{line.text};
        columns_.clear();
        for (std::size_t i = 0; i < header.size(); ++i)
            columns_.push_back({spec_.columns[i], glyphs.place_of(header[i].begin),
                                glyphs.place_of(header[i].end), is_right_aligned(i)});
        place_ = Place::under_header;
        rule_.clear();
        open_row_.clear();
        found_ = found_ || spec_.edges == Edges::header;
    }

    void read_in_table(const Line& line) {
        const bool first = place_ == Place::under_header;
        if (place_ == Place::before_header || place_ == Place::after_rows) {
            refuse(line, 1, opening() + (place_ == Place::after_rows ? " after a blank line" : ""));
            return;
        }
        if (first && spec_.edges == Edges::rule) {
            begin_rows(line);
            return;
        }
        if (first && underlines(line)) {
            place_ = Place::rule_seen;
            rule_ = without_trailing_blanks(line.text);
            return;
        }
        if (!rule_.empty() && without_trailing_blanks(line.text) == rule_) {
            open_row_.clear();
            return;
        }
        read_row(line);
    }

    /// Dashes under a header that needs none. A single dash may be a cell that stands for nothing.
    static bool underlines(const Line& line) {
        const auto runs = parse_rule(line.text);
        return runs && std::all_of(runs->begin(), runs->end(),
                                   [](const Stretch& run) { return run.end - run.begin > 1; });
    }

    /// The rule line gives the columns their widths.
    void begin_rows(const Line& line) {
        place_ = Place::before_header;
        const auto runs = parse_rule(line.text);
        if (!runs) {
            refuse(line, 1, "a line of dashes under the header");
            return;
        }
        if (runs->size() != columns_.size()) {
            refuse(line, line.text.size() + 1,
                   std::to_string(columns_.size()) + " runs of dashes, one a column");
            return;
        }
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            const Stretch run = (*runs)[i]; // dashes are one byte a place
            if (columns_[i].begin < run.begin || columns_[i].end > run.end) {
                refuse(line, run.begin + 1, "dashes under all of " + in_quotes(columns_[i].label));
                return;
            }
            columns_[i].begin = run.begin;
            columns_[i].end = run.end;
        }
        place_ = Place::rule_seen;
        rule_ = without_trailing_blanks(line.text);
        found_ = true;
    }

    void read_row(const Line& line) {
        place_ = Place::rows;
        const Glyphs glyphs{line.text};
        auto cuts = spec_.edges == Edges::rule ? cut_under_rule(glyphs, columns_)
                                               : cut_under_header(glyphs, columns_);
        if (!cuts) {
            refuse(line, glyphs.byte_of(cuts.error().place) + 1, cuts.error().expected);
            return;
        }
        const bool continues = spec_.wraps && cuts->front().begin == cuts->front().end;
        if (continues && open_row_.empty()) {
            refuse(line, 1,
                   "a row above that this line continues, or its own " +
                       in_quotes(columns_.front().label));
            return;
        }
        if (!continues) {
            sheet_.blocks.push_back({{line.number, 0}, "", {}, true});
            open_row_.clear();
        }
        Block& block = sheet_.blocks.back();
        block.text.append(continues ? "\n" : "").append(line.text);
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            const Stretch cut = (*cuts)[i];
            const state::Position at{line.number, glyphs.byte_of(cut.begin) + 1};
            const std::string text{glyphs.between(cut.begin, cut.end)};
            if (!continues && block.at.column == 0 && !text.empty())
                block.at.column = at.column;
            if (!continues)
                block.cells.push_back({columns_[i].label, text, at});
            else if (!text.empty())
                continue_cell(block.cells[i], text, at);
        }
        open_row_.push_back(line);
    }

    static void continue_cell(Cell& cell, const std::string& text, state::Position at) {
        if (cell.text.empty())
            cell.at = at;
        cell.text.append(cell.text.empty() ? "" : " ").append(text);
    }

    void refuse(const Line& line, std::size_t column, std::string expected) {
        if (may_continue(line))
            give_up_open_row();
        open_row_.clear();
        sheet_.unread.push_back(unread(line, column, std::move(expected)));
    }

    /// Its first column may be blank; what stands there is a blank or cannot be seen.
    static bool may_continue(const Line& line) {
        return line.text.empty() || static_cast<unsigned char>(line.text.front()) <= ' ';
    }

    /// A wrapped row of which a line is missing or unread is not the row that the device printed.
    void give_up_open_row() {
        if (!spec_.wraps || open_row_.empty())
            return;
        sheet_.blocks.pop_back();
        for (const Line& line : open_row_)
            sheet_.unread.push_back(unread(line, line.text.size() + 1,
                                           "the lines that continue this row to be read as well"));
        open_row_.clear();
    }

    [[nodiscard]] bool is_right_aligned(std::size_t column) const {
        return std::find(spec_.right_aligned.begin(), spec_.right_aligned.end(),
                         spec_.columns[column]) != spec_.right_aligned.end();
    }

    [[nodiscard]] std::string opening() const {
        std::string text{spec_.edges == Edges::blanks ? "a row of the columns" : "the header"};
        for (const std::string& column : spec_.columns)
            text.append(" ").append(in_quotes(column));
        return text;
    }

    const TableSpec& spec_;
    bool ended_;
    Sheet sheet_;
    Place place_ = Place::before_header;
    std::vector<Column> columns_;
    std::string rule_;           ///< the rule line of this table, which may stand again at its end
    std::vector<Line> open_row_; ///< of the last block, while the next line may continue it
    bool found_ = false;         ///< a header, a row or a line that stands for "none"
};

/// A specification that no table can meet: nothing is read by it.
Sheet read_nothing(std::string_view answer) {
    Sheet sheet;
    for (const Line& line : split_lines(answer))
        sheet.unread.push_back(unread(
            line, 1, "a table described by 1 to " + std::to_string(most_columns) + " columns"));
    return sheet;
}

} // namespace

Sheet read_table(std::string_view answer, const TableSpec& spec, bool ended) {
    if (spec.columns.empty() || spec.columns.size() > most_columns)
        return read_nothing(answer);
    return TableReader{spec, ended}.read(answer);
}

} // namespace slotwitness::layouts
