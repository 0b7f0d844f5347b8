#pragma once

#include "clean.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::terminal {

/// Bytes of a line, from 0.
struct Residue {
    std::size_t begin = 0;
    std::size_t end = 0;
    Why why = Why::control;
    friend bool operator==(const Residue&, const Residue&) = default;
};

/// Where, in bytes from 0, a line says something that cannot be undone with certainty.
struct Doubt {
    std::size_t at = 0;
    std::string expected;
    friend bool operator==(const Doubt&, const Doubt&) = default;
};

/// From `clean` on, the text's bytes run beside the line's from `raw` on; or, if not `runs`, all of
/// them stand for what is at `raw`.
struct Run {
    std::size_t clean = 0;
    std::size_t raw = 0;
    bool runs = true;
    friend bool operator==(const Run&, const Run&) = default;
};

struct Shown {
    std::string text;
    std::vector<Run> runs;         ///< in the order of the text
    std::vector<Residue> residues; ///< every byte of the line that no run has, in order
    std::optional<Doubt> doubt;    ///< then the text is a guess, and there are no residues
};

/// One line of a screen, on which characters are written as its terminal would: a cursor, one place
/// a code point, no right margin. Knows of each place which bytes of the line stand there, and what
/// became of the others.
class Screen {
  public:
    /// Both must outlive the screen.
    Screen(std::string_view line, const std::vector<std::string>& pagers);

    /// The character of `size` bytes at `at`.
    void write(std::size_t at, std::size_t size);
    /// A tab at `at`. Without a width it stands in the text as one character of unknown width.
    void tab(std::size_t at, std::optional<std::size_t> width);
    void back(std::size_t count);
    void home();
    void erase_to_end();
    void erase_to_begin(std::size_t at);
    void erase_line(std::size_t at);
    /// Bytes that leave nothing to see.
    void pass(std::size_t at, std::size_t size, Why why);
    /// The first doubt stands.
    void doubt(std::size_t at, std::string expected);

    [[nodiscard]] Shown finish() &&;

  private:
    enum class Kind {
        text,
        prompt, ///< of a pager: not text, wherever it remains
        gone,   ///< blank, since something was erased here
    };
    struct Cell {
        std::size_t at = 0;
        std::size_t size = 0; ///< 0: no byte of its own
        Kind kind = Kind::text;
        bool blank = false;
        bool made = false;       ///< a blank for which something else was sent: a tab, an erasure
        bool over = false;       ///< what stood here before was written over
        std::size_t written = 0; ///< by which of the writings
    };

    [[nodiscard]] std::string_view bytes(const Cell& cell) const {
        return line_.substr(cell.at, cell.size);
    }
    [[nodiscard]] static bool is_ink(const Cell& cell) {
        return cell.kind == Kind::text && !cell.blank;
    }
    void put(Cell cell);
    void put_over(Cell& old, Cell cell);
    void settle(const Cell& cell, Why why);
    void count(const Cell& cell);
    void discount(const Cell& cell);
    void erase_from(std::size_t place);
    void blank_up_to(std::size_t places, std::size_t at);
    bool meet_prompt();
    void begin_again();
    void begin_again_if_empty();
    void note_width(std::size_t at, std::size_t size);
    void trim(std::size_t from);
    void doubt_what_remains();
    [[nodiscard]] std::vector<Residue> residues() const;

    std::string_view line_;
    const std::vector<std::string>& pagers_;
    std::vector<Cell> cells_;
    std::size_t cursor_ = 0;  ///< at most cells_.size()
    std::size_t ink_ = 0;     ///< cells that are text and not blank
    std::size_t prompts_ = 0; ///< cells of a pager's prompt
    std::size_t writings_ = 0;
    std::vector<std::optional<Why>> fates_; ///< of each byte of the line; nothing: it is text
    std::optional<Doubt> doubt_;
    std::optional<Doubt> width_; ///< the first character that may take more or less than one place
    bool width_matters_ = false; ///< the cursor went back over text
};

} // namespace slotwitness::terminal
