#include "reader.hpp"

#include <algorithm>

namespace slotwitness::reference {

std::vector<Line> lines_of(std::string_view answer, bool ended) {
    std::vector<Line> lines;
    std::string text;
    for (const char byte : answer) {
        if (byte != '\n') {
            text += byte;
            continue;
        }
        if (!text.empty() && text.back() == '\r')
            text.pop_back();
        lines.push_back({lines.size() + 1, text, false});
        text.clear();
    }
    if (!answer.empty() && answer.back() != '\n') {
        if (text.back() == '\r')
            text.pop_back();
        lines.push_back({lines.size() + 1, text, !ended});
    }
    return lines;
}

std::string trimmed(const std::string& text) {
    std::string result = text;
    while (!result.empty() && result.back() == ' ')
        result.pop_back();
    while (!result.empty() && result.front() == ' ')
        result.erase(0, 1);
    return result;
}

bool is_one_of(const std::string& line, const std::vector<std::string>& whole) {
    const auto without_end = [](std::string text) {
        while (!text.empty() && text.back() == ' ')
            text.pop_back();
        return text;
    };
    return std::any_of(whole.begin(), whole.end(), [&](const std::string& one) {
        return without_end(one) == without_end(line);
    });
}

bool cannot_be_read(const std::string& line, bool tabs_too) {
    if (line.size() > 16 * 1024)
        return true;
    return std::any_of(line.begin(), line.end(), [&](char byte) {
        const auto code = static_cast<unsigned char>(byte);
        return (code < 32 && (tabs_too || byte != '\t')) || code == 127;
    });
}

std::pair<std::size_t, std::string> end_of(const std::vector<Line>& lines) {
    if (lines.empty())
        return {1, ""};
    return {lines.back().number, lines.back().text.substr(0, 16 * 1024)};
}

} // namespace slotwitness::reference
