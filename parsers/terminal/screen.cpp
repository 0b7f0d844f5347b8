#include "screen.hpp"

#include "width.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::terminal {

Screen::Screen(std::string_view line, const std::vector<std::string>& pagers)
    : line_(line), pagers_(pagers), fates_(line.size()) {
    cells_.reserve(line.size());
}

void Screen::write(std::size_t at, std::size_t size) {
    if (!width_ && !takes_one_place(line_.substr(at, size)))
        width_ = Doubt{at, "characters of one column each on a line that is written over"};
    put({at, size, Kind::text, line_[at] == ' ', false, false, 0});
}

void Screen::tab(std::size_t at, std::optional<std::size_t> width) {
    if (!width) {
        if (!width_)
            width_ = Doubt{at, "blanks instead of a tab, whose width is not known; if the device "
                               "means columns of 8, write tab-width = 8 in [terminal]"};
        put({at, 1, Kind::text, false, false, false, 0});
        return;
    }
    const std::size_t stop = (cursor_ / *width + 1) * *width;
    const bool over_text = std::any_of(
        cells_.begin() + static_cast<std::ptrdiff_t>(cursor_),
        cells_.begin() + static_cast<std::ptrdiff_t>(std::min(stop, cells_.size())), is_ink);
    if (over_text)
        doubt(at, "blanks instead of a tab, which leaves what stands under it");
    if (stop > longest_line)
        doubt(at, "the end of the line after at most " + std::to_string(longest_line) + " columns");
    // The tab's own byte goes with the first of its blanks.
    for (std::size_t size = 1; !doubt_ && cursor_ < stop; size = 0)
        put({at, size, Kind::text, true, true, false, 0});
}

void Screen::back(std::size_t count) {
    meet_prompt();
    cursor_ -= std::min(count, cursor_);
    width_matters_ = width_matters_ || ink_ > 0;
    trim(cursor_);
    begin_again_if_empty();
}

void Screen::home() {
    meet_prompt();
    cursor_ = 0;
    trim(cursor_);
    begin_again_if_empty();
}

void Screen::erase_to_end() {
    // A device that erases right behind its prompt holds the prompt erased.
    if (meet_prompt())
        begin_again();
    else
        erase_from(cursor_);
}

void Screen::erase_to_begin(std::size_t at) {
    if (meet_prompt())
        begin_again();
    else
        blank_up_to(cursor_ + 1, at);
}

void Screen::erase_line(std::size_t at) {
    if (meet_prompt()) {
        begin_again();
        return;
    }
    erase_from(cursor_);
    blank_up_to(cursor_, at);
    begin_again_if_empty();
}

void Screen::pass(std::size_t at, std::size_t size, Why why) {
    std::fill_n(fates_.begin() + static_cast<std::ptrdiff_t>(at), size, why);
}

void Screen::doubt(std::size_t at, std::string expected) {
    if (!doubt_)
        doubt_ = Doubt{at, std::move(expected)};
}

void Screen::put(Cell cell) {
    cell.written = ++writings_;
    if (cursor_ == cells_.size()) {
        count(cell);
        cells_.push_back(cell);
    } else {
        put_over(cells_[cursor_], cell);
    }
    ++cursor_;
}

void Screen::put_over(Cell& old, Cell cell) {
    cell.over = true;
    if (old.kind == Kind::text) {
        width_matters_ = width_matters_ || ink_ > 0;
        if (old.blank || bytes(old) == bytes(cell)) {
            settle(old, Why::overprint);
        } else if (cell.blank) {
            settle(old, Why::erased);
            cell.kind = Kind::gone;
        } else if (bytes(old) == "_") {
            settle(old, Why::overprint);
        } else {
            if (bytes(cell) == "_")
                doubt(cell.at, "\"_\" before the character that it underlines");
            settle(old, Why::overwritten);
        }
    } else {
        settle(old, old.kind == Kind::prompt ? Why::pager : Why::erased);
        if (cell.blank)
            cell.kind = Kind::gone;
    }
    discount(old);
    count(cell);
    old = cell;
}

/// What became of the bytes of a cell that is no more.
void Screen::settle(const Cell& cell, Why why) {
    pass(cell.at, cell.size, why);
}

void Screen::count(const Cell& cell) {
    ink_ += is_ink(cell) ? 1 : 0;
    prompts_ += cell.kind == Kind::prompt ? 1 : 0;
}

void Screen::discount(const Cell& cell) {
    ink_ -= is_ink(cell) ? 1 : 0;
    prompts_ -= cell.kind == Kind::prompt ? 1 : 0;
}

void Screen::erase_from(std::size_t place) {
    while (cells_.size() > place) {
        const Cell& last = cells_.back();
        settle(last, last.kind == Kind::prompt ? Why::pager : Why::erased);
        discount(last);
        cells_.pop_back();
    }
}

/// Blanks that have no byte of their own, but stand for what is at `at`.
void Screen::blank_up_to(std::size_t places, std::size_t at) {
    for (std::size_t place = 0; place < std::min(places, cells_.size()); ++place) {
        Cell& cell = cells_[place];
        settle(cell, cell.kind == Kind::prompt ? Why::pager : Why::erased);
        discount(cell);
        cell = {at, 0, Kind::gone, true, true, true, ++writings_};
    }
}

/// All that the line shows is a pager's prompt, and now the device does something about it.
bool Screen::meet_prompt() {
    if (cursor_ != cells_.size())
        return false;
    const auto is_shown = [&](std::string_view prompt) {
        if (prompt.empty())
            return false;
        for (const Cell& cell : cells_) {
            if (cell.kind != Kind::text || !prompt.starts_with(bytes(cell)))
                return false;
            prompt.remove_prefix(cell.size);
        }
        return prompt.empty();
    };
    if (!std::any_of(pagers_.begin(), pagers_.end(), is_shown))
        return false;
    for (Cell& cell : cells_)
        cell.kind = Kind::prompt;
    ink_ = 0;
    prompts_ = cells_.size();
    width_.reset();
    return true;
}

void Screen::begin_again() {
    erase_from(0);
    cursor_ = 0;
}

void Screen::begin_again_if_empty() {
    if (cursor_ == 0 && ink_ == 0 && prompts_ == 0)
        begin_again();
}

/// A line written over in part is the device's own only if nothing older remains to the right:
/// it may have meant to say less.
void Screen::doubt_what_remains() {
    if (width_ && width_matters_)
        doubt(width_->at, width_->expected);
    std::size_t newest = 0;
    std::optional<std::size_t> prompt;
    for (const Cell& cell : cells_) {
        if (cell.over)
            newest = std::max(newest, cell.written);
        if (cell.kind == Kind::prompt && !prompt)
            prompt = cell.at;
        if (prompt && cell.kind == Kind::text)
            doubt(*prompt, "the pager's prompt erased up to the beginning of the line");
        if (is_ink(cell) && cell.written < newest)
            doubt(cell.at, "text that is erased, or written over as a whole");
    }
}

/// What an erasure left at the end is not text, nor are blanks that the same sweep wrote over
/// blanks. Once the cursor is back before them, what is written next is text again.
void Screen::trim(std::size_t from) {
    std::size_t sweep = 0;
    while (cells_.size() > from) {
        const Cell& last = cells_.back();
        const bool swept = last.blank && last.over && last.written + 1 == sweep;
        if (last.kind != Kind::gone && !swept)
            return;
        sweep = last.written;
        erase_from(cells_.size() - 1);
    }
}

Shown Screen::finish() && {
    for (trim(0); !cells_.empty() && cells_.back().kind == Kind::prompt; trim(0))
        erase_from(cells_.size() - 1);
    doubt_what_remains();
    Shown shown;
    shown.doubt = std::move(doubt_);
    for (const Cell& cell : cells_) {
        const std::size_t here = shown.text.size();
        const Run* last = shown.runs.empty() ? nullptr : &shown.runs.back();
        const bool goes_on = last && last->runs != cell.made &&
                             cell.at == last->raw + (last->runs ? here - last->clean : 0);
        if (!goes_on)
            shown.runs.push_back({here, cell.at, !cell.made});
        shown.text.append(cell.made ? " " : bytes(cell));
        if (line_[cell.at] == '\t') // one of its blanks stands
            fates_[cell.at].reset();
    }
    if (!shown.doubt)
        shown.residues = residues();
    return shown;
}

std::vector<Residue> Screen::residues() const {
    std::vector<Residue> all;
    for (std::size_t at = 0; at < fates_.size(); ++at) {
        if (!fates_[at])
            continue;
        if (all.empty() || all.back().end != at)
            all.push_back({at, at, *fates_[at]});
        all.back().end = at + 1;
        all.back().why = std::max(all.back().why, *fates_[at]);
    }
    return all;
}

} // namespace slotwitness::terminal
