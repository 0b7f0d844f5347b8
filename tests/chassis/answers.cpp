#include "answers.hpp"

#include "tables.hpp"

#include <algorithm>

namespace slotwitness::chassis {
namespace {

struct Telling {
    std::string word;
    bool from_tables;
    std::string (*text)(const Snapshot&);
};

const std::vector<Telling>& tellings() {
    static const std::vector<Telling> all{
        {"chassis", false, [](const Snapshot& now) { return chassis_text(now.chassis); }},
        {"planes", true, [](const Snapshot& now) { return planes_text(now.planes); }},
        {"modules", true, [](const Snapshot& now) { return modules_text(now.modules); }},
        {"controllers", true,
         [](const Snapshot& now) { return controllers_text(now.controllers); }},
        {"trays", true, [](const Snapshot& now) { return trays_text(now.trays); }},
        {"supplies", true, [](const Snapshot& now) { return supplies_text(now.supplies); }},
        {"sensors", true, [](const Snapshot& now) { return sensors_text(now.sensors); }},
        {"ports", true, [](const Snapshot& now) { return ports_text(now.ports); }},
        {"neighbours", true, [](const Snapshot& now) { return neighbours_text(now.neighbours); }},
        {"alarms", false, [](const Snapshot& now) { return alarms_text(now.alarms); }},
    };
    return all;
}

Answer module_answer(std::string_view slot, const Snapshot& renewed) {
    const auto found = std::find_if(renewed.modules.begin(), renewed.modules.end(),
                                    [&](const ModuleRow& row) { return row.slot == slot; });
    if (found == renewed.modules.end())
        return {"", "There is no module in slot " + std::string(slot) + ".\n", 1};
    return {module_text(*found), "", 0};
}

} // namespace

Answer answer(std::string_view command, const Snapshot& renewed, const Snapshot& live) {
    constexpr std::string_view tell = "tell ";
    constexpr std::string_view module = "module ";
    if (command.starts_with(tell)) {
        const std::string_view what = command.substr(tell.size());
        if (what.starts_with(module))
            return module_answer(what.substr(module.size()), renewed);
        for (const auto& telling : tellings())
            if (telling.word == what)
                return {telling.text(telling.from_tables ? renewed : live), "", 0};
    }
    return {"", "This is no command here: " + std::string(command) + "\n", 1};
}

const std::vector<std::string>& tell_words() {
    static const std::vector<std::string> words = [] {
        std::vector<std::string> made;
        for (const auto& telling : tellings())
            made.push_back(telling.word);
        return made;
    }();
    return words;
}

} // namespace slotwitness::chassis
