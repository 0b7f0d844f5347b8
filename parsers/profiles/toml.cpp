#include "attributes.hpp"
#include "merge.hpp"
#include "schema.hpp"

#include <algorithm>
#include <memory>
#include <sstream>

namespace slotwitness::profiles {
namespace {

constexpr std::size_t largest_profile = 1'000'000; ///< bytes; a family takes some ten thousand
constexpr std::size_t most_queries = 256;
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
    static_cast<void>(fields.text("based-on"));
    fields.finish();
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

/// `key` of `table` names a query that reads `attribute` of the chassis.
void check_chassis_query(const toml::table& root, std::string_view path, const std::string& id,
                         const Profile& profile, state::Attribute attribute, std::string_view what,
                         Problems& problems) {
    const toml::node* node = root.at_path(path).node();
    if (node == nullptr)
        return;
    std::vector<std::string> ids;
    for (const auto& [known, query] : profile.queries)
        ids.push_back(known);
    const auto query = profile.queries.find(id);
    if (query == profile.queries.end())
        problems.add(*node, id, "the id of a query",
                     did_you_mean(id, ids, "Add [query." + id + "]."));
    else if (!kinds_of(query->second).contains(state::Kind::chassis) ||
             !parameters_of(query->second).empty() ||
             !attributes_of(profile, query->second).contains(attribute))
        problems.add(*node, id,
                     "a query of kind \"chassis\" without parameters that reads the " +
                         std::string{to_word(attribute)},
                     "Name another query, or leave " + std::string{what} + " out.");
}

void check_identity(const toml::table& root, const Profile& profile, Problems& problems) {
    if (profile.identity)
        check_chassis_query(root, "profile.identity", *profile.identity, profile,
                            state::Attribute::serial, "identity", problems);
}

void check_proven_for(const toml::table& root, const Profile& profile, Problems& problems) {
    if (profile.proven_for)
        check_chassis_query(root, "proven-for.query", profile.proven_for->query, profile,
                            state::Attribute::software_rev, "[proven-for]", problems);
}

/// The last file is based on none, or it has not been read.
void check_based_on(const toml::table& document, std::span<const ProfileFile> files,
                    Problems& problems) {
    if (!based_on(files.back().text))
        return;
    const toml::node* node = document.at_path("profile.based-on").node();
    problems.add(*node, shown(*node), "a profile that can be read, not based on this one in turn",
                 "Name a file; at most " + std::to_string(most_profile_files) +
                     " rest on one another.");
}

/// The merged profile as one text, which is based on nothing.
std::string standing_alone(toml::table& document) {
    document["profile"].as_table()->erase("based-on");
    std::ostringstream text;
    text << document << '\n';
    return text.str();
}

void read_document(const toml::table& document, Profile& profile, Problems& problems) {
    Fields root{document, "the profile", problems};
    read_header(root, profile, problems);
    profile.words = hardware_xml_words();
    if (const auto* table = root.table("grammar"))
        profile.grammar = read_grammar(*table, problems);
    if (const auto* table = root.table("terminal"))
        profile.terminal = read_terminal(*table, profile, problems);
    if (const auto* table = root.table("reach"))
        profile.reach = read_reach(*table, profile, problems);
    if (const auto* table = root.table("refusals"))
        profile.refusals = read_refusals(*table, problems);
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
    if (const auto* table = root.table("proven-for"))
        profile.proven_for = read_proven_for(*table, problems);
    if (const auto* table = root.table("stated"))
        profile.stated = read_stated(*table, problems);
    if (const auto* table = root.table("face"))
        profile.faces = read_faces(*table, problems);
    root.finish();
    check_identity(document, profile, problems);
    check_proven_for(document, profile, problems);
}

} // namespace

tl::expected<Profile, std::vector<state::Problem>>
parse_profile(std::span<const ProfileFile> files) {
    Problems problems{files};
    Profile profile;
    for (const ProfileFile& file : files)
        if (file.text.size() > largest_profile)
            problems.add({{}, {}, std::make_shared<const std::string>(file.name)},
                         std::to_string(file.text.size()) + " bytes",
                         "at most " + std::to_string(largest_profile) + " bytes",
                         "Give the daemon a profile, not another file.");
    if (!problems.empty())
        return tl::make_unexpected(std::move(problems).take());
    if (auto document = merged_document(files, problems)) {
        check_based_on(*document, files, problems);
        read_document(*document, profile, problems);
        profile.text = files.size() == 1 ? files.front().text : standing_alone(*document);
    }
    if (!problems.empty())
        return tl::make_unexpected(std::move(problems).take());
    return profile;
}

tl::expected<Profile, std::vector<state::Problem>> parse_profile(std::string_view toml,
                                                                 std::string_view file) {
    const ProfileFile one{std::string{file}, std::string{toml}};
    return parse_profile({&one, 1});
}

} // namespace slotwitness::profiles
