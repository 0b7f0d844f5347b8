#include "toml_reader.hpp"

#include <sstream>

namespace slotwitness::program {

namespace {

std::string written(const toml::node& node) {
    std::ostringstream text;
    node.visit([&](const auto& value) { text << value; });
    return text.str();
}

} // namespace

const toml::node* TomlReader::take(std::string_view key) {
    asked_.emplace(key);
    return table_.get(key);
}

void TomlReader::problem(std::string_view key, std::string found, std::string expected,
                         std::string remedy) {
    const toml::node* node = table_.get(key);
    const auto begin = (node ? node->source() : table_.source()).begin;
    problems_.push_back({file_,
                         {begin.line, begin.column},
                         std::move(found),
                         std::move(expected),
                         std::move(remedy)});
}

std::optional<std::string> TomlReader::text(std::string_view key) {
    const toml::node* node = take(key);
    if (!node)
        return std::nullopt;
    if (const auto value = node->value_exact<std::string>(); value && !value->empty())
        return *value;
    problem(key, written(*node), "text in quotes, not empty",
            "write " + std::string(key) + " = \"…\"");
    return std::nullopt;
}

std::string TomlReader::required_text(std::string_view key, std::string_view example) {
    if (!table_.contains(key))
        problem(key, "no " + std::string(key) + " in " + name_, "",
                "add " + std::string(key) + " = \"" + std::string(example) + "\"");
    return text(key).value_or("");
}

std::optional<units::Duration> TomlReader::duration(std::string_view key) {
    const toml::node* node = take(key);
    if (!node)
        return std::nullopt;
    if (const auto value = node->value_exact<std::string>())
        if (const auto duration = units::parse_duration(*value); duration && duration->count() > 0)
            return duration;
    problem(key, written(*node), "a duration above zero in quotes",
            "write such as " + std::string(key) + " = \"2 s\"");
    return std::nullopt;
}

std::optional<std::int64_t> TomlReader::number(std::string_view key, std::int64_t least,
                                               std::int64_t most) {
    const toml::node* node = take(key);
    if (!node)
        return std::nullopt;
    if (const auto value = node->value_exact<std::int64_t>();
        value && *value >= least && *value <= most)
        return value;
    problem(key, written(*node),
            "a whole number from " + std::to_string(least) + " to " + std::to_string(most),
            "write it without quotes");
    return std::nullopt;
}

std::optional<std::vector<std::string>> TomlReader::texts(std::string_view key) {
    const toml::node* node = take(key);
    if (!node)
        return std::nullopt;
    std::vector<std::string> values;
    if (const toml::array* array = node->as_array()) {
        for (const toml::node& element : *array)
            if (const auto value = element.value_exact<std::string>(); value && !value->empty())
                values.push_back(*value);
        if (!values.empty() && values.size() == array->size())
            return values;
    }
    problem(key, written(*node), "a list of texts in quotes, not empty",
            "write such as " + std::string(key) + " = [\"1\", \"2\"]");
    return std::nullopt;
}

const toml::table* TomlReader::table(std::string_view key) {
    const toml::node* node = take(key);
    if (!node)
        return nullptr;
    if (const toml::table* table = node->as_table())
        return table;
    problem(key, written(*node), "a table", "write it as a table of its own");
    return nullptr;
}

std::vector<const toml::table*> TomlReader::tables(std::string_view key) {
    const toml::node* node = take(key);
    std::vector<const toml::table*> tables;
    if (!node)
        return tables;
    if (const toml::array* array = node->as_array(); array && array->is_array_of_tables())
        for (const toml::node& element : *array)
            tables.push_back(element.as_table());
    else
        problem(key, written(*node), "tables headed [[" + std::string(key) + "]]",
                "write the heading with two brackets");
    return tables;
}

void TomlReader::finish() {
    for (const auto& [key, node] : table_) {
        if (asked_.contains(key.str()))
            continue;
        std::string known;
        for (const std::string& each : asked_)
            known += (known.empty() ? "" : ", ") + each;
        problem(key.str(), "the key " + std::string(key.str()) + " in " + name_, "one of " + known,
                "correct or remove it");
    }
}

} // namespace slotwitness::program
