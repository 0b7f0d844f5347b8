#include "lines.hpp"

#include <slotwitness/state/blanks.hpp>
#include <slotwitness/state/printable.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::layouts {

bool LineSplitter::next(Line& line) {
    if (rest_.empty())
        return false;
    const std::size_t printable = octets_ == Octets::plain ? 0 : state::printable_ascii(rest_);
    const std::size_t end = std::min(rest_.find('\n', printable), rest_.size());
    const bool ended = end < rest_.size();
    std::string_view text{rest_.data(), end};
    rest_.remove_prefix(ended ? end + 1 : end);
    if (text.ends_with('\r'))
        text.remove_suffix(1);
    line.number = ++number_;
    line.text = text;
    line.ended = ended;
    line.printable = octets_ == Octets::plain || text.size() == printable;
    return true;
}

std::optional<state::UnreadLine> illegible(const Line& line, Tabs tabs) {
    if (line.text.size() > longest_line)
        return unread(line, longest_line + 1,
                      "the end of the line after at most " + std::to_string(longest_line) +
                          " bytes");
    const auto is_control = [tabs](char byte) {
        return (static_cast<unsigned char>(byte) < 0x20 || byte == 0x7f) &&
               (byte != '\t' || tabs == Tabs::refused);
    };
    if (line.printable)
        return std::nullopt;
    const auto control = std::find_if(line.text.begin(), line.text.end(), is_control);
    if (control == line.text.end())
        return std::nullopt;
    const auto column = static_cast<std::size_t>(control - line.text.begin()) + 1;
    return unread(line, column,
                  *control == '\t' ? "blanks instead of a tab, whose width is not known; if the "
                                     "device means columns of 8, write tab-width = 8 in [terminal]"
                                   : "printable text instead of a control byte");
}

state::UnreadLine unread(const Line& line, std::size_t column, std::string expected) {
    state::UnreadLine kept{line.number, std::string{line.text.substr(0, longest_line)}, column,
                           std::move(expected)};
    if (line.text.size() > longest_line) // a name may stand across the end of what is shown
        kept.also = line.text;
    return kept;
}

std::string_view without_trailing_blanks(std::string_view text) {
    return text.substr(0, text.size() - state::trailing_blanks(text));
}

std::string_view without_blanks(std::string_view text) {
    text = without_trailing_blanks(text);
    return text.substr(std::min(text.find_first_not_of(' '), text.size()));
}

bool is_any_of(std::string_view line, std::span<const std::string> whole) {
    const std::string_view trimmed = without_trailing_blanks(line);
    return std::any_of(whole.begin(), whole.end(), [&](const std::string& one) {
        return without_trailing_blanks(one) == trimmed;
    });
}

std::optional<std::string_view> after_words(std::string_view line, std::string_view words) {
    line = without_blanks(line);
    if (!line.starts_with(words))
        return std::nullopt;
    line.remove_prefix(words.size());
    if (!line.empty() && line.front() != ' ' && line != ":")
        return std::nullopt;
    if (line.ends_with(':'))
        line.remove_suffix(1);
    return without_blanks(line);
}

std::string in_quotes(std::string_view label) {
    std::string text{"\""};
    return text.append(label).append("\"");
}

} // namespace slotwitness::layouts
