#include "oracle.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <memory>
#include <ostream>
#include <set>
#include <sstream>
#include <sys/wait.h>

namespace slotwitness::profiles::oracle {
namespace {

using nlohmann::json;

std::vector<std::string> texts_of(const toml::node* node) {
    std::vector<std::string> texts;
    if (node == nullptr)
        return texts;
    if (const auto* one = node->as_string())
        return {one->get()};
    const auto* array = node->as_array();
    EXPECT_NE(array, nullptr) << "a text or a list of texts: line " << node->source().begin.line;
    if (array != nullptr)
        for (const toml::node& text : *array)
            texts.push_back(text.value<std::string>().value_or(""));
    return texts;
}

void expect_keys(const toml::table& table, const std::set<std::string_view>& known) {
    for (const auto& [key, value] : table)
        EXPECT_TRUE(known.contains(key.str()))
            << "oracles.toml:" << key.source().begin.line << ": " << key.str();
}

Source source_of(const toml::node& node) {
    Source source;
    const auto* table = node.as_table();
    if (table == nullptr) {
        source.at = texts_of(&node);
        return source;
    }
    expect_keys(*table, {"at", "join", "each", "has", "words"});
    source.at = texts_of(table->get("at"));
    source.join = (*table)["join"].value_or("");
    source.each = (*table)["each"].value<std::string>();
    source.has = (*table)["has"].value<std::string>();
    if (const auto* words = (*table)["words"].as_table())
        for (const auto& [word, text] : *words)
            source.words.emplace(word.str(), text.value<std::string>().value_or(""));
    return source;
}

Program program_of(const toml::table& table) {
    expect_keys(table, {"profile", "query", "json", "rows", "pairs", "name", "unread", "facts"});
    Program program;
    program.profile = table["profile"].value_or("");
    program.query = table["query"].value_or("");
    program.json = table["json"].value_or("");
    program.rows = table["rows"].value_or("");
    program.pairs = texts_of(table.get("pairs"));
    program.name_is = table["name"]["is"].value_or("");
    program.name_at = table["name"].value_or("");
    program.unread = texts_of(table.get("unread"));
    if (const auto* facts = table["facts"].as_table())
        for (const auto& [attribute, source] : *facts) {
            EXPECT_TRUE(state::from_word<state::Attribute>(attribute.str())) << attribute.str();
            program.facts.emplace(attribute.str(), source_of(source));
        }
    EXPECT_FALSE(program.json.empty() || program.facts.empty()) << program.profile;
    return program;
}

/// Nothing for null and for what is not there.
std::optional<std::string> text_at(const json& element, const std::string& pointer) {
    const json::json_pointer place{pointer};
    if (!element.contains(place) || element.at(place).is_null())
        return std::nullopt;
    const json& value = element.at(place);
    return value.is_string() ? value.get<std::string>() : value.dump();
}

std::optional<std::string> joined_at(const json& element, const Source& source) {
    std::optional<std::string> joined;
    for (const std::string& pointer : source.at)
        if (const auto text = text_at(element, pointer))
            joined = joined ? *joined + source.join + *text : *text;
    return joined;
}

/// The words of a text in an order of their own.
std::string as_set(const std::string& text) {
    std::istringstream stream{text};
    std::set<std::string> words;
    for (std::string word; stream >> word;)
        words.insert(word);
    std::string sorted;
    for (const std::string& word : words)
        sorted += (sorted.empty() ? "" : " ") + word;
    return sorted;
}

std::optional<std::string> fact_of(const json& element, const Source& source) {
    std::optional<std::string> text;
    if (source.each) {
        std::string all;
        for (const json& one : element.at(json::json_pointer{*source.each}))
            all += joined_at(one, source).value_or("") + " ";
        text = as_set(all);
        if (text->empty())
            return std::nullopt;
    } else if (source.has) {
        const json& list = element.at(json::json_pointer{source.at.at(0)});
        text = std::find(list.begin(), list.end(), *source.has) != list.end() ? "true" : "false";
    } else {
        text = joined_at(element, source);
    }
    if (!text || source.words.empty())
        return text;
    const auto word = source.words.find(*text);
    return word == source.words.end() ? "not declared: " + *text : word->second;
}

/// [{field, data}, …] as one object.
json object_of(const json& list, const std::vector<std::string>& pairs) {
    json object = json::object();
    for (const json& one : list)
        object[one.at(json::json_pointer{pairs.at(0)}).get<std::string>()] =
            one.at(json::json_pointer{pairs.at(1)});
    return object;
}

} // namespace

std::vector<Program> parse_programs(const std::string& text) {
    std::vector<Program> programs;
    try {
        const toml::table file = toml::parse(text);
        expect_keys(file, {"program"});
        if (const auto* array = file["program"].as_array())
            for (const toml::node& one : *array)
                programs.push_back(program_of(*one.as_table()));
    } catch (const toml::parse_error& error) {
        ADD_FAILURE() << "oracles.toml:" << error.source().begin.line << ": "
                      << error.description();
    }
    return programs;
}

void PrintTo(const Told& told, std::ostream* out) {
    *out << told.name << " {";
    for (const auto& [attribute, text] : told.facts)
        *out << ' ' << attribute << "=\"" << text << '"';
    *out << " }";
}

std::vector<Told> told_by(const Program& program, const json& document) {
    json rows = document.at(json::json_pointer{program.rows});
    if (!program.pairs.empty())
        rows = json::array({object_of(rows, program.pairs)});
    else if (rows.is_object())
        rows = json::array({rows});
    std::vector<Told> all;
    for (const json& row : rows) {
        Told told;
        told.name =
            program.name_is.empty() ? text_at(row, program.name_at).value_or("") : program.name_is;
        for (const auto& [attribute, source] : program.facts)
            if (const auto text = fact_of(row, source))
                told.facts.emplace(attribute, *text);
        all.push_back(std::move(told));
    }
    return all;
}

std::vector<Told> told_by(const Program& program, const state::Reading& reading) {
    std::vector<Told> all;
    for (const state::Row& row : reading.rows) {
        Told told{row.name, {}};
        for (const auto& [attribute, fact] : row.facts) {
            const std::string word{to_word(attribute)};
            const std::string text = state::to_text(fact.value);
            const auto source = program.facts.find(word);
            const bool is_set = source != program.facts.end() && source->second.each;
            told.facts.emplace(word, is_set ? as_set(text) : text);
        }
        all.push_back(std::move(told));
    }
    return all;
}

Output output_of(const std::string& command) {
    const std::string program = command.substr(0, command.find(' '));
    const std::string quiet =
        "LC_ALL=C.UTF-8 PATH=$PATH:/usr/sbin:/sbin; export LC_ALL PATH; command -v " + program +
        " >/dev/null || exit 127; " + command + " 2>/dev/null";
    const auto close = [](std::FILE* pipe) { return pclose(pipe); };
    std::unique_ptr<std::FILE, decltype(close)> pipe{popen(quiet.c_str(), "r"), close};
    if (!pipe)
        return {std::nullopt, "no process can be started"};
    std::string text;
    std::array<char, 4096> buffer{};
    while (const std::size_t size = std::fread(buffer.data(), 1, buffer.size(), pipe.get()))
        text.append(buffer.data(), size);
    const int status = pclose(pipe.release());
    if (status == 0)
        return {std::move(text), ""};
    if (WIFEXITED(status) && WEXITSTATUS(status) == 127)
        return {std::nullopt, program + " is not installed"};
    return {std::nullopt, "\"" + command + "\" ends with status " + std::to_string(status)};
}

} // namespace slotwitness::profiles::oracle
