#pragma once

#include "refusals.hpp"

#include <slotwitness/abnf/grammar.hpp>
#include <slotwitness/keys/file.hpp>
#include <slotwitness/layouts/free_text.hpp>
#include <slotwitness/layouts/hardware_xml.hpp>
#include <slotwitness/layouts/json.hpp>
#include <slotwitness/layouts/record.hpp>
#include <slotwitness/layouts/table.hpp>
#include <slotwitness/layouts/xml.hpp>
#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/state/reading.hpp>

#include <tl/expected.hpp>

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// One device family, as a network engineer describes it in TOML. The schema is in this
/// folder's README.md.
namespace slotwitness::profiles {

/// A word of a query: written in the profile, or the place of a parameter.
struct Parameter {
    std::string name; ///< a word of `Profile::parameters`
    friend bool operator==(const Parameter&, const Parameter&) = default;
};
using Word = std::variant<std::string, Parameter>;

/// The closed alphabet of a parameter: what may stand in the place of the parameter, and how long.
struct Alphabet {
    std::string characters; ///< each byte that may occur; letters, digits and `-_.:/` at most
    std::size_t longest = 32;
};

/// How a cell becomes facts.
struct Meaning {
    enum class As { name, word, text, names, quantity, ignored };
    As as = As::ignored;
    std::optional<state::Attribute> attribute; ///< for text, names, quantity
    std::string words;                         ///< for word: the name of a word list
    std::string unit;                          ///< for quantity: unit of a bare number, e.g. "rpm"
    bool gravest =
        false; ///< for word: several words may stand, parted by blanks, and the gravest counts
    bool required = true; ///< an empty cell makes the fact unknown with a remark
    std::string until;    ///< the text ends before the first of this: "veth0@if5" until "@"
    std::vector<std::string> empty; ///< texts that stand for an empty cell: "-", "n/a"
};

/// How an answer is laid out.
using Layout = std::variant<layouts::TableSpec, layouts::RecordSpec, layouts::Lines,
                            layouts::JsonSpec, layouts::XmlSpec, layouts::HardwareXmlSpec>;

struct Query {
    std::string id;
    std::vector<Word> ask;      ///< joined by single blanks; over NETCONF one word, the filter
    units::Duration refresh{0}; ///< the device renews the table behind this answer this often
    state::Kind kind =
        state::Kind::chassis; ///< of the rows, unless the layout tells the kind of each
    bool lists = false;       ///< the whole answer names every present component of `kind`
    std::optional<std::string>
        name_is; ///< for records without a name cell: the name of its one component
    std::optional<std::string>
        name_join; ///< between the texts of several name cells, in the order of the text
    Layout layout;
    std::map<std::string, Meaning> cells; ///< by label
};

/// What a device word means: one or more facts at once ("admin locked", "oper disabled").
struct Meant {
    state::Attribute attribute = state::Attribute::oper;
    state::Value value;
};
using WordList = std::map<std::string, std::vector<Meant>, std::less<>>;

/// How a login shell of the family is spoken to.
struct Shell {
    layouts::LineMatcher prompt;              ///< what may be its prompt
    std::vector<std::string> session_queries; ///< asked once after each login, in this order
    std::optional<char> pager_key;            ///< answers the prompts of `Terminal::pagers`
    std::size_t columns = 512;                ///< of the terminal that is asked for
    /// The shell is there already, behind a console server. The keys are control characters.
    struct Console {
        char redraw_key = '\f';     ///< shows the prompt, and what is typed behind it, anew
        char clear_key = '\x15';    ///< takes away what is typed there
        units::Duration quiet{500}; ///< so long nothing comes before it is acted upon
    };
    std::optional<Console> console;
};

struct Reach {
    /// An SSH exec request a query, NETCONF over SSH (RFC 6242), or lines typed into a login shell.
    enum class By { command, netconf, shell };
    By by = By::command;
    std::size_t parallel = 1;             ///< queries asked at once, each on a channel of its own
    units::Duration timeout{15'000};      ///< for one answer
    std::size_t longest_answer = 1 << 20; ///< bytes
    Shell shell;                          ///< by shell alone
};

/// What the device's terminal adds to answers.
struct Terminal {
    std::vector<std::string> pagers; ///< prompts, as printed
    bool echo = false;               ///< the first line may be the query itself
    bool has_log_lines = false;
    layouts::LineMatcher log_lines; ///< lines that may be thrown in anywhere
    std::optional<std::size_t> tab_width;
};

/// The software that a profile was tried with. Outside of it answers are read, but confirm nothing
/// unless the operator allows the version by name.
struct ProvenFor {
    std::string query; ///< its chassis row tells the software-rev
    std::string from;  ///< the first version, as the device prints it
    std::string to;    ///< the last, itself included
};

/// What the family does not tell of a component, so the profile states it.
using Stated = std::map<state::Attribute, state::Value>; ///< label, serves, covers

/// A side of the chassis that people stand before.
enum class Side { front, rear };
[[nodiscard]] std::string_view to_word(Side value);
/// Its slots by their names, in rows from the top, each from the left; "" is a place without one.
using Face = std::vector<std::vector<std::string>>;

struct Profile {
    std::string family;
    Reach reach;
    Refusals refusals;
    std::shared_ptr<const abnf::Grammar>
        grammar; ///< the rules of free text, footers and log lines; or null
    Terminal terminal;
    std::map<std::string, Alphabet> parameters;
    std::map<std::string, WordList> words;
    std::map<std::string, Query, std::less<>> queries;
    std::optional<std::string> identity; ///< the query whose chassis row carries the serial
    std::optional<ProvenFor> proven_for;
    std::map<state::Kind, std::map<std::string, Stated, std::less<>>> stated; ///< by kind and name
    std::map<Side, Face> faces;
    std::string text; ///< TOML that reads as this profile by itself: the journal keeps it
};

/// A query with its parameters filled in. `key` is its name in journal and witness: "planes",
/// "module-detail FAB3"; several values stand in the order of the parameters' names.
struct Asking {
    std::string query;
    std::map<std::string, std::string> parameters;
    [[nodiscard]] std::string key() const;
    friend auto operator<=>(const Asking&, const Asking&) = default;
};

using ProfileFile = keys::File;

/// Reads a profile. `files` begins with the profile itself, followed by the one that it is based
/// on, and so on. Tables of one name are merged, key by key, the earlier file first; any other
/// value of the earlier file replaces that of the later. Every problem found is returned, at least
/// one.
[[nodiscard]] tl::expected<Profile, std::vector<state::Problem>>
parse_profile(std::span<const ProfileFile> files);
/// The same for one that is based on no other. `file` names it in problems.
[[nodiscard]] tl::expected<Profile, std::vector<state::Problem>>
parse_profile(std::string_view toml, std::string_view file);

/// The file that this profile is based on, as it names it. Nothing where there is none, or where
/// the text is not TOML: parse_profile says why.
[[nodiscard]] std::optional<std::string> based_on(std::string_view toml);
/// How many files a profile may rest on, its own included.
inline constexpr std::size_t most_profile_files = 8;

/// Whether the profile was tried with the software that the device reports in the answer to
/// `proven_for->query`; if not, why. `allowed`: versions that the operator allows by name. Nothing
/// where the profile says nothing of versions.
[[nodiscard]] std::optional<std::string> not_proven(const Profile& profile,
                                                    const state::Reading& reading,
                                                    std::span<const std::string> allowed);

/// The bytes that ask it (over NETCONF the filter of the get), or why they cannot leave: an unknown
/// query, a missing parameter, a character outside its alphabet. The guard's rule, as a pure
/// function.
[[nodiscard]] tl::expected<std::string, state::Problem> request_bytes(const Profile& profile,
                                                                      const Asking& asking);

/// Reads an answer to `query`. `whole`: the transport saw its end. Rows have no fact for a cell
/// that is empty or missing and not required; an undeclared word, a wrong unit, an empty required
/// cell, a sensor value of ±1000000000 (RFC 8348: beyond its range) and two cells at odds are facts
/// that are unknown, each with a remark. So has an answer none of whose rows is about what the
/// parameters name. A row without a legible name is an unread line.
[[nodiscard]] state::Reading read(const Profile& profile, const Asking& asking,
                                  std::string_view answer, bool whole);
/// The same for a query without parameters.
[[nodiscard]] state::Reading read(const Profile& profile, std::string_view query,
                                  std::string_view answer, bool whole);

/// The kinds of the rows that a query may read.
[[nodiscard]] std::set<state::Kind> kinds_of(const Query& query);

/// What is printed at a slot, as the profile states it; empty if it does not.
[[nodiscard]] std::string label_of(const Profile& profile, std::string_view slot);

/// The queries that a sentence needs, or what the profile lacks: a kind that no query lists, an
/// attribute that none reads.
[[nodiscard]] tl::expected<std::set<Asking>, state::Problem>
needs(const Profile& profile, const sentences::Sentence& sentence);

/// Every query without parameters: what `look` asks.
[[nodiscard]] std::vector<Asking> all_queries(const Profile& profile);

/// The largest refresh among these queries.
[[nodiscard]] units::Duration refresh_of(const Profile& profile, const std::set<Asking>& askings);

/// "planes", or "module-detail FAB3" back to an asking; nothing if it is none of the profile.
[[nodiscard]] std::optional<Asking> from_key(const Profile& profile, std::string_view key);

} // namespace slotwitness::profiles
