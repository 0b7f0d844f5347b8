#include "attributes.hpp"
#include "schema.hpp"

#include <algorithm>
#include <array>
#include <map>

namespace slotwitness::profiles {
namespace {

using As = Meaning::As;
const std::vector<std::string> as_words{"name", "word", "text", "names", "quantity", "ignored"};
constexpr std::array as_values{As::name, As::word, As::text, As::names, As::quantity, As::ignored};

std::optional<ValueType> type_for(As as) {
    switch (as) {
    case As::text:
        return ValueType::text;
    case As::names:
        return ValueType::names;
    case As::quantity:
        return ValueType::quantity;
    case As::name:
    case As::word:
    case As::ignored:
        return std::nullopt;
    }
    __builtin_unreachable();
}

void read_attribute(Fields& fields, Meaning& meaning) {
    const auto type = type_for(meaning.as);
    if (!type)
        return;
    std::vector<std::string> allowed;
    for (const state::Attribute attribute : state::words_of<state::Attribute>())
        if (type_of(attribute) == *type)
            allowed.emplace_back(to_word(attribute));
    fields.require("attribute", "attribute = \"" + allowed.front() + '"');
    if (const auto at = fields.word("attribute", allowed))
        meaning.attribute = state::from_word<state::Attribute>(allowed[*at]);
}

void read_word_list(Fields& fields, const Profile& profile, Meaning& meaning) {
    fields.require("words", "words = \"condition\"");
    meaning.words = fields.text("words").value_or("");
    if (meaning.words.empty() || profile.words.contains(meaning.words))
        return;
    std::vector<std::string> known;
    for (const auto& [name, list] : profile.words)
        known.push_back(name);
    fields.wrong("words", meaning.words, "the name of a [words.…] table",
                 did_you_mean(meaning.words, known, "Add a table [words." + meaning.words + "]."));
}

void read_unit(Fields& fields, Meaning& meaning) {
    meaning.unit = fields.text("unit").value_or("");
    if (meaning.unit.empty() || !meaning.attribute)
        return;
    const auto one = units::parse_quantity("1 " + meaning.unit);
    const auto needed = unit_of(*meaning.attribute);
    if (one && (!needed || *needed == one->unit))
        return;
    const std::string attribute{to_word(*meaning.attribute)};
    const bool counts = needed == units::Unit::none;
    fields.wrong("unit", meaning.unit,
                 counts   ? "no unit, for " + attribute + " is a count"
                 : needed ? "a unit of " + attribute + ", such as " +
                                std::string{units::to_text(*needed)}
                          : "a unit, such as C, W, V, A, %, rpm",
                 "Write the unit in which the device prints bare numbers.");
}

Meaning read_meaning(const toml::table& table, const std::string& path, const Profile& profile,
                     Problems& problems) {
    Fields fields{table, path, problems};
    Meaning meaning;
    fields.require("as", "{ as = \"ignored\" }");
    if (const auto at = fields.word("as", as_words))
        meaning.as = as_values.at(*at);
    else {
        // What else belongs here depends on it: one problem at a time.
        return meaning;
    }
    if (meaning.as == As::word)
        read_word_list(fields, profile, meaning);
    read_attribute(fields, meaning);
    if (meaning.as == As::quantity)
        read_unit(fields, meaning);
    if (meaning.as != As::ignored) {
        meaning.until = fields.text("until").value_or("");
        meaning.empty = fields.texts("empty");
    }
    if (meaning.as != As::ignored && meaning.as != As::name)
        meaning.required = fields.truth("required").value_or(true);
    fields.finish();
    return meaning;
}

void check_names(Fields& query_fields, const toml::table& cells, const Query& query) {
    Problems& problems = query_fields.problems();
    std::vector<std::string> names;
    for (const auto& [label, meaning] : query.cells)
        if (meaning.as == As::name)
            names.push_back(label);
    if (query.name_is && std::holds_alternative<layouts::TableSpec>(query.layout))
        query_fields.wrong("name-is", *query.name_is, "name-is only with layout = \"record\"",
                           "Give one cell as = \"name\" instead.");
    if (query.name_is && query.name_is->empty())
        query_fields.wrong("name-is", "", "a name", "Write the component's name.");
    if (query.name_is && !names.empty())
        query_fields.wrong("name-is", *query.name_is, "either name-is or a cell as = \"name\"",
                           "Leave one of the two out.");
    if (!query.name_is && names.empty())
        problems.add(cells, "", "one cell with as = \"name\" in " + query_fields.path(),
                     "Mark the cell that names the component, or add name-is to a record.");
    if (names.size() > 1 && !query.name_join)
        problems.add(*cells.get(names.back()), names.back(), "one cell with as = \"name\"",
                     "Read the others as text or ignored, or say how their texts are joined: "
                     "name-join = \"/\".");
    if (names.size() < 2 && query.name_join)
        query_fields.wrong("name-join", *query.name_join, "two cells or more with as = \"name\"",
                           "Leave it out.");
}

/// Word lists may say one thing from two sides (reading compares them); other cells have no need
/// to.
void check_attributes(const toml::table& cells, const Query& query, Problems& problems) {
    std::map<state::Attribute, std::string> first;
    for (const auto& [label, meaning] : query.cells) {
        if (!meaning.attribute)
            continue;
        const auto [at, is_new] = first.emplace(*meaning.attribute, label);
        if (!is_new)
            problems.add(*cells.get(label), std::string{to_word(*meaning.attribute)},
                         "an attribute that \"" + at->second + "\" does not give already",
                         "Read one of the two cells as ignored.");
    }
}

} // namespace

void read_cells(Fields& query_fields, const std::vector<std::string>& labels,
                const Profile& profile, Query& query) {
    Problems& problems = query_fields.problems();
    const std::string& path = query_fields.path();
    const std::string sub = path.substr(0, path.size() - 1) + ".cells]";
    const toml::table* cells = query_fields.table("cells");
    if (cells == nullptr) {
        if (!query_fields.source().contains("cells"))
            problems.add(query_fields.source(), "", "a table " + sub,
                         "Say there what each label means.");
        return;
    }
    for (const auto& [key, value] : *cells) {
        const std::string label{key.str()};
        const bool known = std::find(labels.begin(), labels.end(), label) != labels.end();
        if (!labels.empty() && !known)
            problems.add(key.source(), label, "a label of the layout: " + one_of(labels),
                         did_you_mean(label, labels, "Leave it out, or add it to the layout."));
        if (!value.is_table()) {
            problems.add(value, shown(value), "what the cell means",
                         "Write for example \"" + label + "\" = { as = \"ignored\" }.");
            continue;
        }
        query.cells[label] =
            read_meaning(*value.as_table(), sub + " \"" + label + '"', profile, problems);
    }
    for (const std::string& label : labels)
        if (!cells->contains(label))
            problems.add(*cells, "", "the label \"" + label + "\" in " + sub,
                         "Add \"" + label + "\" = { as = \"ignored\" } if it says nothing of use.");
    check_names(query_fields, *cells, query);
    check_attributes(*cells, query, problems);
}

} // namespace slotwitness::profiles
