#pragma once

#include "fields.hpp"
#include "profile.hpp"

#include <string>
#include <vector>

/// The parts of the schema, each read in a .cpp of its own.
namespace slotwitness::profiles {

/// Lower-case letters, digits and "-", from a letter: what names queries, word lists and
/// parameters.
[[nodiscard]] bool is_id(std::string_view text);
/// Adds a problem where the key of a table is not an id; true if it is one.
bool check_id(const toml::key& key, std::string_view what, Problems& problems);

/// [terminal]; `profile` has its grammar.
[[nodiscard]] Terminal read_terminal(const toml::table& table, const Profile& profile,
                                     Problems& problems);
/// [grammar]
[[nodiscard]] std::shared_ptr<const abnf::Grammar> read_grammar(const toml::table& table,
                                                                Problems& problems);

/// What the leaves of RFC 8348 mean, and the lists of their words.
[[nodiscard]] std::map<std::string, Meaning> hardware_xml_cells();
[[nodiscard]] std::map<std::string, WordList> hardware_xml_words();

/// [proven-for]
[[nodiscard]] ProvenFor read_proven_for(const toml::table& table, Problems& problems);
/// [stated.KIND.NAME]
[[nodiscard]] std::map<state::Kind, std::map<std::string, Stated, std::less<>>>
read_stated(const toml::table& table, Problems& problems);
/// [words.NAME]
[[nodiscard]] WordList read_words(const toml::table& table, const std::string& path,
                                  Problems& problems);
/// [query.ID] with its layout and cells. `profile` has its words and parameters.
[[nodiscard]] Query read_query(const toml::table& table, const std::string& id,
                               const Profile& profile, Problems& problems);
/// [query.ID.cells]; `labels` are those of the layout.
void read_cells(Fields& query_fields, const std::vector<std::string>& labels,
                const Profile& profile, Query& query);

} // namespace slotwitness::profiles
