#pragma once

#include "profile.hpp"

#include <slotwitness/keys/fields.hpp>

#include <string>
#include <string_view>
#include <vector>

/// The parts of the schema, each read in a .cpp of its own.
namespace slotwitness::profiles {

using keys::check_id;
using keys::did_you_mean;
using keys::Fields;
using keys::is_id;
using keys::one_of;
using keys::Problems;
using keys::shown;

/// What a written word of a query may hold. No blank, quote, control byte or sign that a shell acts
/// on.
inline constexpr std::string_view word_alphabet =
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:,=+";

/// [terminal]; `profile` has its grammar.
[[nodiscard]] Terminal read_terminal(const toml::table& table, const Profile& profile,
                                     Problems& problems);
/// [reach]; `profile` has its grammar and its terminal.
[[nodiscard]] Reach read_reach(const toml::table& table, const Profile& profile,
                               Problems& problems);
/// [refusals]
[[nodiscard]] Refusals read_refusals(const toml::table& table, Problems& problems);
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
/// [face.front], [face.rear]
[[nodiscard]] std::map<Side, Face> read_faces(const toml::table& table, Problems& problems);
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
