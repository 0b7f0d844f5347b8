#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <nlohmann/json_fwd.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

/// What a program's own JSON says, in the words in which a reading of its text must say it. The
/// file fixtures/linux/oracles.toml describes each key.
namespace slotwitness::profiles::oracle {

/// How one fact is taken from an element of the JSON list.
struct Source {
    std::vector<std::string> at; ///< pointers (RFC 6901)
    std::string join;
    std::optional<std::string> each;
    std::optional<std::string> has;
    std::map<std::string, std::string> words;
};

struct Program {
    std::string profile; ///< file in fixtures/linux
    std::string query;
    std::string json; ///< command
    std::string rows;
    std::vector<std::string> pairs;
    std::string name_at; ///< a pointer, or
    std::string name_is; ///< the name itself
    std::vector<std::string> unread;
    std::map<std::string, Source> facts; ///< by attribute
};

/// Programs of `toml`; the test fails where a key is wrong.
[[nodiscard]] std::vector<Program> parse_programs(const std::string& text);

struct Told {
    std::string name;
    std::map<std::string, std::string> facts; ///< texts by attribute
    friend bool operator==(const Told&, const Told&) = default;
};
void PrintTo(const Told& told, std::ostream* out);

/// What the JSON says.
[[nodiscard]] std::vector<Told> told_by(const Program& program, const nlohmann::json& document);
/// What the reading says, in the same form.
[[nodiscard]] std::vector<Told> told_by(const Program& program, const state::Reading& reading);

/// The output of a command of this machine, or why there is none: not installed, or its status.
struct Output {
    std::optional<std::string> text;
    std::string why;
};
[[nodiscard]] Output output_of(const std::string& command);

} // namespace slotwitness::profiles::oracle
