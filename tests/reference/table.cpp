#include "reader.hpp"
#include "table_cells.hpp"

#include <algorithm>
#include <regex>

namespace slotwitness::reference {
namespace {

/// Header and rule are written as expressions of the standard library.
std::string quoted(const std::string& text) {
    static const std::regex special{R"([.^$|()\[\]{}*+?\\/])"};
    return std::regex_replace(text, special, R"(\$&)");
}

class Table {
  public:
    Table(const layouts::TableSpec& spec, bool ended) : spec_(spec), ended_(ended) {
        std::string expression = " *";
        for (const std::string& label : spec.columns)
            expression += (expression == " *" ? "(" : " +(") + quoted(label) + ")";
        header_ = std::regex{expression + " *"};
    }

    Sheet read(std::string_view answer) {
        const auto lines = lines_of(answer, ended_);
        for (const Line& line : lines)
            read_line(line);
        if (spec_.wraps && !ended_)
            give_up();
        close();
        if (!known_ && !is_one_of("", spec_.empty))
            sheet_.unread.push_back(end_of(lines));
        std::stable_sort(sheet_.unread.begin(), sheet_.unread.end(),
                         [](const auto& a, const auto& b) { return a.first < b.first; });
        return sheet_;
    }

  private:
    void read_line(const Line& line) {
        if (line.cut) {
            refuse(line);
        } else if (trimmed(line.text).empty()) {
            close();
            if (rows_seen_ && !spec_.rows_after_blank)
                columns_.clear();
        } else if (is_one_of(line.text, spec_.pass_over)) {
            sheet_.set_aside.push_back(line.number);
        } else if (is_one_of(line.text, spec_.empty)) {
            known_ = true;
            close();
        } else if (cannot_be_read(line.text, true)) {
            refuse(line);
        } else if (!read_header(line.text)) {
            read_below_header(line);
        }
    }

    bool read_header(const std::string& line) {
        std::smatch found;
        if (!std::regex_match(line, found, header_))
            return false;
        close();
        columns_.clear();
        for (std::size_t i = 0; i < spec_.columns.size(); ++i) {
            const auto before = [&](std::ptrdiff_t bytes) {
                return Characters{line.substr(0, static_cast<std::size_t>(bytes))}.all.size();
            };
            const auto begin = found.position(i + 1);
            columns_.push_back({spec_.columns[i], before(begin),
                                before(begin + found.length(i + 1)),
                                is_one_of(spec_.columns[i], spec_.right_aligned)});
        }
        rule_.clear();
        fresh_ = true;
        rows_seen_ = false;
        known_ = known_ || spec_.edges == layouts::TableSpec::Edges::header;
        return true;
    }

    void read_below_header(const Line& line) {
        if (columns_.empty()) {
            refuse(line);
            return;
        }
        const bool first = fresh_;
        fresh_ = false;
        const bool needs_rule = spec_.edges == layouts::TableSpec::Edges::rule;
        if (first && needs_rule) {
            if (take_widths(line.text)) {
                rule_ = trimmed_right(line.text);
                known_ = true;
            } else {
                refuse(line);
                columns_.clear();
            }
            return;
        }
        static const std::regex underline{" *(-{2,}|={2,})( +(-{2,}|={2,}))* *"};
        if (first && std::regex_match(line.text, underline)) {
            rule_ = trimmed_right(line.text);
        } else if (!rule_.empty() && trimmed_right(line.text) == rule_) {
            close();
        } else {
            read_row(line);
        }
    }

    bool take_widths(const std::string& line) {
        static const std::regex whole{" *(-+|=+)( +(-+|=+))* *"};
        static const std::regex run{"-+|=+"};
        if (!std::regex_match(line, whole))
            return false;
        std::vector<Span> runs;
        for (std::sregex_iterator at{line.begin(), line.end(), run}; at != std::sregex_iterator{};
             ++at)
            runs.emplace_back(at->position(), at->position() + at->length());
        if (runs.size() != columns_.size())
            return false;
        for (std::size_t i = 0; i < runs.size(); ++i) {
            if (columns_[i].begin < runs[i].first || columns_[i].end > runs[i].second)
                return false;
            columns_[i].begin = runs[i].first;
            columns_[i].end = runs[i].second;
        }
        return true;
    }

    void read_row(const Line& line) {
        const Characters row{line.text};
        const auto pieces = spec_.edges == layouts::TableSpec::Edges::rule
                                ? under_rule(row, columns_)
                                : under_header(row, columns_);
        if (!pieces) {
            refuse(line);
            return;
        }
        rows_seen_ = true;
        known_ = true;
        const bool continues = spec_.wraps && pieces->front().first == pieces->front().second;
        if (continues && !open_) {
            refuse(line);
            return;
        }
        if (!continues) {
            close();
            open_ = Block{line.number, 0, line.text, {}, true};
            numbers_ = {{line.number, line.text}};
            for (const Column& column : columns_)
                open_->cells.push_back({column.label, "", 0, 0});
        } else {
            open_->text += "\n" + line.text;
            numbers_.emplace_back(line.number, line.text);
        }
        for (std::size_t i = 0; i < pieces->size(); ++i) {
            const auto [begin, end] = (*pieces)[i];
            if (begin == end)
                continue;
            Cell& cell = open_->cells[i];
            if (open_->column == 0)
                open_->column = row.bytes_before(begin) + 1;
            if (cell.text.empty()) {
                cell.line = line.number;
                cell.column = row.bytes_before(begin) + 1;
                cell.text = row.text(begin, end);
            } else {
                cell.text += " " + row.text(begin, end);
            }
        }
        if (!spec_.wraps)
            close();
    }

    static std::string trimmed_right(std::string text) {
        while (!text.empty() && text.back() == ' ')
            text.pop_back();
        return text;
    }

    void close() {
        if (open_)
            sheet_.blocks.push_back(*open_);
        open_.reset();
    }

    void give_up() {
        if (open_)
            sheet_.unread.insert(sheet_.unread.end(), numbers_.begin(), numbers_.end());
        open_.reset();
    }

    /// A line that cannot be read may continue the row above, if it could begin with a blank.
    void refuse(const Line& line) {
        const bool may_continue =
            line.text.empty() || (static_cast<unsigned char>(line.text[0]) <= ' ');
        if (spec_.wraps && may_continue)
            give_up();
        close();
        sheet_.unread.emplace_back(line.number, line.text.substr(0, 16 * 1024));
    }

    const layouts::TableSpec& spec_;
    bool ended_;
    std::regex header_;
    Sheet sheet_;
    std::vector<Column> columns_; ///< empty where no header is in force
    std::string rule_;
    bool fresh_ = false; ///< the header was the line above
    bool rows_seen_ = false;
    bool known_ = false;
    std::optional<Block> open_;
    std::vector<std::pair<std::size_t, std::string>> numbers_; ///< of its lines
};

} // namespace

Sheet read_table(std::string_view answer, const layouts::TableSpec& spec, bool ended) {
    return Table{spec, ended}.read(answer);
}

} // namespace slotwitness::reference
