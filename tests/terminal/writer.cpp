#include "writer.hpp"

#include <utility>

namespace slotwitness::terminal {
namespace {

using Character = std::string;
using Line = std::vector<Character>;

int pick(int end) {
    return *rc::gen::inRange(0, end);
}

bool chance(int one_in) {
    return pick(one_in) == 0;
}

Line any_line() {
    static const std::vector<Character> alphabet{"a", "B", "3", "_",        ":",           "-",
                                                 " ", " ", " ", "\xc2\xb0", "\xe2\x80\xa2"};
    Line line;
    for (int size = chance(6) ? 0 : pick(24); size > 0; --size)
        line.push_back(alphabet[static_cast<std::size_t>(pick(static_cast<int>(alphabet.size())))]);
    return line;
}

std::string repeated(const std::string& text, std::size_t count) {
    std::string all;
    for (; count > 0; --count)
        all += text;
    return all;
}

class Writer {
  public:
    Typed write(const std::vector<Line>& lines) && {
        typed_.spec.pagers = {prompt_};
        typed_.spec.is_log_line = [](std::string_view line) { return line.starts_with("%"); };
        if (chance(2)) {
            typed_.spec.echo = "tell everything";
            send(*typed_.spec.echo + end_);
        }
        const bool terminated = chance(2);
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (i > 0 && i % page_ == 0)
                page(lines[i]);
            if (at_beginning_ && chance(8))
                send("%fan 3: " + std::to_string(i) + end_);
            type(lines[i]);
            if (i + 1 < lines.size() || terminated) {
                send(end_);
                typed_.meant += '\n';
                at_beginning_ = true;
            }
        }
        return std::move(typed_);
    }

  private:
    void send(const std::string& bytes) { typed_.raw += bytes; }

    void page(const Line& next) {
        const std::size_t size = prompt_.size();
        send(chance(2) ? "\x1b[7m" + prompt_ + "\x1b[27m" : prompt_);
        at_beginning_ = false;
        const bool may_be_overwritten = !next.empty() && next.back() != " ";
        switch (pick(may_be_overwritten ? 9 : 8)) {
        case 0:
            return send("\r" + repeated(" ", size) + "\r");
        case 1:
            return send(repeated("\b", size) + repeated(" ", size) + repeated("\b", size));
        case 2:
            return send(repeated("\b \b", size));
        case 3:
            return send("\r\x1b[K");
        case 4:
            return send("\x1b[K");
        case 5:
            return send("\x1b[2K\r");
        case 6:
            return send("\x1b[" + std::to_string(size) + "D\x1b[0K");
        case 7:
            send(end_); // the prompt keeps its line
            at_beginning_ = true;
            return;
        default:
            return send("\r"); // the row goes over it
        }
    }

    void type(const Line& line) {
        if (at_beginning_ && chance(8))
            send("10 %" + std::string{chance(2) ? "\r\x1b[K" : "\r    \r"});
        for (const Character& character : line) {
            if (chance(6))
                send(look());
            if (character != " " && character != "_" && chance(6))
                send("_\b");
            else if (chance(6))
                send(character + "\b");
            for (std::size_t i = 0; i < character.size(); ++i)
                typed_.places.push_back(typed_.raw.size() + i);
            send(character);
            typed_.meant += character;
            if (chance(12))
                send(chance(2) ? "x\b \b" : "xy\x1b[2D\x1b[K");
        }
        if (chance(6))
            send(look());
    }

    static std::string look() {
        static const std::vector<std::string> looks{"\x1b[1m",
                                                    "\x1b[0;31m",
                                                    "\x1b[m",
                                                    "\x9b"
                                                    "4m",
                                                    "\x1b[?25l",
                                                    "\x1b]0;title \xe2\x9c\x9c\a",
                                                    "\x1b]2;t\x1b\\",
                                                    "\x1b(B",
                                                    "\x0f",
                                                    "\x1b="};
        return looks[static_cast<std::size_t>(pick(static_cast<int>(looks.size())))];
    }

    Typed typed_;
    const std::string prompt_ = chance(2) ? " -- more -- " : "(more)";
    const std::string end_ =
        std::vector<std::string>{"\n", "\r\n", "\n\r", "\r\r\n",
                                 std::string{"\r\n\0\0", 4}}[static_cast<std::size_t>(pick(5))];
    const std::size_t page_ = 1 + static_cast<std::size_t>(pick(6));
    bool at_beginning_ = true; ///< nothing stands before the next character on its line
};

} // namespace

rc::Gen<Typed> anything_typed() {
    return rc::gen::exec([] {
        std::vector<Line> lines;
        for (int count = pick(12); count > 0; --count)
            lines.push_back(any_line());
        return Writer{}.write(lines);
    });
}

rc::Gen<std::string> anything_sent() {
    static const std::vector<std::string> pieces{
        "a",        "bc",           "_",        " ",       "  ",       "\n",
        "\n",       "\r\n",         "\r",       "\b",      "\t",       std::string(1, '\0'),
        "\xc2\xb0", "\xe4\xb8\xad", "\xc2\x9b", "\x9b",    "\xff",     "\x1b",
        "\x1b[",    "\x1b[m",       "\x1b[K",   "\x1b[1K", "\x1b[2K",  "\x1b[2D",
        "\x1b[G",   "\x1b[A",       "\x1b[2C",  "\x1b[4h", "\x1b]0;t", "\x07",
        "\x1b\\",   "\x1b(0",       "\x1b(B",   "\x0e",    "\x0f",     "1",
        "more",     "more\r",       "more\n",   "%log\n"};
    return rc::gen::map(rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(pieces)),
                        [](const std::vector<std::string>& drawn) {
                            std::string text;
                            for (const std::string& piece : drawn)
                                text += piece;
                            return text;
                        });
}

void showValue(const Typed& typed, std::ostream& out) {
    rc::show(typed.raw, out);
    out << " for ";
    rc::show(typed.meant, out);
}

} // namespace slotwitness::terminal
