#include "record.hpp"

#include "lines.hpp"
#include "open_record.hpp"
#include "record_lines.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

bool has(const std::vector<std::string>& all, std::string_view one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

std::size_t indent_of(const Line& line) {
    return std::min(line.text.find_first_not_of(' '), line.text.size());
}

/// Column of a piece of this line, from 1.
std::size_t column_of(const Line& line, std::string_view piece) {
    return static_cast<std::size_t>(piece.data() - line.text.data()) + 1;
}

class RecordReader {
  public:
    RecordReader(const RecordSpec& spec, bool ended, const TakeBlock& take)
        : spec_(spec), ended_(ended), take_(take) {
        for (const std::string& label : spec.labels)
            for (std::size_t at = label.find(below); at != std::string::npos;
                 at = label.find(below, at + 1))
                sections_.push_back(label.substr(0, at));
    }

    Leftover read(std::string_view answer, Octets octets) && {
        LineSplitter splitter{answer, octets};
        Line last{1, "", true};
        while (splitter.next(last))
            read_line(last);
        close(ended_);
        if (!found_ && !is_one_of("", spec_.empty))
            left_.unread.push_back(unread(last, 1, opening() + " before the end of the answer"));
        return std::move(left_);
    }

  private:
    enum class Place { between, inside, after_unread };
    struct Level {
        std::size_t indent = 0;
        std::string path;
    };

    void read_line(const Line& line) {
        if (!line.ended && !ended_) {
            refuse(line, line.text.size() + 1, "the rest of this line: the answer was cut here");
        } else if (is_blank(line.text)) {
            if (spec_.heading.empty()) {
                close(true);
                place_ = Place::between;
            }
        } else if (is_one_of(line.text, spec_.pass_over) ||
                   spec_.pass_over_rules.takes(line.text, scratch_)) {
            left_.set_aside.push_back(line.number);
        } else if (is_one_of(line.text, spec_.empty)) {
            close(true);
            found_ = true;
            place_ = Place::between;
        } else if (const auto problem = illegible(line)) {
            refuse(line, problem->column, problem->expected);
        } else if (!read_item(line)) {
            read_text(line);
        }
    }

    /// A line of the list that is open.
    bool read_item(const Line& line) {
        if (place_ != Place::inside || !list_ || indent_of(line) <= list_->indent)
            return false;
        const std::string_view item = without_bullet(without_blanks(line.text));
        record_.add_line(line.text);
        record_.add_item(item, {line.number, column_of(line, item)});
        return true;
    }

    void read_text(const Line& line) {
        const std::size_t indent = indent_of(line);
        while (!levels_.empty() && levels_.back().indent >= indent)
            levels_.pop_back();
        std::vector<Pair> pairs;
        if (auto misfit = read_pairs(line, pairs); !misfit)
            take(line, pairs);
        // "Module type: x" is a label where one is declared, before it is a heading that says
        // "Module".
        else if (!begin_block(line) && !begin_section(line))
            refuse(line, misfit->column, std::move(misfit->expected));
    }

    struct Misfit {
        std::size_t column = 0;
        std::string expected;
    };

    /// The pairs of a line, each with a declared label.
    std::optional<Misfit> read_pairs(const Line& line, std::vector<Pair>& pairs) const {
        const auto parts = spec_.several ? cut_at_wide_blanks(line.text)
                                         : std::vector<std::string_view>{without_blanks(line.text)};
        for (const std::string_view part : parts) {
            const auto pair = parse_pair(part, spec_.separator);
            if (!pair)
                return Misfit{column_of(line, part) + part.size(), separator() + " after a label"};
            if (!has(spec_.labels, path_of(pair->label)))
                return Misfit{column_of(line, part), "a declared label"};
            pairs.push_back(*pair);
        }
        return std::nullopt;
    }

    bool begin_block(const Line& line) {
        if (spec_.heading.empty())
            return false;
        const std::string_view text = without_blanks(line.text);
        if (!text.starts_with(spec_.heading))
            return false;
        const std::string_view rest = text.substr(spec_.heading.size());
        if (!rest.empty() && !rest.starts_with(' '))
            return false;
        const std::string_view name = without_blanks(rest);
        begin(line);
        const std::size_t column =
            name.empty() ? column_of(line, text) + text.size() : column_of(line, name);
        record_.add({spec_.heading, name, {line.number, column}});
        return true;
    }

    /// "Power" or "Power:" above labels that are indented below it.
    bool begin_section(const Line& line) {
        std::string_view name = without_blanks(line.text);
        if (const auto pair = parse_pair(name, spec_.separator); pair && pair->value.empty())
            name = pair->label;
        std::string path = path_of(name);
        if (place_ != Place::inside || levels_.size() == most_levels || !has(sections_, path))
            return false;
        list_.reset();
        levels_.push_back({indent_of(line), std::move(path)});
        record_.add_line(line.text);
        return true;
    }

    void take(const Line& line, const std::vector<Pair>& pairs) {
        const bool begins = place_ == Place::between && spec_.heading.empty();
        if (place_ != Place::inside && !begins) {
            refuse(line, indent_of(line) + 1,
                   place_ == Place::after_unread ? opening() + " after a line that was not read"
                                                 : opening());
            return;
        }
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            const auto same = [&](const Pair& other) { return other.label == pairs[i].label; };
            if ((!begins && record_.has(path_of(pairs[i].label))) ||
                std::any_of(pairs.begin(), pairs.begin() + static_cast<std::ptrdiff_t>(i), same)) {
                refuse(line, column_of(line, pairs[i].label),
                       "a label that this block does not have yet");
                return;
            }
        }
        if (begins)
            begin(line);
        else
            record_.add_line(line.text);
        list_.reset();
        for (const Pair& pair : pairs) {
            const std::string path = path_of(pair.label);
            // The declared text outlives the line's own.
            const std::string& label = *std::find(spec_.labels.begin(), spec_.labels.end(), path);
            record_.add({label, pair.value, {line.number, column_of(line, pair.value)}});
            if (has(spec_.lists, label))
                list_ = Level{indent_of(line), label};
        }
    }

    void begin(const Line& line) {
        close(true);
        place_ = Place::inside;
        found_ = true;
        record_.begin({line.number, indent_of(line) + 1}, line.text);
    }

    void close(bool complete) {
        // What was not read may have been the next item: a list that may be short is no list.
        if (place_ == Place::inside && !complete && list_)
            record_.drop_last();
        if (place_ == Place::inside)
            record_.close(take_, complete);
        levels_.clear();
        list_.reset();
        place_ = Place::between;
    }

    void refuse(const Line& line, std::size_t column, std::string expected) {
        close(false);
        place_ = Place::after_unread;
        left_.unread.push_back(unread(line, column, std::move(expected)));
    }

    [[nodiscard]] std::string path_of(std::string_view label) const {
        std::string path =
            levels_.empty() ? std::string{} : levels_.back().path + std::string{below};
        return path.append(label);
    }

    [[nodiscard]] std::string separator() const {
        switch (spec_.separator) {
        case RecordSpec::Separator::colon:
            return in_quotes(":");
        case RecordSpec::Separator::equals:
            return in_quotes("=");
        case RecordSpec::Separator::dots:
            return "two dots or more";
        }
        __builtin_unreachable();
    }

    [[nodiscard]] std::string opening() const {
        return spec_.heading.empty() ? "a block after a blank line"
                                     : "a heading " + in_quotes(spec_.heading);
    }

    const RecordSpec& spec_;
    bool ended_;
    const TakeBlock& take_;
    std::vector<std::string> sections_; ///< every path that has labels below it
    Leftover left_;
    Place place_ = Place::between;
    OpenRecord record_;
    abnf::Scratch scratch_;
    std::vector<Level> levels_; ///< the sections that are open, outermost first
    std::optional<Level> list_; ///< the list that is open
    bool found_ = false;        ///< a block or a line of `empty` was seen
};

} // namespace

Leftover read_record(std::string_view answer, const RecordSpec& spec, bool ended,
                     const TakeBlock& take, Octets octets) {
    return RecordReader{spec, ended, take}.read(answer, octets);
}

} // namespace slotwitness::layouts
