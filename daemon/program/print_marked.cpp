#include "print_state.hpp"

#include <slotwitness/marked/legible.hpp>

#include <algorithm>
#include <iomanip>

namespace slotwitness::program {

namespace {

using marked::Legible;
using marked::legible;
using marked::Mark;
using marked::MarkedLine;
using marked::Note;

/// Beyond it a line is shown in part: a whole document may stand in one.
constexpr std::size_t widest = 240;
/// Beyond it a note stands below its caret, not beside it.
constexpr std::size_t wide = 48;

std::string_view sign_of(Mark mark) {
    switch (mark) {
    case Mark::layout:
        return "";
    case Mark::row:
        return "row";
    case Mark::aside:
        return "aside";
    case Mark::unread:
        return "UNREAD";
    }
    __builtin_unreachable();
}

/// The first `most` code points of a line, and how many more there are.
std::string beginning(std::string_view line, std::size_t most) {
    const Legible all = legible(line);
    if (all.width <= most)
        return all.text;
    std::size_t bytes = std::min(line.size(), most);
    while (bytes > 0 && bytes < line.size() &&
           (static_cast<unsigned char>(line[bytes]) & 0xc0U) == 0x80U)
        --bytes;
    const Legible shown = legible(line.substr(0, bytes));
    return shown.text + " … " + std::to_string(all.width - shown.width) + " more";
}

class Printer {
  public:
    Printer(std::ostream& out, const state::Reading& reading, std::size_t lines)
        : out_(out), reading_(reading), digits_(std::to_string(lines).size()) {}

    void print(const MarkedLine& line) {
        out_ << ' ' << std::right << std::setw(6) << sign_of(line.mark) << "  "
             << std::setw(static_cast<int>(digits_)) << line.number << " |"
             << (line.text.empty() ? "" : " ") << beginning(line.text, widest) << '\n';
        if (line.mark == Mark::aside)
            say("set aside: " + line.why);
        for (const Note& note : line.expected)
            point(line, note, "expected " + note.text);
        for (const std::size_t row : line.ends_rows)
            say(in_a_line(reading_.rows[row]));
        for (const Note& note : line.remarks)
            point(line, note, note.text);
    }

  private:
    [[nodiscard]] std::string margin_text() const { return std::string(digits_ + 9, ' ') + " |"; }
    std::ostream& margin() { return out_ << margin_text(); }
    void say(const std::string& text) { margin() << "   > " << legible(text).text << '\n'; }

    void point(const MarkedLine& line, const Note& note, const std::string& text) {
        const std::size_t place = marked::place_of(line.text, note.column);
        const std::string shown = legible(text).text;
        if (note.column == 0)
            margin() << "   ! " << shown << '\n';
        else if (place > widest)
            margin() << "   ! at column " << note.column << ", before \""
                     << beginning(line.text.substr(std::min(note.column - 1, line.text.size())), 24)
                     << "\": " << shown << '\n';
        else if (place > wide)
            margin() << ' ' << std::string(place, ' ') << "^\n"
                     << margin_text() << "   ! " << shown << '\n';
        else
            margin() << ' ' << std::string(place, ' ') << "^ " << shown << '\n';
    }

    std::ostream& out_;
    const state::Reading& reading_;
    std::size_t digits_;
};

std::string count(std::size_t number, const std::string& one) {
    return std::to_string(number) + " " + one + (number == 1 ? "" : "s");
}

} // namespace

void print_marked(std::ostream& out, const std::vector<marked::MarkedLine>& lines,
                  const state::Reading& reading) {
    Printer printer{out, reading, lines.size()};
    for (const MarkedLine& line : lines)
        printer.print(line);
}

std::string counts_of(const state::Reading& reading) {
    std::string text = count(reading.rows.size(), "row");
    text += reading.unread.empty() ? "; nothing unread"
                                   : "; " + count(reading.unread.size(), "line") + " UNREAD";
    if (!reading.set_aside.empty())
        text += ", " + count(reading.set_aside.size(), "line") + " set aside";
    if (!reading.remarks.empty())
        text += ", " + count(reading.remarks.size(), "remark");
    return text;
}

} // namespace slotwitness::program
