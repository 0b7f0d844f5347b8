#include "text.hpp"

#include <slotwitness/layouts/glyphs.hpp>

#include <algorithm>

namespace slotwitness::draft {

namespace {

/// No label of it could be written in a profile: it has a control byte, or is not UTF-8.
bool is_legible(std::string_view line) {
    while (!line.empty()) {
        const auto byte = static_cast<unsigned char>(line.front());
        const std::size_t length = layouts::sequence_length(line);
        if (byte < ' ' || byte == 0x7f || (length == 1 && byte > 0x7f))
            return false;
        line.remove_prefix(length);
    }
    return true;
}

} // namespace

std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r'))
            line.remove_suffix(1);
        lines.emplace_back(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

std::vector<std::string> legible_lines_of(std::string_view text) {
    std::vector<std::string> lines = lines_of(text);
    std::erase_if(lines, [](const std::string& line) { return !is_legible(line); });
    return lines;
}

std::string_view trimmed(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

bool is_blank(std::string_view text) {
    return trimmed(text).empty();
}

std::size_t indent_of(std::string_view line) {
    return std::min(line.find_first_not_of(' '), line.size());
}

std::vector<std::string_view> cut_at_blanks(std::string_view line, std::size_t gap) {
    std::vector<std::string_view> parts;
    const std::string between(gap, ' ');
    for (line = trimmed(line); !line.empty(); line = trimmed(line)) {
        const std::size_t end = std::min(line.find(between), line.size());
        parts.push_back(line.substr(0, end));
        line.remove_prefix(end);
    }
    return parts;
}

std::string in_toml(std::string_view text) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string quoted = "\"";
    while (!text.empty()) {
        const std::size_t length = layouts::sequence_length(text);
        const std::string_view glyph = text.substr(0, length);
        const auto byte = static_cast<unsigned char>(glyph.front());
        if (length == 1 && byte >= 0x80)
            quoted += "\xEF\xBF\xBD";
        else if (length == 1 && (byte < 0x20 || byte == 0x7f))
            (quoted += "\\u00") += {digits[byte / 16], digits[byte % 16]};
        else if (glyph == "\"" || glyph == "\\")
            (quoted += '\\') += glyph;
        else
            quoted += glyph;
        text.remove_prefix(length);
    }
    return quoted + "\"";
}

std::string in_comment(std::string_view text) {
    constexpr std::size_t most = 48;
    const bool is_long = text.size() > most;
    if (is_long) {
        std::size_t end = most;
        while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0U) == 0x80U)
            --end;
        text = text.substr(0, end);
    }
    return in_toml(text) + (is_long ? "…" : "");
}

std::string in_toml(const std::vector<std::string>& texts) {
    std::string list = "[";
    for (const std::string& text : texts)
        list += (list.size() == 1 ? "" : ", ") + in_toml(text);
    return list + "]";
}

std::string slug(std::string_view text, std::string_view otherwise) {
    constexpr std::size_t longest = 32;
    std::string id;
    for (const char byte : text) {
        const char lower = byte >= 'A' && byte <= 'Z' ? static_cast<char>(byte - 'A' + 'a') : byte;
        const bool is_letter = lower >= 'a' && lower <= 'z';
        if (is_letter || (lower >= '0' && lower <= '9' && !id.empty()))
            id += lower;
        else if (!id.empty() && id.back() != '-')
            id += '-';
        if (id.size() == longest)
            break;
    }
    while (id.ends_with('-'))
        id.pop_back();
    return id.empty() ? std::string(otherwise) : id;
}

std::string unique(std::string text, std::string_view before_number, std::set<std::string>& taken) {
    std::string name = text;
    for (int number = 2; !taken.insert(name).second; ++number)
        name = text + std::string(before_number) + std::to_string(number);
    return name;
}

} // namespace slotwitness::draft
