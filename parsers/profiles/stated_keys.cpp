#include "schema.hpp"
#include "version.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

Stated read_component(const toml::table& table, const std::string& path, Problems& problems) {
    Fields fields{table, path, problems};
    Stated stated;
    if (auto label = fields.text("label"))
        stated[state::Attribute::label] = std::move(*label);
    for (const auto attribute : {state::Attribute::serves, state::Attribute::covers}) {
        const std::string_view key = to_word(attribute);
        if (table.contains(key))
            stated[attribute] = fields.texts(key);
    }
    if (table.empty())
        problems.add(table, "", "label, serves or covers in " + path,
                     "Add for example label = \"FABRIC 3\", or leave the table out.");
    fields.finish();
    return stated;
}

} // namespace

ProvenFor read_proven_for(const toml::table& table, Problems& problems) {
    Fields fields{table, "[proven-for]", problems};
    ProvenFor proven;
    fields.require("query", "query = \"chassis\"");
    fields.require("from", "from = \"4.2\"");
    fields.require("to", "to = \"4.9\"");
    proven.query = fields.text("query").value_or("");
    proven.from = fields.text("from").value_or("");
    proven.to = fields.text("to").value_or("");
    if (table.contains("from") && table.contains("to") &&
        compare_versions(proven.from, proven.to) > 0)
        fields.wrong("to", proven.to, "a version that is not before from, " + proven.from,
                     "Exchange the two.");
    fields.finish();
    return proven;
}

std::map<state::Kind, std::map<std::string, Stated, std::less<>>>
read_stated(const toml::table& table, Problems& problems) {
    std::map<state::Kind, std::map<std::string, Stated, std::less<>>> all;
    std::vector<std::string> kinds;
    for (const state::Kind kind : state::words_of<state::Kind>())
        kinds.emplace_back(to_word(kind));
    for (const auto& [key, components] : table) {
        const std::string word{key.str()};
        const auto kind = state::from_word<state::Kind>(word);
        if (!kind || !components.is_table()) {
            problems.add(key.source(), word, "a table of a kind: " + one_of(kinds),
                         did_you_mean(word, kinds, "Write for example [stated.module.FAB3]."));
            continue;
        }
        for (const auto& [name, component] : *components.as_table()) {
            const std::string path = "[stated." + word + "." + std::string{name.str()} + "]";
            if (const auto* inner = component.as_table())
                all[*kind][std::string{name.str()}] = read_component(*inner, path, problems);
            else
                problems.add(component, shown(component), "a table " + path,
                             "Write it under a line of its own in brackets.");
        }
    }
    return all;
}

} // namespace slotwitness::profiles
