#include "attributes.hpp"
#include "schema.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t largest_profile = 1'000'000; ///< bytes; a family takes some ten thousand
constexpr std::size_t most_queries = 256;
constexpr std::size_t largest_answer = 64 * 1'048'576; ///< a whole answer is held in memory
constexpr std::string_view parameter_alphabet =
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.:/";

void read_header(Fields& root, Profile& profile, Problems& problems) {
    root.require("profile", "[profile] with format and family");
    const toml::table* table = root.table("profile");
    if (table == nullptr)
        return;
    Fields fields{*table, "[profile]", problems};
    fields.require("format", "format = 1");
    static_cast<void>(fields.integer("format", 1, 1));
    fields.require("family", "family = \"Quillon\"");
    if (const auto family = fields.text("family"); family && family->empty())
        fields.wrong("family", "", "a name for the device family", "Write the family's name.");
    else
        profile.family = family.value_or("");
    profile.identity = fields.text("identity");
    fields.finish();
}

Reach read_reach(const toml::table& table, Problems& problems) {
    Fields fields{table, "[reach]", problems};
    Reach reach;
    if (const auto parallel = fields.integer("parallel", 1, 16))
        reach.parallel = static_cast<std::size_t>(*parallel);
    reach.timeout = fields.duration("timeout", 100ms, 10min).value_or(reach.timeout);
    reach.longest_answer =
        fields.size("longest-answer", 1'000, largest_answer).value_or(reach.longest_answer);
    fields.finish();
    return reach;
}

Alphabet read_alphabet(const toml::table& table, const std::string& path, Problems& problems) {
    Fields fields{table, path, problems};
    Alphabet alphabet;
    fields.require("characters", "characters = \"ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789\"");
    alphabet.characters = fields.text("characters").value_or("");
    const std::size_t bad = alphabet.characters.find_first_not_of(parameter_alphabet);
    if (table.contains("characters") && alphabet.characters.empty())
        fields.wrong("characters", "", "at least one character",
                     "Name each character that a value may hold.");
    else if (bad != std::string::npos)
        fields.wrong("characters", alphabet.characters.substr(bad, 1),
                     "letters, digits and - _ . : /",
                     "Leave it out: it could mean something else to the device.");
    if (const auto longest = fields.integer("longest", 1, 64))
        alphabet.longest = static_cast<std::size_t>(*longest);
    fields.finish();
    return alphabet;
}

/// Calls `read` for each [NAME.ID] below [NAME].
template <class Read>
void each_table(const toml::table& table, const std::string& name, Problems& problems, Read read) {
    for (const auto& [key, value] : table) {
        if (!check_id(key, "[" + name + ".…]", problems))
            continue;
        if (const auto* inner = value.as_table())
            read(std::string{key.str()}, *inner);
        else
            problems.add(value, shown(value),
                         "a table [" + name + "." + std::string{key.str()} + "]",
                         "Write it under a line of its own in brackets.");
    }
}

void check_identity(const toml::table& root, const Profile& profile, Problems& problems) {
    const toml::node* node = root.at_path("profile.identity").node();
    if (!profile.identity || node == nullptr)
        return;
    std::vector<std::string> ids;
    for (const auto& [id, query] : profile.queries)
        ids.push_back(id);
    const auto query = profile.queries.find(*profile.identity);
    if (query == profile.queries.end()) {
        problems.add(
            *node, *profile.identity, "the id of a query",
            did_you_mean(*profile.identity, ids, "Add [query." + *profile.identity + "]."));
        return;
    }
    if (query->second.kind != state::Kind::chassis || !parameters_of(query->second).empty() ||
        !attributes_of(profile, query->second).contains(state::Attribute::serial))
        problems.add(*node, *profile.identity,
                     "a query of kind \"chassis\" without parameters that reads the serial",
                     "Name another query, or leave identity out.");
}

void read_document(const toml::table& document, Profile& profile, Problems& problems) {
    Fields root{document, "the profile", problems};
    read_header(root, profile, problems);
    if (const auto* table = root.table("reach"))
        profile.reach = read_reach(*table, problems);
    if (const auto* table = root.table("words"))
        each_table(*table, "words", problems, [&](const std::string& id, const toml::table& words) {
            profile.words[id] = read_words(words, "[words." + id + "]", problems);
        });
    if (const auto* table = root.table("parameters"))
        each_table(*table, "parameters", problems,
                   [&](const std::string& id, const toml::table& parameter) {
                       profile.parameters[id] =
                           read_alphabet(parameter, "[parameters." + id + "]", problems);
                   });
    root.require("query", "[query.planes]");
    if (const auto* table = root.table("query")) {
        if (table->empty() || table->size() > most_queries)
            problems.add(*table, std::to_string(table->size()) + " queries",
                         "1 to " + std::to_string(most_queries) + " queries",
                         "Describe at least one query.");
        else
            each_table(*table, "query", problems,
                       [&](const std::string& id, const toml::table& query) {
                           profile.queries[id] = read_query(query, id, profile, problems);
                       });
    }
    root.finish();
    check_identity(document, profile, problems);
}

} // namespace

bool is_id(std::string_view text) {
    return !text.empty() && text.size() <= 64 && text.front() >= 'a' && text.front() <= 'z' &&
           text.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") ==
               std::string_view::npos;
}

bool check_id(const toml::key& key, std::string_view what, Problems& problems) {
    if (is_id(key.str()))
        return true;
    problems.add(key.source().begin, std::string{key.str()},
                 "in " + std::string{what} + " a name of lower-case letters, digits and -",
                 "Rename it, for example \"module-detail\".");
    return false;
}

tl::expected<Profile, std::vector<state::Problem>> parse_profile(std::string_view toml,
                                                                 std::string_view file) {
    Problems problems{toml, file};
    Profile profile;
    profile.text = toml;
    if (toml.size() > largest_profile) {
        problems.add({1, 1}, std::to_string(toml.size()) + " bytes",
                     "at most " + std::to_string(largest_profile) + " bytes",
                     "Give the daemon a profile, not another file.");
        return tl::make_unexpected(std::move(problems).take());
    }
    try {
        read_document(toml::parse(toml, file), profile, problems);
    } catch (const toml::parse_error& error) {
        problems.add(error.source().begin, "", "TOML: " + std::string{error.description()},
                     "Correct the line; toml.io describes the notation.");
    }
    if (!problems.empty())
        return tl::make_unexpected(std::move(problems).take());
    return profile;
}

} // namespace slotwitness::profiles
