#include "account.hpp"

#include <algorithm>

namespace slotwitness::terminal {
namespace {

enum class Told { nowhere, in_text, aside };

std::string at_byte(std::string_view what, std::size_t offset) {
    return std::string{what} + " at byte " + std::to_string(offset);
}

bool is_unread(const Clean& clean, std::size_t line) {
    return std::any_of(clean.unread.begin(), clean.unread.end(),
                       [&](const state::UnreadLine& one) { return one.line == line; });
}

/// LF, and the CR and NUL beside it or at the ends.
std::vector<bool> line_ends(std::string_view raw) {
    std::vector<bool> ends(raw.size());
    const auto fills = [&](std::size_t at) { return raw[at] == '\r' || raw[at] == '\0'; };
    bool beside = true;
    for (std::size_t at = 0; at < raw.size(); ++at)
        ends[at] = beside = raw[at] == '\n' || (beside && fills(at));
    beside = true;
    for (std::size_t at = raw.size(); at-- > 0;) {
        beside = raw[at] == '\n' || (beside && fills(at));
        ends[at] = ends[at] || beside;
    }
    return ends;
}

std::optional<std::string> tell_text(const Clean& clean, std::string_view raw,
                                     std::vector<Told>& told) {
    std::size_t number = 0;
    for (const std::string_view line : lines_of(clean.text())) {
        ++number;
        if (is_unread(clean, clean.raw({number, 1}).line))
            continue;
        for (std::size_t i = 0; i < line.size(); ++i) {
            const std::size_t at = offset_of(raw, clean.raw({number, i + 1}));
            if (at >= raw.size())
                return at_byte("text from behind the end, clean line", number);
            const bool control = static_cast<unsigned char>(raw[at]) < ' ' || raw[at] == '\x9b';
            if (line[i] != raw[at] && !(line[i] == ' ' && control))
                return at_byte("another character", at);
            told[at] = Told::in_text;
        }
    }
    return std::nullopt;
}

} // namespace

std::size_t offset_of(std::string_view text, state::Position at) {
    std::size_t begin = 0;
    for (std::size_t line = 1; line < at.line; ++line) {
        const std::size_t end = text.find('\n', begin);
        if (end == std::string_view::npos)
            return text.size();
        begin = end + 1;
    }
    return std::min(begin + at.column - 1, text.size());
}

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        lines.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

std::optional<std::string> fault_of(const Clean& clean, std::string_view raw) {
    std::vector<Told> told(raw.size(), Told::nowhere);
    if (auto fault = tell_text(clean, raw, told))
        return fault;
    for (const SetAside& residue : clean.set_aside) {
        const std::size_t begin = offset_of(raw, residue.at);
        if (raw.substr(begin, residue.text.size()) != residue.text)
            return at_byte("what is set aside does not stand", begin);
        for (std::size_t at = begin; at < begin + residue.text.size(); ++at) {
            // Blanks that an erasure leaves have no byte of their own but its.
            const bool erases = raw[at] == '\x1b' || raw[at] == '\x9b';
            if (told[at] == Told::aside || (told[at] == Told::in_text && !erases))
                return at_byte("told twice", at);
            told[at] = Told::aside;
        }
    }
    const std::vector<bool> ends = line_ends(raw);
    std::size_t line = 1;
    for (std::size_t at = 0; at < raw.size(); ++at) {
        if (told[at] == Told::nowhere && !ends[at] && !is_unread(clean, line))
            return at_byte("lost", at);
        line += raw[at] == '\n' ? 1 : 0;
    }
    return std::nullopt;
}

} // namespace slotwitness::terminal
