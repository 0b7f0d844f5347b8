#include "reading_answer.hpp"

#include <array>
#include <stdexcept>

namespace slotwitness::bench {
namespace {

constexpr std::string_view description = R"toml(
[profile]
format = 1
family = "Tallow"

[grammar]
rules = '''
row       = name 1*SP drive 1*SP condition 1*SP load 1*SP serial *SP
thin-row  = name 1*SP drive 1*SP load *SP
name      = 1*(ALPHA / DIGIT / "-" / "/")
drive     = 1*%x61-7A
condition = 1*%x61-7A
load      = 1*(DIGIT / ".") SP 1*(ALPHA / "/")
serial    = 1*(ALPHA / DIGIT / "-")
'''

[words.drive]
engaged  = "admin unlocked"
released = "admin locked"
easing   = "admin shutting-down"

[words.condition]
running = "oper enabled"
dark    = "oper disabled"
proving = "oper testing"

[query.table]
ask    = ["tell", "table"]
kind   = "module"
layout = "table"
[query.table.table]
edges   = "rule"
columns = ["NAME", "DRIVE", "CONDITION", "LOAD", "SERIAL"]
[query.table.cells]
"NAME"      = { as = "name" }
"DRIVE"     = { as = "word", words = "drive" }
"CONDITION" = { as = "word", words = "condition" }
"LOAD"      = { as = "quantity", attribute = "load" }
"SERIAL"    = { as = "text", attribute = "serial" }

[query.narrow]
ask    = ["tell", "narrow"]
kind   = "module"
layout = "table"
[query.narrow.table]
edges   = "rule"
columns = ["NAME", "DRIVE", "LOAD"]
[query.narrow.cells]
"NAME"  = { as = "name" }
"DRIVE" = { as = "word", words = "drive" }
"LOAD"  = { as = "quantity", attribute = "load" }

[query.lines]
ask    = ["tell", "lines"]
kind   = "module"
layout = "lines"
[query.lines.lines]
rows = ["row"]
[query.lines.cells]
"name"      = { as = "name" }
"drive"     = { as = "word", words = "drive" }
"condition" = { as = "word", words = "condition" }
"load"      = { as = "quantity", attribute = "load" }
"serial"    = { as = "text", attribute = "serial" }

[query.thin-lines]
ask    = ["tell", "thin-lines"]
kind   = "module"
layout = "lines"
[query.thin-lines.lines]
rows = ["thin-row"]
[query.thin-lines.cells]
"name"  = { as = "name" }
"drive" = { as = "word", words = "drive" }
"load"  = { as = "quantity", attribute = "load" }
)toml";

struct Column {
    std::string_view header;
    std::size_t width;
};
constexpr std::array<Column, 5> wide{
    {{"NAME", 22}, {"DRIVE", 12}, {"CONDITION", 14}, {"LOAD", 16}, {"SERIAL", 15}}};
constexpr std::array<Column, 3> narrow{{{"NAME", 22}, {"DRIVE", 26}, {"LOAD", 31}}};

constexpr std::array<std::string_view, 3> drives{"engaged", "released", "easing"};
constexpr std::array<std::string_view, 4> conditions{"running", "running", "dark", "proving"};
constexpr std::array<std::string_view, 4> loads{"12.8 Tb/s", "400 Gb/s", "0.75 Tb/s", "38.5 Gb/s"};

bool is_narrow(Shape shape) {
    return shape == Shape::narrow || shape == Shape::thin_lines;
}

std::string digits(std::size_t number, std::size_t width) {
    std::string text = std::to_string(number);
    return text.insert(0, width - std::min(width, text.size()), '0');
}

void add_padded(std::string& text, std::string_view cell, std::size_t width) {
    text.append(cell).append(width - std::min(width, cell.size()), ' ');
}

template <std::size_t count>
void add_header(std::string& text, const std::array<Column, count>& columns) {
    std::string header;
    std::string rule;
    for (const Column& column : columns) {
        add_padded(header, column.header, column.width);
        const bool last = &column == &columns.back();
        add_padded(rule, std::string(column.width - (last ? 0 : 1), '-'), column.width);
    }
    text.append(header).append("\n").append(rule).append("\n");
}

} // namespace

std::string answer_of(Shape shape, std::size_t bytes) {
    std::string text;
    text.reserve(bytes + row_bytes);
    if (shape == Shape::table)
        add_header(text, wide);
    if (shape == Shape::narrow)
        add_header(text, narrow);
    for (std::size_t row = 0; text.size() + row_bytes <= bytes; ++row) {
        const std::string name = "FAB" + std::to_string(row % 16) + "/" + digits(row, 8);
        const std::string_view drive = drives.at(row % drives.size());
        const std::string_view load = loads.at(row / 3 % loads.size());
        if (is_narrow(shape)) {
            add_padded(text, name, narrow[0].width);
            add_padded(text, drive, narrow[1].width);
            add_padded(text, load, narrow[2].width);
        } else {
            add_padded(text, name, wide[0].width);
            add_padded(text, drive, wide[1].width);
            add_padded(text, conditions.at(row / 5 % conditions.size()), wide[2].width);
            add_padded(text, load, wide[3].width);
            add_padded(text, "QL4-000" + digits(row, 8), wide[4].width);
        }
        text.push_back('\n');
    }
    return text;
}

const profiles::Profile& profile() {
    static const profiles::Profile parsed = [] {
        auto profile = profiles::parse_profile(description, "tallow.toml");
        if (!profile)
            throw std::runtime_error(state::to_text(profile.error().front()));
        return std::move(*profile);
    }();
    return parsed;
}

std::string_view query_of(Shape shape) {
    switch (shape) {
    case Shape::table:
        return "table";
    case Shape::lines:
        return "lines";
    case Shape::narrow:
        return "narrow";
    case Shape::thin_lines:
        return "thin-lines";
    }
    __builtin_unreachable();
}

std::size_t lines_before_rows(Shape shape) {
    return shape == Shape::table || shape == Shape::narrow ? 2 : 0;
}

} // namespace slotwitness::bench
