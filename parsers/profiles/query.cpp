#include "attributes.hpp"
#include "schema.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::profiles {
namespace {

constexpr std::size_t most_words = 32;
constexpr std::size_t longest_word = 256; ///< bytes; a command line is far shorter

/// What a written word may hold. No blank, quote, control byte or sign that a shell acts on.
constexpr std::string_view word_alphabet = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                           "0123456789-_./:,=+";

std::vector<std::string> kind_words() {
    std::vector<std::string> words;
    for (const state::Kind kind : state::words_of<state::Kind>())
        words.emplace_back(to_word(kind));
    return words;
}

template <class Map>
std::vector<std::string> keys_of(const Map& map) {
    std::vector<std::string> keys;
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

void read_ask(Fields& fields, const Profile& profile, Query& query) {
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

/// Texts that name something once: columns, labels.
void check_labels(Fields& fields, std::string_view key) {
    const toml::node* node = fields.node(key);
    const auto* array = node != nullptr ? node->as_array() : nullptr;
    if (array == nullptr)
        return;
    if (array->empty() || array->size() > layouts::most_columns)
        fields.wrong(key, std::to_string(array->size()) + " of them",
                     "1 to " + std::to_string(layouts::most_columns) + " labels",
                     "Name each label as the device prints it.");
    std::set<std::string> seen;
    for (const toml::node& item : *array) {
        const auto* text = item.as_string();
        if (text == nullptr)
            continue;
        const std::string& label = text->get();
        const bool bare = label.empty() || label.front() == ' ' || label.back() == ' ' ||
                          std::any_of(label.begin(), label.end(), [](char byte) {
                              return static_cast<unsigned char>(byte) < 0x20 || byte == 0x7f;
                          });
        if (bare)
            fields.problems().add(item, label, "a label as printed, without blanks around it",
                                  "Take blanks and control bytes away.");
        else if (!seen.insert(label).second)
            fields.problems().add(item, label, "each label once",
                                  "Leave the second out; a layout with two columns of one name "
                                  "cannot be told apart.");
    }
}

layouts::TableSpec read_table_spec(const toml::table& table, const std::string& path,
                                   Problems& problems) {
    using Edges = layouts::TableSpec::Edges;
    Fields fields{table, path, problems};
    layouts::TableSpec spec;
    fields.require("edges", "edges = \"header\"");
    fields.require("columns", "columns = [\"SLOT\", \"STATE\"]");
    if (const auto at = fields.word("edges", {"header", "rule", "blanks"}))
        spec.edges = std::to_array({Edges::header, Edges::rule, Edges::blanks}).at(*at);
    spec.columns = fields.texts("columns");
    check_labels(fields, "columns");
    spec.right_aligned = fields.texts("right-aligned");
    for (const std::string& label : spec.right_aligned)
        if (std::find(spec.columns.begin(), spec.columns.end(), label) == spec.columns.end())
            fields.wrong("right-aligned", label, "a label that columns has",
                         did_you_mean(label, spec.columns, "Leave it out, or add the column."));
    spec.wraps = fields.truth("wraps").value_or(false);
    spec.rows_after_blank = fields.truth("rows-after-blank").value_or(false);
    spec.pass_over = fields.texts("pass-over");
    spec.empty = fields.texts("empty");
    if (spec.edges == Edges::blanks && spec.wraps)
        fields.wrong("wraps", "true", "no wraps where edges = \"blanks\"",
                     "Leave it out: without edges a wrapped cell cannot be told from a row.");
    if (spec.edges == Edges::blanks && !spec.right_aligned.empty())
        fields.wrong("right-aligned", spec.right_aligned.front(),
                     "no right-aligned where edges = \"blanks\"", "Leave it out.");
    fields.finish();
    return spec;
}

layouts::RecordSpec read_record_spec(const toml::table& table, const std::string& path,
                                     Problems& problems) {
    Fields fields{table, path, problems};
    layouts::RecordSpec spec;
    fields.require("labels", "labels = [\"Serial\", \"State\"]");
    spec.heading = fields.text("heading").value_or("");
    const std::vector<std::string> separators{":", "="};
    if (const auto at = fields.word("separator", separators))
        spec.separator = separators[*at];
    spec.labels = fields.texts("labels");
    check_labels(fields, "labels");
    for (const std::string& label : spec.labels)
        if (label == spec.heading || label.find(spec.separator) != std::string::npos)
            fields.wrong("labels", label,
                         "a label other than the heading and without \"" + spec.separator + '"',
                         "Correct the label.");
    spec.pass_over = fields.texts("pass-over");
    spec.empty = fields.texts("empty");
    fields.finish();
    return spec;
}

std::vector<std::string> read_layout(Fields& fields, Query& query) {
    fields.require("layout", "layout = \"table\"");
    const std::vector<std::string> layouts{"table", "record"};
    const auto layout = fields.word("layout", layouts);
    const toml::table* table = fields.table("table");
    const toml::table* record = fields.table("record");
    if (!layout)
        return {};
    const std::string name = layouts[*layout];
    const std::string path = fields.path();
    const std::string sub = path.substr(0, path.size() - 1) + "." + name + "]";
    const toml::table* chosen = name == "table" ? table : record;
    if (const std::string& other = layouts[1 - *layout];
        (name == "table" ? record : table) != nullptr)
        fields.wrong(other, other, "only the table of layout = \"" + name + '"',
                     "Leave it out, or write layout = \"" + other + "\".");
    if (chosen == nullptr) {
        fields.wrong("layout", name, "a table " + sub + " that describes it", "Add " + sub + ".");
        return {};
    }
    std::vector<std::string> labels;
    if (name == "table") {
        const auto spec = read_table_spec(*chosen, sub, fields.problems());
        labels = spec.columns;
        query.layout = spec;
    } else {
        const auto spec = read_record_spec(*chosen, sub, fields.problems());
        labels = spec.labels;
        if (!spec.heading.empty())
            labels.push_back(spec.heading);
        query.layout = spec;
    }
    return labels;
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
    fields.require("kind", "kind = \"plane\"");
    if (const auto at = fields.word("kind", kind_words()))
        query.kind = state::words_of<state::Kind>()[*at];
    query.lists = fields.truth("lists").value_or(false);
    if (query.lists && !parameters_of(query).empty())
        fields.wrong("lists", "true", "no lists in a query with a parameter",
                     "Leave it out: an answer about one component names no others.");
    query.name_is = fields.text("name-is");
    const std::vector<std::string> labels = read_layout(fields, query);
    read_cells(fields, labels, profile, query);
    fields.finish();
    return query;
}

} // namespace slotwitness::profiles
