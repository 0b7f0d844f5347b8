#pragma once

#include "places.hpp"

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What a terminal adds to an answer, and how it is taken away again without losing anything.
namespace slotwitness::terminal {

/// A longer line is not executed: it is unread, if it has a control function at all. No layout
/// reads a quarter of it.
inline constexpr std::size_t longest_line = 64 * 1024; ///< bytes
inline constexpr std::size_t widest_tab = 64;          ///< columns

struct TerminalSpec {
    /// Texts of prompts, exactly as the device shows them, blanks included, colours left out.
    std::vector<std::string> pagers;
    /// The query as it was sent: a first line that shows exactly this is set aside.
    std::optional<std::string> echo;
    /// Lines that the device throws in, set aside whole wherever they stand. Gets the clean line
    /// without its end; must not throw. May be empty.
    std::function<bool(std::string_view line)> is_log_line;
    /// Columns between tab stops, 1 to `widest_tab`: tabs become blanks. Without it, or with
    /// another number, tabs stay in the text, where no layout reads them.
    std::optional<std::size_t> tab_width;
};

/// Why bytes are not in the clean text, the weightiest last.
enum class Why {
    control,     ///< a control function that leaves nothing to see: a colour, a title, a move
    fill,        ///< NUL beside a carriage return
    overprint,   ///< the same character again (bold), a "_" under one, a blank
    erased,      ///< by blanks or ERASE IN LINE, and the blanks that did so
    overwritten, ///< by other text that covers it wholly: the device wrote the line anew
    pager,       ///< a prompt, with what erased it
    log_line,    ///< a whole line
    echo,        ///< the whole first line
};
[[nodiscard]] std::string_view to_word(Why why);

/// Bytes of the raw answer that are not in the clean text.
struct SetAside {
    state::Position at;    ///< in the raw answer
    std::string_view text; ///< of the raw answer
    Why why = Why::control;
    friend bool operator==(const SetAside&, const SetAside&) = default;
};

/// Each byte of the raw answer is in the text, set aside, in an unread line, or part of a line end:
/// CR and NUL around LF.
struct Clean {
    std::vector<SetAside> set_aside;       ///< in the order of the answer
    std::vector<state::UnreadLine> unread; ///< raw lines that cannot be undone with certainty

    /// What a layout reads. Lines that are as they were sent end in LF or CRLF as they did, others
    /// in LF; an unterminated last line stays so. A line of `unread` stands byte by byte as it was
    /// sent, but with SUB (0x1A, which ECMA-48 has for this) at the column in doubt and
    /// for each control: no layout reads it, nor takes the lines around it for neighbours.
    [[nodiscard]] std::string_view text() const { return rewritten ? *rewritten : untouched; }
    /// Where in the raw answer a place of the text stands.
    [[nodiscard]] state::Position raw(state::Position clean) const { return places.raw(clean); }
    /// What of the answer nobody read, in places of the raw answer, sorted by line: what a layout
    /// could not read of the text, with the lines of `unread` in their stead, and text that was
    /// taken back. A screen does not show that, but it may have said something, and an answer whose
    /// lines end in CR alone would lose its rows so; only prompts that the profile names are known
    /// to say nothing.
    [[nodiscard]] std::vector<state::UnreadLine>
    unread_with(std::vector<state::UnreadLine> of_layout) const;

    std::string_view untouched; ///< the raw answer, if nothing had to be taken away
    bool plain = false; ///< known to have nothing but printable ASCII and line ends, LF or CRLF
    std::optional<std::string> rewritten;
    Places places;
};

/// Executes on each line what a terminal would: carriage returns, backspaces, ERASE IN LINE; takes
/// away what only changes the look; sets aside prompts, echo and log lines. An answer without any
/// of this costs one scan and no copy; views point into `raw`, which must outlive the result.
///
/// What would pass another reading than the device's is unread instead: moves across lines and to
/// absolute places, erasing the display and unknown functions (a character set that terminals are
/// not set up with is one), with all lines before them; bytes
/// shown from another character set; a broken function; modes that are not known to be harmless and
/// control strings that their line does not end, with all lines after them; text written over older
/// text of which something remains, or over text wider than one place a code point;
/// "_" over a character, which a printer shows and a screen does not; NUL amid text, for what stood
/// there may be lost; any other control byte.
///
/// A prompt is a pager's only where it stands alone at the beginning of a line and is then erased,
/// returned from, or followed by the line's end. What follows its erasure is a row, if only an
/// empty one; a line with nothing but the prompt is no line.
///
/// `ended` false: the answer was cut, and its unterminated last line is not known to be an echo, a
/// prompt or a log line: it stays.
[[nodiscard]] Clean clean(std::string_view raw, const TerminalSpec& spec, bool ended);

} // namespace slotwitness::terminal
