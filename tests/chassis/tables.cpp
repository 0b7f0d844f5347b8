#include "tables.hpp"

#include "text_table.hpp"

#include <cstdlib>

namespace slotwitness::chassis {
namespace {

std::string word(auto value) {
    return std::string(to_word(value));
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const auto& name : names)
        text.append(text.empty() ? "" : ", ").append(name);
    return text;
}

std::string tenths(std::int64_t value) {
    const std::int64_t size = std::abs(value);
    std::string text = value < 0 ? "-" : "";
    return text.append(std::to_string(size / 10)).append(".").append(std::to_string(size % 10));
}

std::string rate(std::int64_t gbps) {
    if (gbps < 1'000)
        return std::to_string(gbps) + " Gb/s";
    std::string text = std::to_string(gbps / 1'000);
    if (const std::int64_t rest = gbps % 1'000; rest != 0) {
        const std::string digits = std::to_string(rest);
        text.append(".").append(3 - digits.size(), '0').append(digits);
        text.erase(text.find_last_not_of('0') + 1);
    }
    return text + " Tb/s";
}

} // namespace

std::string chassis_text(const ChassisRow& row) {
    return to_text(TextRecord{"Chassis " + row.name,
                              {{"Serial", row.serial},
                               {"Build", row.build},
                               {"Software", row.software},
                               {"Running for", std::to_string(row.running_for_s) + " s"},
                               {"Carrying", rate(row.load_gbps)}}});
}

std::string planes_text(const std::vector<PlaneRow>& rows) {
    TextTable table{.columns = {{"PLANE"},
                                {"DRIVE"},
                                {"CONDITION"},
                                {"PATHS", true},
                                {"OF", true},
                                {"CARRIES UP TO", true},
                                {"FAULTS", true}}};
    for (const auto& row : rows)
        table.rows.push_back({row.name, word(row.drive), word(row.condition),
                              std::to_string(row.paths), std::to_string(row.of),
                              rate(row.capacity_gbps), std::to_string(row.faults)});
    return to_text(table);
}

std::string modules_text(const std::vector<ModuleRow>& rows) {
    TextTable table{.columns = {{"SLOT"},
                                {"WHAT IT IS", false, 24},
                                {"DRIVE"},
                                {"CONDITION"},
                                {"SERIAL"},
                                {"BUILD"},
                                {"PLANES"},
                                {"PRINTED"}}};
    for (const auto& row : rows)
        table.rows.push_back({row.slot, row.what, word(row.drive), word(row.condition), row.serial,
                              row.build, joined(row.planes), row.printed});
    return to_text(table);
}

std::string module_text(const ModuleRow& row) {
    return to_text(TextRecord{"Module " + row.slot,
                              {{"What it is", row.what},
                               {"Drive", word(row.drive)},
                               {"Condition", word(row.condition)},
                               {"In this condition for", std::to_string(row.in_condition_s) + " s"},
                               {"Serial", row.serial},
                               {"Build", row.build},
                               {"Firmware", row.firmware}}});
}

std::string controllers_text(const std::vector<ControllerRow>& rows) {
    TextTable table{.columns = {{"SLOT"}, {"ROLE"}, {"CONDITION"}, {"SERIAL"}}, .rule = false};
    for (const auto& row : rows)
        table.rows.push_back({row.slot, word(row.role), word(row.condition), row.serial});
    return to_text(table);
}

std::string trays_text(const std::vector<TrayRow>& rows) {
    if (rows.empty())
        return "No trays.\n";
    std::string text;
    for (const auto& row : rows) {
        const TextRecord record{"Tray " + row.slot,
                                {{"Drive", word(row.drive)},
                                 {"Condition", word(row.condition)},
                                 {"Turning at", std::to_string(row.rpm) + " rpm"},
                                 {"Cools", joined(row.cools)},
                                 {"Serial", row.serial},
                                 {"Printed", row.printed}}};
        text.append(text.empty() ? "" : "\n").append(to_text(record));
    }
    return text;
}

std::string supplies_text(const std::vector<SupplyRow>& rows) {
    TextTable table{.columns = {{"SLOT"}, {"CONDITION"}, {"GIVING", true}, {"SERIAL"}},
                    .rule = false};
    for (const auto& row : rows)
        table.rows.push_back({row.slot, word(row.condition),
                              row.watts ? std::to_string(*row.watts) + " W" : "", row.serial});
    return to_text(table);
}

std::string sensors_text(const std::vector<SensorRow>& rows) {
    TextTable table{.columns = {{"SENSOR"}, {"SENSE"}, {"VALUE", true}, {"LIMIT", true}}};
    for (const auto& row : rows)
        table.rows.push_back({row.name, word(row.sense),
                              row.tenths ? tenths(*row.tenths) + " " + row.unit : "",
                              row.limit ? std::to_string(*row.limit) + " " + row.unit : ""});
    return to_text(table);
}

std::string ports_text(const std::vector<PortRow>& rows) {
    TextTable table{
        .columns =
            {{"PORT"}, {"DRIVE"}, {"CONDITION"}, {"RATE", true}, {"FLAPS", true}, {"FAULTS", true}},
        .header_every = 12};
    for (const auto& row : rows)
        table.rows.push_back({row.name, word(row.drive), word(row.condition), rate(row.rate_gbps),
                              std::to_string(row.flaps), std::to_string(row.faults)});
    return to_text(table);
}

std::string neighbours_text(const std::vector<NeighbourRow>& rows) {
    if (rows.empty())
        return "No neighbours.\n";
    TextTable table{.columns = {{"PORT"}, {"FAR SYSTEM"}, {"FAR PORT"}, {"HEARD"}}};
    for (const auto& row : rows)
        table.rows.push_back({row.port, row.system, row.far_port, word(row.hearing)});
    return to_text(table);
}

std::string alarms_text(const std::vector<AlarmRow>& rows) {
    if (rows.empty())
        return "No alarms.\n";
    TextTable table{.columns = {{"NO"}, {"GRADE"}, {"ABOUT"}, {"WHAT IS WRONG", false, 40}}};
    for (const auto& row : rows)
        table.rows.push_back({std::to_string(row.number), word(row.grade), row.about, row.text});
    return to_text(table);
}

} // namespace slotwitness::chassis
