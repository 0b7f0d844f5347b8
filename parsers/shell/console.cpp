#include "console.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::shell {
namespace {

constexpr unsigned most_keys = 1000;       ///< pages of a long answer that was left open included
constexpr std::size_t longest_line = 1024; ///< bytes; of a longer one the rest does not matter

constexpr char escape = '\x1b';

/// A terminal's driver repeats a control key as a caret and its letter.
std::string caret(char key) {
    return {'^', static_cast<char>(key + '@')};
}

} // namespace

LastLine::Took LastLine::take(char byte) {
    // ECMA-48, section 5.4: ESC [, then what is below @, then one byte from @ on.
    constexpr char first_final = '@';
    constexpr std::string_view stay = "mKhl"; // colour, erase to the end of the line, modes
    switch (std::exchange(escape_, Escape::none)) {
    case Escape::begun:
        escape_ = byte == '[' ? Escape::sequence : Escape::none;
        return Took::nothing;
    case Escape::sequence:
        if (byte < first_final)
            escape_ = Escape::sequence;
        if (byte < first_final || stay.find(byte) != std::string_view::npos)
            return Took::nothing;
        text_.clear();
        return Took::beginning;
    case Escape::none:
        break;
    }
    if (byte == escape)
        escape_ = Escape::begun;
    else if (byte == '\b' && !text_.empty())
        text_.pop_back();
    else if (byte == '\n' || byte == '\r')
        text_.clear();
    const bool is_printed = static_cast<unsigned char>(byte) >= ' ' && byte != '\x7f';
    if (is_printed && text_.size() < longest_line)
        text_ += byte;
    return byte == '\n' || byte == '\r' ? Took::beginning : is_printed ? Took::text : Took::nothing;
}

void PromptFinder::hear(char byte) {
    has_heard_ = true;
    if (line_.take(byte) == LastLine::Took::text && heard_.size() < longest_line)
        heard_ += byte;
}

/// The prompt that a line begins with: the shortest beginning that may be one.
std::string PromptFinder::prompt_in(std::string_view line) const {
    for (std::size_t size = 1; size <= std::min(line.size(), longest_prompt); ++size)
        if (is_prompt_(line.substr(0, size)))
            return std::string(line.substr(0, size));
    return {};
}

std::string PromptFinder::fall_silent() {
    if (!std::exchange(has_heard_, false) || found_)
        return {};
    if (sent_ == Sent::nothing)
        return send(Sent::redraw);
    const std::string& line = line_.text();
    const bool is_paging =
        pager_key_ && std::find(pagers_.begin(), pagers_.end(), line) != pagers_.end();
    const std::string prompt = prompt_in(line);
    if (is_paging || line != prompt)
        prompt_.clear();
    if (is_paging)
        return send(Sent::pager_key);
    if (prompt.empty())
        return {};
    if (line != prompt)
        return send(Sent::clear);
    const bool is_alone = shows_only(prompt);
    if (sent_ == Sent::end_of_line && is_alone && prompt == prompt_) {
        found_ = prompt;
        return {};
    }
    const bool was_asked_for = sent_ == Sent::redraw && is_alone;
    const bool came_twice = was_asked_for && prompt == prompt_;
    prompt_ = was_asked_for ? prompt : "";
    return send(came_twice ? Sent::end_of_line : Sent::redraw);
}

std::string PromptFinder::send(Sent what) {
    if (++times_ > most_keys) {
        why_ = "the prompt did not come alone when it was asked for; something else is going on in "
               "this shell";
        return {};
    }
    heard_.clear();
    sent_ = what;
    switch (what) {
    case Sent::nothing:
        return {};
    case Sent::redraw:
        return {keys_.redraw};
    case Sent::pager_key:
        return {*pager_key_};
    case Sent::clear:
        return {keys_.clear, keys_.redraw};
    case Sent::end_of_line:
        return {keys_.clear, '\r'};
    }
    return {};
}

/// Nothing could be read but the prompt, which may have come more than once, and the keys that we
/// sent, as a terminal's driver repeats them.
bool PromptFinder::shows_only(std::string_view prompt) const {
    std::string_view rest = heard_;
    bool came = false;
    while (!rest.empty()) {
        if (rest.starts_with(prompt)) {
            rest.remove_prefix(prompt.size());
            came = true;
        } else if (rest.starts_with(caret(keys_.redraw)) || rest.starts_with(caret(keys_.clear))) {
            rest.remove_prefix(2);
        } else {
            return false;
        }
    }
    return came;
}

} // namespace slotwitness::shell
