#include "attributes.hpp"
#include "layout_keys.hpp"
#include "schema.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::profiles {
namespace {

constexpr std::size_t most_words = 32;
constexpr std::size_t longest_word = 256; ///< bytes; a command line is far shorter

std::vector<std::string> kind_words() {
    std::vector<std::string> words;
    for (const state::Kind kind : state::words_of<state::Kind>())
        words.emplace_back(to_word(kind));
    return words;
}

template <class Map>
std::vector<std::string> keys_of(const Map& map) {
    std::vector<std::string> keys;
    keys.reserve(map.size());
    for (const auto& [key, value] : map)
        keys.push_back(key);
    return keys;
}

std::optional<Word> read_parameter(const toml::table& table, const std::string& path,
                                   const Profile& profile, Problems& problems) {
    Fields fields{table, path + " ask", problems};
    fields.require("parameter", "{ parameter = \"module\" }");
    const auto name = fields.text("parameter");
    fields.finish();
    if (!name)
        return std::nullopt;
    if (!profile.parameters.contains(*name)) {
        const auto known = keys_of(profile.parameters);
        fields.wrong("parameter", *name, "the name of a [parameters.…] table",
                     did_you_mean(*name, known, "Add a table [parameters." + *name + "]."));
        return std::nullopt;
    }
    return Parameter{*name};
}

std::optional<Word> read_written(const toml::node& node, Problems& problems) {
    const auto* text = node.as_string();
    if (text == nullptr) {
        problems.add(node, shown(node), "a word in double quotes or { parameter = \"name\" }",
                     "Write for example ask = [\"tell\", \"planes\"].");
        return std::nullopt;
    }
    const std::string& word = text->get();
    if (word.empty() || word.size() > longest_word ||
        word.find_first_not_of(word_alphabet) != std::string::npos) {
        problems.add(node, word,
                     "a word of 1 to " + std::to_string(longest_word) +
                         " letters, digits and - _ . / : , = +",
                     "Write each word of the command as a text of its own, and a command without "
                     "other characters.");
        return std::nullopt;
    }
    return word;
}

/// Over NETCONF a query is one subtree (RFC 6241, section 6): all of an element, by its name and
/// namespace. Nothing of it is XML that somebody wrote, so nothing can be smuggled in.
void read_get(Fields& query_fields, Query& query) {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    constexpr std::string_view example = "get = { element = \"hardware\", namespace = "
                                         "\"urn:ietf:params:xml:ns:yang:ietf-hardware\" }";
    query_fields.require("get", example);
    const toml::table* table = query_fields.table("get");
    if (table == nullptr)
        return;
    Fields fields{*table, query_fields.path() + " get", query_fields.problems()};
    const auto take = [&](std::string_view key, const std::string& others) {
        std::string text = fields.required_text(key, example);
        const std::string allowed = std::string(letters) + others;
        if (!text.empty() &&
            (text.size() > longest_word || letters.find(text.front()) == std::string_view::npos ||
             text.find_first_not_of(allowed) != std::string::npos))
            fields.wrong(key, text,
                         "letters, digits and " + others.substr(10) +
                             ", the first of them a letter",
                         "Write it as the YANG module has it, without a prefix.");
        return text;
    };
    const std::string element = take("element", "0123456789-_.");
    const std::string name_space = take("namespace", "0123456789-_.:/#~+");
    fields.finish();
    query.ask = {"<" + element + " xmlns=\"" + name_space + "\"/>"};
}

void read_ask(Fields& fields, const Profile& profile, Query& query) {
    if (profile.reach.by == Reach::By::netconf)
        return read_get(fields, query);
    fields.require("ask", "ask = [\"tell\", \"planes\"]");
    const toml::node* node = fields.node("ask");
    if (node == nullptr)
        return;
    const auto* array = node->as_array();
    if (array == nullptr || array->empty() || array->size() > most_words) {
        fields.wrong("ask", shown(*node), "a list of 1 to " + std::to_string(most_words) + " words",
                     "Write for example ask = [\"tell\", \"planes\"].");
        return;
    }
    for (const toml::node& item : *array) {
        const auto word = item.is_table() ? read_parameter(*item.as_table(), fields.path(), profile,
                                                           fields.problems())
                                          : read_written(item, fields.problems());
        if (word && std::holds_alternative<Parameter>(*word) &&
            (query.ask.empty() ||
             std::find(query.ask.begin(), query.ask.end(), *word) != query.ask.end()))
            fields.problems().add(item, std::get<Parameter>(*word).name,
                                  "a parameter once, and after a written word",
                                  "Begin with the command's own words.");
        else if (word)
            query.ask.push_back(*word);
    }
}

} // namespace

Query read_query(const toml::table& table, const std::string& id, const Profile& profile,
                 Problems& problems) {
    using namespace std::chrono_literals;
    Fields fields{table, "[query." + id + "]", problems};
    Query query;
    query.id = id;
    read_ask(fields, profile, query);
    query.refresh = fields.duration("refresh", 0ms, 1h).value_or(0ms);
    // Instance data of RFC 8348 tells the class of each component.
    if (!fields.source()["hardware-xml"].is_table())
        fields.require("kind", "kind = \"plane\"");
    if (const auto at = fields.word("kind", kind_words()))
        query.kind = state::words_of<state::Kind>()[*at];
    query.lists = fields.truth("lists").value_or(false);
    if (query.lists && !parameters_of(query).empty())
        fields.wrong("lists", "true", "no lists in a query with a parameter",
                     "Leave it out: an answer about one component names no others.");
    query.name_is = fields.text("name-is");
    query.name_join = fields.text("name-join");
    Described described = read_layout(fields, profile);
    query.layout = std::move(described.layout);
    if (std::holds_alternative<layouts::HardwareXmlSpec>(query.layout))
        query.cells = hardware_xml_cells();
    else
        read_cells(fields, described.labels, profile, query);
    fields.finish();
    return query;
}

} // namespace slotwitness::profiles
