#pragma once

#include <slotwitness/manual/command_line.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

/// What the command line asks for, a value a verb.
namespace slotwitness::program {

struct ServeOptions {
    std::string config;
    bool log_as_json = false;
};
struct LookOptions {
    std::string config;
    std::vector<std::string> chassis; ///< empty: all of the configuration
    bool show_host_keys = false;      ///< these alone, of devices that nobody trusts yet
    bool json = false;
};
struct AskOptions {
    std::string config;
    std::string chassis;
    std::string sentence;
    std::string gap;     ///< G as people write it; empty: the default
    std::string journal; ///< where the evidence goes; empty: a new file in the temporary folder
    bool json = false;
};
struct ReadOptions {
    std::string profile;
    std::string query;                   ///< empty: the file's name without its ending
    std::vector<std::string> parameters; ///< "module=FAB3"
    std::vector<std::string> files;      ///< with `check`, the folders of evidence packs
    bool draft = false;                  ///< propose a profile instead of reading with one
    bool check = false;                  ///< read evidence packs again
    bool json = false;
};
struct CaptureOptions {
    std::string config;
    std::string chassis;
    std::string to; ///< folder; empty: a new one here, named after chassis and time
    bool json = false;
};
struct ReplayOptions {
    std::string journal;
    bool json = false;
};
struct ReportOptions {
    std::string journal;
    std::string procedure; ///< its id; empty: what the journal has is listed
    std::string page;      ///< where the card goes as a page to print; empty: it is printed here
    bool json = false;
};
struct ExplainOptions {
    std::string sentence;
    std::string profile;
    std::string config; ///< with `chassis` in the place of a profile
    std::string chassis;
    std::string procedure;
    std::vector<std::string> with; ///< "module=FAB3"
    std::string sheet;             ///< where the run sheet of the procedure goes; empty: nowhere
    bool json = false;
};
struct ReadyOptions {
    std::string config;
    std::string chassis;
    std::string procedure;         ///< a file
    std::vector<std::string> with; ///< "module=FAB3"
    bool json = false;
};
struct RehearseOptions {
    std::string config;
    std::string chassis;
    std::string rehearsal;
    std::string control; ///< socket of the simulated chassis
};
struct TokenOptions {
    enum class Act : std::uint8_t { make, list, revoke };
    Act act = Act::list;
    std::string config;
    std::string person;
    std::string role;
    std::string expires;   ///< a duration as people write it; empty: 12 h
    std::string procedure; ///< of a rack token
    std::string address;   ///< by which a phone reaches the daemon; empty: by the configuration
    bool qr = false;       ///< draw the rack address also where no person seems to look
    std::string id;        ///< of the one to revoke
    bool json = false;
};

using Options =
    std::variant<ServeOptions, LookOptions, AskOptions, ReadOptions, CaptureOptions, ReplayOptions,
                 ReportOptions, ExplainOptions, ReadyOptions, RehearseOptions, TokenOptions>;

/// What the words ask for. The error is the exit code, 0 where help or version was asked for; what
/// there is to say was printed.
[[nodiscard]] tl::expected<Options, int> parse_options(int argc, const char* const* argv);

/// The same command line as a value, from which man page and completion are made.
[[nodiscard]] manual::CommandLine command_line();

} // namespace slotwitness::program
