#include "record.hpp"

#include "lines.hpp"
#include "record_grammar.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

struct LabelledValue {
    std::string_view label;
    std::size_t value = 0; ///< byte offset in the line
};

template <char Separator>
std::optional<LabelledValue> parse(std::string_view line) {
    namespace grammar = record_grammar;
    grammar::pegtl::memory_input<grammar::pegtl::tracking_mode::lazy> in(line.data(), line.size(),
                                                                         "line");
    grammar::Scratch scratch;
    if (!grammar::pegtl::parse<grammar::line<Separator>, grammar::keep>(in, scratch))
        return std::nullopt;
    return LabelledValue{without_trailing_blanks(scratch.label),
                         static_cast<std::size_t>(scratch.value - line.data())};
}

class RecordReader {
  public:
    RecordReader(const RecordSpec& spec, bool ended) : spec_(spec), ended_(ended) {}

    Sheet read(std::string_view answer) && {
        const std::vector<Line> lines = split_lines(answer);
        for (const Line& line : lines)
            read_line(line);
        if (!ended_)
            end_block_early();
        const bool may_say_nothing = is_one_of("", spec_.empty);
        if (sheet_.blocks.empty() && !none_ && !may_say_nothing)
            sheet_.unread.push_back(unread(lines.empty() ? Line{1, "", true} : lines.back(), 1,
                                           opening() + " before the end of the answer"));
        return std::move(sheet_);
    }

  private:
    enum class Place { between, inside, after_unread };

    void read_line(const Line& line) {
        if (!line.ended && !ended_) {
            refuse(line, line.text.size() + 1, "the rest of this line: the answer was cut here");
        } else if (is_one_of(line.text, spec_.pass_over) && !is_blank(line.text)) {
            sheet_.set_aside.push_back(line.number);
        } else if (is_blank(line.text)) {
            if (spec_.heading.empty())
                place_ = Place::between;
        } else if (is_one_of(line.text, spec_.empty)) {
            none_ = true;
            place_ = Place::between;
        } else if (const auto problem = illegible(line)) {
            refuse(line, problem->column, problem->expected);
        } else {
            read_text(line);
        }
    }

    void read_text(const Line& line) {
        const auto value = spec_.separator == "=" ? parse<'='>(line.text) : parse<':'>(line.text);
        const bool known = value && std::find(spec_.labels.begin(), spec_.labels.end(),
                                              value->label) != spec_.labels.end();
        // "Module type: x" is a label where one is declared, before it is a heading that says
        // "Module".
        if (known)
            take(line, *value);
        else if (!begin_block(line))
            refuse(line, value ? first_column(line) : line.text.size() + 1,
                   value ? "a declared label" : in_quotes(spec_.separator) + " after a label");
    }

    bool begin_block(const Line& line) {
        const std::string_view text = without_blanks(line.text);
        if (spec_.heading.empty() || !text.starts_with(spec_.heading))
            return false;
        const std::string_view rest = text.substr(spec_.heading.size());
        if (!rest.empty() && !rest.starts_with(' '))
            return false;
        const std::string_view name = without_blanks(rest);
        const std::size_t end = first_column(line) + text.size();
        place_ = Place::inside;
        sheet_.blocks.push_back(
            {{line.number, first_column(line)},
             std::string{line.text},
             {{spec_.heading, std::string{name}, {line.number, end - name.size()}}},
             true});
        return true;
    }

    void take(const Line& line, const LabelledValue& value) {
        if (place_ == Place::between && spec_.heading.empty()) {
            sheet_.blocks.push_back(
                {{line.number, first_column(line)}, std::string{line.text}, {}, true});
            place_ = Place::inside;
        } else if (place_ != Place::inside) {
            refuse(line, first_column(line),
                   place_ == Place::after_unread ? opening() + " after a line that was not read"
                                                 : opening());
            return;
        } else {
            const auto& cells = sheet_.blocks.back().cells;
            if (std::any_of(cells.begin(), cells.end(),
                            [&](const Cell& cell) { return cell.label == value.label; })) {
                refuse(line, first_column(line), "a label that this block does not have yet");
                return;
            }
            sheet_.blocks.back().text.append("\n").append(line.text);
        }
        sheet_.blocks.back().cells.push_back(
            {std::string{value.label},
             std::string{without_trailing_blanks(line.text.substr(value.value))},
             {line.number, value.value + 1}});
    }

    void refuse(const Line& line, std::size_t column, std::string expected) {
        end_block_early();
        place_ = Place::after_unread;
        sheet_.unread.push_back(unread(line, column, std::move(expected)));
    }

    void end_block_early() {
        if (place_ == Place::inside)
            sheet_.blocks.back().complete = false;
    }

    static std::size_t first_column(const Line& line) {
        return std::min(line.text.find_first_not_of(' '), line.text.size()) + 1;
    }

    [[nodiscard]] std::string opening() const {
        return spec_.heading.empty() ? "a block after a blank line"
                                     : "a heading " + in_quotes(spec_.heading);
    }

    const RecordSpec& spec_;
    bool ended_;
    Sheet sheet_;
    Place place_ = Place::between;
    bool none_ = false; ///< a line of `empty` was seen
};

} // namespace

Sheet read_record(std::string_view answer, const RecordSpec& spec, bool ended) {
    return RecordReader{spec, ended}.read(answer);
}

} // namespace slotwitness::layouts
