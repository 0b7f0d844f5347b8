#pragma once

#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/watch/attention.hpp>

#include <optional>
#include <string>
#include <vector>

/// One function a verb: takes what the command line said, prints, and returns the exit code.
namespace slotwitness::program {

struct ServeOptions {
    std::string config;
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
    std::string config;
    std::string person;
    std::string role;
    std::string expires;   ///< a duration as people write it; empty: 12 h
    std::string procedure; ///< of a rack token
    std::string id;        ///< of the one to revoke
    bool json = false;
};

[[nodiscard]] int serve(const ServeOptions& options);
[[nodiscard]] int look(const LookOptions& options);
[[nodiscard]] int ask(const AskOptions& options);
[[nodiscard]] int read(const ReadOptions& options);
[[nodiscard]] int check_packs(const ReadOptions& options); ///< `read --check`
[[nodiscard]] int capture(const CaptureOptions& options);
[[nodiscard]] int replay(const ReplayOptions& options);
[[nodiscard]] int report(const ReportOptions& options);
[[nodiscard]] int explain(const ExplainOptions& options);
[[nodiscard]] int explain_procedure(const ExplainOptions& options); ///< `explain --procedure`
/// What may be sent, and what it costs a chassis at this pace within this budget.
[[nodiscard]] int explain_profile(const profiles::Profile& profile, const watch::Pace& pace,
                                  const watch::Budget& budget, bool as_json);
[[nodiscard]] int ready(const ReadyOptions& options);
[[nodiscard]] int rehearse(const RehearseOptions& options);
[[nodiscard]] int make_token(const TokenOptions& options);
[[nodiscard]] int list_tokens(const TokenOptions& options);
[[nodiscard]] int revoke_token(const TokenOptions& options);

} // namespace slotwitness::program
