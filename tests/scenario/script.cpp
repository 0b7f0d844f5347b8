#include "script.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <array>

namespace slotwitness::scenario {

namespace {

std::string where(const std::string& file, const toml::node& node) {
    return file + ":" + std::to_string(node.source().begin.line) + ": ";
}

tl::expected<Step, std::string> read_step(const std::string& file, const toml::table& table) {
    constexpr std::array outcomes = {"pass", "seen_false", "not_seen"};
    Step step;
    for (const auto& [key, place] :
         {std::pair("name", &step.name), std::pair("say", &step.say), std::pair("gate", &step.gate),
          std::pair("expect", &step.expect)}) {
        *place = table[key].value_or(std::string());
        if (place->empty())
            return tl::unexpected(where(file, table) + "a step needs \"" + key + "\"");
    }
    if (std::find(outcomes.begin(), outcomes.end(), step.expect) == outcomes.end())
        return tl::unexpected(where(file, table) +
                              "expect is \"pass\", \"seen false\" or \"not seen\", not \"" +
                              step.expect + "\"");
    step.until = table["until"].value_or(std::string());
    if (const toml::array* acts = table["do"].as_array())
        for (const toml::node& act : *acts)
            step.acts.push_back(act.value_or(std::string()));
    return step;
}

} // namespace

tl::expected<Script, std::string> load(const std::string& file) {
    try {
        const toml::table root = toml::parse_file(file);
        Script script;
        script.title = root["title"].value_or(std::string());
        script.chassis = root["chassis"].value_or(std::string());
        const toml::array* steps = root["step"].as_array();
        if (script.chassis.empty() || !steps || steps->empty())
            return tl::unexpected(file + ": needs chassis and at least one [[step]]");
        for (const toml::node& node : *steps) {
            auto step = read_step(file, *node.as_table());
            if (!step)
                return tl::unexpected(step.error());
            script.steps.push_back(std::move(*step));
        }
        return script;
    } catch (const toml::parse_error& error) {
        return tl::unexpected(file + ":" + std::to_string(error.source().begin.line) + ": " +
                              std::string(error.description()));
    }
}

} // namespace slotwitness::scenario
