#include "known.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <algorithm>
#include <map>
#include <stdexcept>

namespace slotwitness::simulation {

namespace {

using chassis::Condition;
using chassis::Drive;
using chassis::Snapshot;
using Truth = std::optional<bool>;

/// Kleene's strong tables (Kleene 1952, pp. 332-335).
Truth both(Truth left, Truth right) {
    if (left == false || right == false)
        return false;
    return left && right ? Truth(true) : std::nullopt;
}
Truth negated(Truth truth) {
    return truth ? Truth(!*truth) : std::nullopt;
}

/// The rows of that name: none, one, or two that disagree.
template <class Row>
std::vector<const Row*> rows_of(const std::vector<Row>& rows, std::string Row::*name,
                                const std::string& wanted) {
    std::vector<const Row*> found;
    for (const Row& row : rows)
        if (row.*name == wanted)
            found.push_back(&row);
    return found;
}

/// What `is` tells of the one row; `absent` where there is none; nothing where two disagree.
template <class Row, class Is>
Truth one(const std::vector<const Row*>& found, Truth absent, Is is) {
    if (found.empty())
        return absent;
    return found.size() == 1 ? Truth(is(*found.front())) : std::nullopt;
}

bool is_shut(const auto& row) {
    return row.drive == Drive::released && row.condition == Condition::dark;
}

Truth plane(const Snapshot& now, const std::string& name, bool (*is)(const chassis::PlaneRow&)) {
    return one(rows_of(now.planes, &chassis::PlaneRow::name, name), std::nullopt, is);
}
Truth plane_up(const Snapshot& now, const std::string& name) {
    return one(rows_of(now.planes, &chassis::PlaneRow::name, name), false, [](const auto& row) {
        return row.condition == Condition::carrying && row.paths == row.of;
    });
}
Truth module_is(const Snapshot& now, const std::string& slot, Truth absent,
                bool (*is)(const chassis::ModuleRow&)) {
    return one(rows_of(now.modules, &chassis::ModuleRow::slot, slot), absent, is);
}
Truth module_works(const Snapshot& now, const std::string& slot) {
    return module_is(now, slot, false,
                     [](const auto& row) { return row.condition == Condition::running; });
}
Truth module_shut(const Snapshot& now, const std::string& slot) {
    return module_is(now, slot, std::nullopt, [](const auto& row) { return is_shut(row); });
}
Truth module_there(const Snapshot& now, const std::string& slot) {
    return one(rows_of(now.modules, &chassis::ModuleRow::slot, slot), false,
               [](const auto&) { return true; });
}
Truth tray_there(const Snapshot& now, const std::string& slot) {
    return one(rows_of(now.trays, &chassis::TrayRow::slot, slot), false,
               [](const auto&) { return true; });
}
Truth tray_works(const Snapshot& now, const std::string& slot) {
    return one(rows_of(now.trays, &chassis::TrayRow::slot, slot), false,
               [](const auto& row) { return row.condition == Condition::running; });
}

bool plane_is_shut(const chassis::PlaneRow& row) {
    return is_shut(row);
}
bool plane_is_down(const chassis::PlaneRow& row) {
    return row.condition == Condition::dark;
}

Truth at_most_one_module_out(const Snapshot& now) {
    int surely = 0;
    int perhaps = 0;
    for (const char* slot : {"FAB1", "FAB2", "FAB3"}) {
        const Truth works = module_works(now, slot);
        surely += works == false;
        perhaps += works != true;
    }
    if (perhaps <= 1)
        return true;
    return surely > 1 ? Truth(false) : std::nullopt;
}

std::vector<Known> made() {
    const std::vector<std::string> planes{"planes"};
    const std::vector<std::string> modules{"modules"};
    const std::vector<std::string> trays{"trays"};
    const std::vector<std::string> two{"modules", "planes"};
    return {
        {"plane 3 shut", planes, false,
         [](const auto& now) { return plane(now, "3", plane_is_shut); }},
        {"plane 2 down", planes, false,
         [](const auto& now) { return plane(now, "2", plane_is_down); }},
        {"not plane 3 up", planes, false,
         [](const auto& now) { return negated(plane_up(now, "3")); }},
        {"every plane up", planes, true,
         [](const auto& now) {
             return both(plane_up(now, "1"), both(plane_up(now, "2"), plane_up(now, "3")));
         }},
        {"every plane except 3 up", planes, true,
         [](const auto& now) { return both(plane_up(now, "1"), plane_up(now, "2")); }},
        {"module FAB3 shut", modules, false,
         [](const auto& now) { return module_shut(now, "FAB3"); }},
        {"module FAB3 operational", modules, false,
         [](const auto& now) { return module_works(now, "FAB3"); }},
        {"module FAB2 absent", modules, false,
         [](const auto& now) { return negated(module_there(now, "FAB2")); }},
        {"at most 1 module not operational", modules, true, at_most_one_module_out},
        {"plane 3 shut and module FAB3 shut", two, false,
         [](const auto& now) {
             return both(plane(now, "3", plane_is_shut), module_shut(now, "FAB3"));
         }},
        {"plane 3 up and module FAB3 operational", two, false,
         [](const auto& now) { return both(plane_up(now, "3"), module_works(now, "FAB3")); }},
        {"fan-tray TRAY2 absent", trays, false,
         [](const auto& now) { return negated(tray_there(now, "TRAY2")); }},
        // From here on of the procedure alone.
        {"fan-tray TRAY2 operational", trays, false,
         [](const auto& now) { return tray_works(now, "TRAY2"); }},
        {"every fan-tray except TRAY2 operational", trays, true,
         [](const auto& now) { return tray_works(now, "TRAY1"); }},
        {"module FAB3 present", modules, false,
         [](const auto& now) { return module_there(now, "FAB3"); }},
        {"every module except FAB3 present and every fan-tray except TRAY2 present",
         {"modules", "trays"},
         true,
         [](const auto& now) {
             return both(tray_there(now, "TRAY1"),
                         both(module_there(now, "FAB1"), module_there(now, "FAB2")));
         }},
    };
}

std::string canonical(const std::string& condition) {
    const auto sentence = sentences::parse(condition);
    if (!sentence)
        throw std::logic_error(condition + ": " + state::to_text(sentence.error()));
    return sentences::to_text(*sentence);
}

} // namespace

const std::vector<Known>& all_known() {
    static const std::vector<Known> all = made();
    return all;
}

const Known& known(std::string_view sentence) {
    static const std::map<std::string, const Known*, std::less<>> by_text = [] {
        std::map<std::string, const Known*, std::less<>> result;
        for (const Known& each : all_known())
            result.emplace(canonical(each.condition), &each);
        return result;
    }();
    for (const std::string_view end : {" for ", " within "})
        sentence = sentence.substr(0, sentence.find(end));
    const auto found = by_text.find(sentence);
    if (found == by_text.end())
        throw std::logic_error("the simulation does not know the sentence " +
                               std::string(sentence));
    return *found->second;
}

} // namespace slotwitness::simulation
