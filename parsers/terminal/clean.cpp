#include "clean.hpp"

#include "render.hpp"
#include "token.hpp"

#include <slotwitness/state/printable.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::terminal {
namespace {

constexpr char substitute = '\x1a';
constexpr std::size_t longest_shown = 16 * 1024; ///< bytes of an unread line that are kept

/// A line of the raw answer. Its end is LF with the CR and NUL around it, for devices send CR LF,
/// LF CR, CR CR LF, and fill; those behind LF stand at the beginning of the next line.
struct RawLine {
    std::size_t number = 0;
    std::string_view sent; ///< up to LF
    std::size_t head = 0;  ///< bytes before `body` that belong to a line end
    std::string_view body;
    bool ended = false;
    bool plain = true; ///< no control byte in `body`, but perhaps tabs

    [[nodiscard]] std::string_view without_end() const {
        return sent.substr(0, head + body.size());
    }
};

bool is_end_byte(char byte) {
    return byte == '\r' || byte == '\0';
}

/// Whole lines of printable ASCII at the beginning of `text`, with nothing to a terminal in them
/// but their ends, LF or CRLF.
struct PlainLines {
    std::size_t count = 0;
    std::size_t bytes = 0;
};

PlainLines plain_lines(std::string_view text) {
    PlainLines lines;
    const std::size_t size = text.size();
    while (true) {
        lines.bytes = size - text.size();
        text.remove_prefix(state::printable_ascii(text));
        if (text.starts_with('\n'))
            text.remove_prefix(1);
        else if (text.starts_with("\r\n"))
            text.remove_prefix(2);
        else
            return lines;
        ++lines.count;
    }
}

/// ASCII without controls is passed over at once; a tab is left to the caller.
bool is_plain(std::string_view body) {
    while (true) {
        body.remove_prefix(state::printable_ascii(body));
        if (body.empty())
            return true;
        const Token token = body.front() == '\t' ? Token{Form::character, body.substr(0, 1), {}, {}}
                                                 : read_token(body);
        if (token.form != Form::character)
            return false;
        body.remove_prefix(token.bytes.size());
    }
}

RawLine first_line(std::string_view rest, std::size_t number) {
    RawLine line{number, rest.substr(0, rest.find('\n')), 0, {}, false, true};
    line.ended = line.sent.size() < rest.size();
    line.body = line.sent;
    while (!line.body.empty() && is_end_byte(line.body.back()))
        line.body.remove_suffix(1);
    while (!line.body.empty() && is_end_byte(line.body.front()))
        line.body.remove_prefix(1);
    if (!line.body.empty())
        line.head = static_cast<std::size_t>(line.body.data() - line.sent.data());
    line.plain = is_plain(line.body);
    return line;
}

/// Nothing of this can be taken for text or obeyed once more.
std::string marked(std::string_view sent, std::size_t doubt) {
    std::string text{sent};
    for (std::size_t at = 0; at < sent.size();) {
        const Token token = read_token(sent.substr(at));
        const bool whole = token.form == Form::character || token.form == Form::control;
        const std::size_t size =
            whole ? token.bytes.size() : 1; // of a function, what introduces it
        if (token.form != Form::character || (at <= doubt && doubt < at + size))
            std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), size, substitute);
        at += size;
    }
    text.resize(std::max(text.size(), doubt + 1));
    text[doubt] = substitute;
    return text;
}

/// A character that is not a blank, controls aside.
bool has_ink(std::string_view raw) {
    while (!raw.empty()) {
        const Token token = read_token(raw);
        if (token.form == Form::character && token.bytes != " ")
            return true;
        raw.remove_prefix(token.bytes.size());
    }
    return false;
}

/// Its characters alone: controls, and what looks they give, part no name.
std::string characters(std::string_view raw) {
    std::string all;
    while (!raw.empty()) {
        const Token token = read_token(raw);
        if (token.form == Form::character)
            all += token.bytes;
        raw.remove_prefix(token.bytes.size());
    }
    return all;
}

/// What a line may name beside what it was sent as, of which the beginning is shown.
std::string also(std::string_view sent, std::string_view seen) {
    std::string all{sent.size() > longest_shown ? sent : std::string_view{}};
    if (seen != sent)
        all.append(all.empty() ? "" : "\n").append(seen);
    return all;
}

bool is_taken_back(const SetAside& part) {
    return part.why == Why::overwritten || (part.why == Why::erased && has_ink(part.text));
}

class Cleaner {
  public:
    /// `reached`: the last of the lines that a later one may have changed.
    Cleaner(std::string_view raw, const TerminalSpec& spec, bool ended, std::size_t reached)
        : raw_(raw), spec_(spec), ended_(ended), reached_(reached) {}

    Clean read() {
        std::size_t number = pass_plain_lines();
        while (at_ < raw_.size()) {
            const RawLine line = first_line(raw_.substr(at_), ++number);
            read(line);
            at_ += line.sent.size() + (line.ended ? 1 : 0);
        }
        if (!clean_.rewritten)
            clean_.untouched = raw_;
        return std::move(clean_);
    }

    [[nodiscard]] std::size_t reaching_line() const { return mode_.reaching_line; }

  private:
    /// Up to the first line that is not as it was sent there is nothing to keep; how many lines.
    std::size_t pass_plain_lines() {
        if (!spec_.pagers.empty() || spec_.echo || spec_.is_log_line || reached_ != 0)
            return 0;
        const PlainLines lines = plain_lines(raw_);
        at_ = lines.bytes;
        clean_.plain = at_ == raw_.size();
        next_ += lines.count;
        return lines.count;
    }

    void read(const RawLine& line) {
        const std::size_t lost = mode_.lost_line;
        const bool has_tabs = spec_.tab_width && line.body.find('\t') != std::string_view::npos;
        const bool as_sent =
            line.plain && !has_tabs && !mode_.other_set && !mode_.shifted_out && lost == 0;
        if (as_sent && line.number > reached_) {
            read_plain(line);
            return;
        }
        if (line.body.size() > longest_line) {
            mode_.lost_line = lost != 0 ? lost : line.number;
            refuse(line,
                   {longest_line,
                    "the end of the line after at most " + std::to_string(longest_line) + " bytes"},
                   characters(line.body));
            return;
        }
        Shown shown = render(line.body, line.number, spec_, mode_);
        if (!shown.doubt && lost != 0)
            shown.doubt = {0, "line " + std::to_string(lost) +
                                  " read to its end, for it may have hidden this one"};
        if (!shown.doubt && line.number <= reached_)
            shown.doubt = {0, "no cursor movement in line " + std::to_string(reached_) +
                                  ", which may have changed this one"};
        if (shown.doubt)
            refuse(line, *shown.doubt, shown.text);
        else if (const auto why = whole_line(line, shown.text))
            set_aside(line, *why);
        else
            keep(line, shown);
    }

    void read_plain(const RawLine& line) {
        if (const auto why = whole_line(line, line.body)) {
            set_aside(line, *why);
            return;
        }
        const std::string_view end = line.sent.substr(line.head + line.body.size());
        const bool as_layouts_read_it =
            line.head == 0 && (end.empty() || (end == "\r" && line.ended));
        if (!as_layouts_read_it) {
            keep(line, {std::string{line.body}, {{0, 0, true}}, {}, std::nullopt});
            return;
        }
        if (clean_.rewritten) {
            clean_.places.add({next_, 1}, {line.number, 1}, true);
            clean_.rewritten->append(raw_.substr(at_, line.sent.size() + (line.ended ? 1 : 0)));
        }
        ++next_;
    }

    /// Why none of the line is text, if so.
    [[nodiscard]] std::optional<Why> whole_line(const RawLine& line, std::string_view text) const {
        if (!line.ended && !ended_)
            return std::nullopt; // the rest of it may say otherwise
        if (line.number == 1 && spec_.echo && text == *spec_.echo)
            return Why::echo;
        const bool prompt = !text.empty() && std::find(spec_.pagers.begin(), spec_.pagers.end(),
                                                       text) != spec_.pagers.end();
        if (prompt)
            return Why::pager;
        return spec_.is_log_line && spec_.is_log_line(text) ? std::optional{Why::log_line}
                                                            : std::nullopt;
    }

    void set_aside(const RawLine& line, Why why) {
        begin_to_rewrite();
        clean_.set_aside.push_back({{line.number, line.head + 1}, line.body, why});
    }

    void keep(const RawLine& line, const Shown& shown) {
        begin_to_rewrite();
        for (const Residue& residue : shown.residues)
            clean_.set_aside.push_back(
                {{line.number, line.head + residue.begin + 1},
                 line.body.substr(residue.begin, residue.end - residue.begin),
                 residue.why});
        if (shown.text.empty() && !line.ended)
            return; // nothing of a line
        if (shown.runs.empty())
            clean_.places.add({next_, 1}, {line.number, line.head + 1}, true);
        for (const Run& run : shown.runs)
            clean_.places.add({next_, run.clean + 1}, {line.number, line.head + run.raw + 1},
                              run.runs);
        append(shown.text, line.ended);
    }

    /// `seen`: how a screen may show it.
    void refuse(const RawLine& line, const Doubt& doubt, std::string_view seen) {
        begin_to_rewrite();
        const std::string_view sent = line.without_end();
        const std::size_t at = line.head + doubt.at;
        clean_.unread.push_back({line.number, std::string{sent.substr(0, longest_shown)}, at + 1,
                                 doubt.expected, also(sent, seen)});
        clean_.places.add({next_, 1}, {line.number, 1}, true);
        append(marked(sent, at), line.ended);
    }

    /// Up to here the text was as it was sent.
    void begin_to_rewrite() {
        if (!clean_.rewritten)
            clean_.rewritten = std::string{raw_.substr(0, at_)};
    }

    void append(std::string_view text, bool ended) {
        clean_.rewritten->append(text).append(ended ? "\n" : "");
        ++next_;
    }

    std::string_view raw_;
    const TerminalSpec& spec_;
    bool ended_;
    std::size_t reached_;
    Clean clean_;
    Mode mode_;
    std::size_t at_ = 0;
    std::size_t next_ = 1; ///< the number of the next line of the clean text
};

} // namespace

std::string_view to_word(Why why) {
    switch (why) {
    case Why::control:
        return "control function";
    case Why::fill:
        return "fill";
    case Why::overprint:
        return "overprint";
    case Why::erased:
        return "erased";
    case Why::overwritten:
        return "overwritten";
    case Why::pager:
        return "pager";
    case Why::log_line:
        return "log line";
    case Why::echo:
        return "echo";
    }
    return "";
}

std::vector<state::UnreadLine> Clean::unread_with(std::vector<state::UnreadLine> of_layout) const {
    const auto is_ours = [&](std::size_t number) {
        const auto found = std::lower_bound(
            unread.begin(), unread.end(), number,
            [](const state::UnreadLine& line, std::size_t wanted) { return line.line < wanted; });
        return found != unread.end() && found->line == number;
    };
    std::vector<state::UnreadLine> all = unread;
    for (state::UnreadLine& line : of_layout) {
        const state::Position at = raw({line.line, line.column});
        line.line = at.line;
        line.column = at.column;
        if (!is_ours(at.line))
            all.push_back(std::move(line));
    }
    for (const SetAside& part : set_aside)
        if (is_taken_back(part))
            all.push_back({part.at.line, std::string{part.text}, part.at.column,
                           "text that is not taken back, or a prompt that [terminal] names",
                           also(part.text.substr(0, longest_shown), characters(part.text))});
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.line < b.line; });
    return all;
}

Clean clean(std::string_view raw, const TerminalSpec& spec, bool ended) {
    Cleaner first{raw, spec, ended, 0};
    Clean cleaned = first.read();
    if (first.reaching_line() == 0)
        return cleaned;
    return Cleaner{raw, spec, ended, first.reaching_line()}.read();
}

} // namespace slotwitness::terminal
