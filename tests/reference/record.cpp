#include "reader.hpp"

#include <algorithm>

namespace slotwitness::reference {
namespace {

using Separator = layouts::RecordSpec::Separator;

std::size_t blanks_before(const std::string& line) {
    std::size_t count = 0;
    while (count < line.size() && line[count] == ' ')
        ++count;
    return count;
}

/// A piece of a line, and where it begins in it.
struct Piece {
    std::string text;
    std::size_t at = 0;
};

Piece piece(const std::string& line, std::size_t begin, std::size_t end) {
    while (begin < end && line[begin] == ' ')
        ++begin;
    while (begin < end && line[end - 1] == ' ')
        --end;
    return {line.substr(begin, end - begin), begin};
}

struct Pair {
    std::string label;
    Piece value;
};

std::optional<Pair> pair_of(const std::string& line, const Piece& part, Separator separator) {
    const std::string sign = separator == Separator::colon    ? ":"
                             : separator == Separator::equals ? "="
                                                              : "..";
    const std::size_t found = part.text.find(sign);
    if (found == std::string::npos || found == 0)
        return std::nullopt;
    std::size_t after = found + 1;
    while (separator == Separator::dots && after < part.text.size() && part.text[after] == '.')
        ++after;
    return Pair{trimmed(part.text.substr(0, found)),
                piece(line, part.at + after, part.at + part.text.size())};
}

class Record {
  public:
    Record(const layouts::RecordSpec& spec, bool ended) : spec_(spec), ended_(ended) {}

    Sheet read(std::string_view answer) {
        const auto lines = lines_of(answer, ended_);
        for (const Line& line : lines)
            read_line(line);
        close(ended_);
        if (!known_ && !is_one_of("", spec_.empty))
            sheet_.unread.push_back(end_of(lines));
        return sheet_;
    }

  private:
    void read_line(const Line& line) {
        if (line.cut)
            return refuse(line);
        if (trimmed(line.text).empty()) {
            if (spec_.heading.empty()) {
                close(true);
                lost_ = false;
            }
            return;
        }
        if (is_one_of(line.text, spec_.pass_over)) {
            sheet_.set_aside.push_back(line.number);
            return;
        }
        if (is_one_of(line.text, spec_.empty)) {
            close(true);
            known_ = true;
            lost_ = false;
            return;
        }
        if (cannot_be_read(line.text, true))
            return refuse(line);
        const std::size_t indent = blanks_before(line.text);
        if (open_ && list_ && indent > list_->indent)
            return add_item(line);
        while (!sections_.empty() && sections_.back().indent >= indent)
            sections_.pop_back();
        if (const auto pairs = pairs_of(line.text))
            return take(line, *pairs);
        if (begins_block(line) || begins_section(line, indent))
            return;
        refuse(line);
    }

    void add_item(const Line& line) {
        Piece item = piece(line.text, 0, line.text.size());
        if (item.text.starts_with("- ") || item.text.starts_with("* "))
            item = piece(line.text, item.at + 2, line.text.size());
        open_->text += "\n" + line.text;
        Cell& cell = open_->cells.back();
        if (cell.text.empty())
            cell = {cell.label, item.text, line.number, item.at + 1};
        else
            cell.text += ", " + item.text;
    }

    [[nodiscard]] std::string full(const std::string& label) const {
        return sections_.empty() ? label : sections_.back().path + " > " + label;
    }
    [[nodiscard]] static bool has(const std::vector<std::string>& all, const std::string& one) {
        return std::find(all.begin(), all.end(), one) != all.end();
    }

    /// The pairs of a line, if each has a label that may stand here.
    [[nodiscard]] std::optional<std::vector<Pair>> pairs_of(const std::string& line) const {
        std::vector<Pair> pairs;
        const Piece whole = piece(line, 0, line.size());
        const std::size_t end = whole.at + whole.text.size();
        for (std::size_t at = whole.at; at < end;) {
            std::size_t stop = spec_.several ? line.find("  ", at) : end;
            stop = std::min(stop, end);
            auto pair = pair_of(line, piece(line, at, stop), spec_.separator);
            if (!pair || !has(spec_.labels, full(pair->label)))
                return std::nullopt;
            pairs.push_back(*pair);
            for (at = stop; at < end && line[at] == ' ';)
                ++at;
        }
        return pairs;
    }

    bool begins_block(const Line& line) {
        const Piece whole = piece(line.text, 0, line.text.size());
        const std::string& heading = spec_.heading;
        if (heading.empty() || (whole.text != heading && !whole.text.starts_with(heading + " ")))
            return false;
        begin(line);
        const Piece name =
            piece(line.text, whole.at + heading.size(), whole.at + whole.text.size());
        add(line, heading, name);
        return true;
    }

    bool begins_section(const Line& line, std::size_t indent) {
        const Piece whole = piece(line.text, 0, line.text.size());
        std::string name = whole.text;
        if (const auto pair = pair_of(line.text, whole, spec_.separator))
            if (pair->value.text.empty())
                name = pair->label;
        const std::string path = full(name);
        const bool declared =
            std::any_of(spec_.labels.begin(), spec_.labels.end(),
                        [&](const std::string& label) { return label.starts_with(path + " > "); });
        if (!open_ || !declared || sections_.size() == 8)
            return false;
        list_.reset();
        sections_.push_back({indent, path});
        open_->text += "\n" + line.text;
        return true;
    }

    void take(const Line& line, const std::vector<Pair>& pairs) {
        std::vector<std::string> labels;
        const bool begins = !open_ && !lost_ && spec_.heading.empty();
        if (!open_ && !begins)
            return refuse(line);
        if (open_)
            for (const Cell& cell : open_->cells)
                labels.push_back(cell.label);
        for (const Pair& pair : pairs) {
            if (has(labels, full(pair.label)))
                return refuse(line);
            labels.push_back(full(pair.label));
        }
        if (begins)
            begin(line);
        else
            open_->text += "\n" + line.text;
        list_.reset();
        for (const Pair& pair : pairs) {
            add(line, full(pair.label), pair.value);
            if (has(spec_.lists, full(pair.label)))
                list_ = Level{blanks_before(line.text), full(pair.label)};
        }
    }

    void add(const Line& line, const std::string& label, const Piece& value) {
        const bool empty = value.text.empty();
        open_->cells.push_back(
            {label, value.text, empty ? 0 : line.number, empty ? 0 : value.at + 1});
    }

    void begin(const Line& line) {
        close(true);
        known_ = true;
        lost_ = false;
        open_ = Block{line.number, blanks_before(line.text) + 1, line.text, {}, true};
    }

    void close(bool complete) {
        if (open_) {
            if (!complete && list_)
                open_->cells.pop_back();
            open_->complete = complete;
            sheet_.blocks.push_back(*open_);
        }
        open_.reset();
        list_.reset();
        sections_.clear();
    }

    void refuse(const Line& line) {
        close(false);
        lost_ = true;
        sheet_.unread.emplace_back(line.number, line.text.substr(0, 16 * 1024));
    }

    struct Level {
        std::size_t indent = 0;
        std::string path;
    };
    const layouts::RecordSpec& spec_;
    bool ended_;
    Sheet sheet_;
    std::optional<Block> open_;
    std::vector<Level> sections_;
    std::optional<Level> list_; ///< whose items are the lines further to the right
    bool lost_ = false;         ///< a line was not read, and no block has begun since
    bool known_ = false;
};

} // namespace

Sheet read_record(std::string_view answer, const layouts::RecordSpec& spec, bool ended) {
    return Record{spec, ended}.read(answer);
}

} // namespace slotwitness::reference
