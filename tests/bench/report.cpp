#include "report.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cstdio>
#include <ostream>

namespace slotwitness::bench {
namespace {

using Cells = std::array<std::string, 8>;

std::string number(double value) {
    std::array<char, 32> text{};
    const int digits = value >= 100 ? 0 : value >= 10 ? 1 : 2;
    const int size = std::snprintf(text.data(), text.size(), "%.*f", digits, value);
    return {text.data(), static_cast<std::size_t>(size)};
}

std::string shown(const Spread& spread, const std::string& unit) {
    return number(spread.median) + " " + unit + " (" + number(spread.least) + "–" +
           number(spread.most) + ")";
}

std::string bound(const Entry& entry) {
    if (entry.at_least)
        return "≥ " + number(*entry.at_least);
    return entry.at_most ? "≤ " + number(*entry.at_most) : "";
}

std::string verdict(const Entry& entry) {
    if (!entry.at_least && !entry.at_most)
        return "";
    return entry.holds() ? "yes" : "MISSED";
}

Cells cells_of(const Entry& entry) {
    return {entry.what,
            shown(entry.ours, entry.unit),
            entry.peer,
            entry.theirs ? shown(*entry.theirs, entry.unit) : "",
            entry.ratio ? number(*entry.ratio) : "",
            bound(entry),
            verdict(entry),
            entry.floor ? shown(*entry.floor, entry.unit) : ""};
}

/// Columns on the screen: bytes that continue a character of UTF-8 take none.
std::size_t width(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char byte) {
        return (static_cast<unsigned char>(byte) & 0xc0U) != 0x80U;
    }));
}

nlohmann::json json_of(const std::optional<Spread>& spread) {
    if (!spread)
        return nullptr;
    return {{"median", spread->median}, {"least", spread->least}, {"most", spread->most}};
}

nlohmann::json json_of(const std::optional<double>& value) {
    return value ? nlohmann::json(*value) : nlohmann::json(nullptr);
}

} // namespace

void print_table(const Report& report, std::ostream& out) {
    std::vector<Cells> lines{{"what", "ours", "peer", "theirs", "ratio", "wanted", "met", "floor"}};
    for (const auto& [section, findings] : report)
        for (const Entry& entry : findings.entries)
            lines.push_back(cells_of(entry));
    std::array<std::size_t, std::tuple_size_v<Cells>> widths{};
    for (const Cells& line : lines)
        for (std::size_t i = 0; i < line.size(); ++i)
            widths.at(i) = std::max(widths.at(i), width(line.at(i)));
    for (const Cells& line : lines) {
        std::string text;
        for (std::size_t i = 0; i < line.size(); ++i)
            text += line.at(i) + std::string(widths.at(i) - width(line.at(i)) + 2, ' ');
        text.resize(text.find_last_not_of(' ') + 1);
        out << text << '\n';
    }
    for (const auto& [section, findings] : report)
        for (const std::string& note : findings.notes)
            out << '\n' << section << ": " << note << '\n';
}

void print_json(const Report& report, std::ostream& out) {
    nlohmann::json entries = nlohmann::json::array();
    nlohmann::json notes = nlohmann::json::array();
    for (const auto& [section, findings] : report) {
        for (const Entry& entry : findings.entries)
            entries.push_back({{"section", section},
                               {"what", entry.what},
                               {"unit", entry.unit},
                               {"ours", json_of(std::optional{entry.ours})},
                               {"peer", entry.peer},
                               {"theirs", json_of(entry.theirs)},
                               {"ratio", json_of(entry.ratio)},
                               {"at_least", json_of(entry.at_least)},
                               {"at_most", json_of(entry.at_most)},
                               {"floor", json_of(entry.floor)},
                               {"holds", entry.holds()}});
        for (const std::string& note : findings.notes)
            notes.push_back(section + ": " + note);
    }
    out << nlohmann::json{{"entries", entries}, {"notes", notes}}.dump(2) << '\n';
}

} // namespace slotwitness::bench
