#include "layout_keys.hpp"
#include "schema.hpp"

#include <array>

namespace slotwitness::profiles {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t largest_answer = 64 * 1'048'576; ///< a whole answer is held in memory
constexpr std::size_t most_session_queries = 8;
constexpr std::size_t longest_session_query = 256; ///< bytes

/// Words parted by single blanks.
bool is_command(std::string_view text) {
    return !text.empty() && text.size() <= longest_session_query && text.front() != ' ' &&
           text.back() != ' ' && text.find("  ") == std::string_view::npos &&
           text.find_first_not_of(std::string(word_alphabet) + ' ') == std::string_view::npos;
}

/// "ctrl-l" as the byte that it sends.
char control(std::string_view key) {
    constexpr char letters_begin = 0x60;
    return static_cast<char>(key.back() - letters_begin);
}

/// Its keys are read, and so known, also where they may not stand.
std::optional<Shell::Console> read_console(Fields& fields) {
    const bool is_there = fields.truth("console").value_or(false);
    Shell::Console console;
    const auto key = [&](std::string_view name, const std::vector<std::string>& keys, char& into) {
        const auto which = fields.word(name, keys);
        if (which)
            into = control(keys[*which]);
        if (is_there)
            fields.require(name, std::string(name) + " = \"" + keys.front() +
                                     "\", if that is what it does on this device");
        else if (which)
            fields.wrong(name, keys[*which], "console = true beside it",
                         "Leave it out unless the shell is behind a console server.");
    };
    key("redraw-key", {"ctrl-l", "ctrl-r"}, console.redraw_key);
    key("clear-key", {"ctrl-u", "ctrl-x", "ctrl-c"}, console.clear_key);
    console.quiet = fields.duration("quiet", 100ms, 10s).value_or(console.quiet);
    return is_there ? std::optional(console) : std::nullopt;
}

Shell read_shell(Fields& fields, const Profile& profile) {
    Shell shell;
    fields.require("prompt", "prompt = [\"prompt\"], rules of [grammar]");
    shell.prompt = line_matcher(fields, "prompt", profile);
    shell.session_queries = fields.texts("session-queries");
    if (shell.session_queries.size() > most_session_queries)
        fields.wrong("session-queries", std::to_string(shell.session_queries.size()) + " queries",
                     "at most " + std::to_string(most_session_queries),
                     "Leave out what only makes reading more pleasant for people.");
    for (const std::string& query : shell.session_queries)
        if (!is_command(query))
            fields.wrong("session-queries", query,
                         "words of letters, digits and - _ . / : , = +, parted by single blanks",
                         "Write what switches the pager off for this session alone.");
    constexpr std::string_view keys = " \r";
    if (const auto key = fields.word("pager-key", {"blank", "return"})) {
        shell.pager_key = keys[*key];
        if (profile.terminal.pagers.empty())
            fields.wrong("pager-key", *key == 0 ? "blank" : "return",
                         "pagers in [terminal], which it answers",
                         "Add pagers = [\"…\"] to [terminal], or leave it out.");
    }
    shell.console = read_console(fields);
    if (const auto columns = fields.integer("columns", 80, 4096))
        shell.columns = static_cast<std::size_t>(*columns);
    return shell;
}

} // namespace

Reach read_reach(const toml::table& table, const Profile& profile, Problems& problems) {
    Fields fields{table, "[reach]", problems};
    Reach reach;
    constexpr std::array ways{Reach::By::command, Reach::By::netconf, Reach::By::shell};
    if (const auto by = fields.word("by", {"command", "netconf", "shell"}))
        reach.by = ways[*by];
    if (const auto parallel = fields.integer("parallel", 1, 16))
        reach.parallel = static_cast<std::size_t>(*parallel);
    if (reach.by != Reach::By::command && reach.parallel != 1)
        fields.wrong("parallel", std::to_string(reach.parallel), "1 unless by = \"command\"",
                     "Leave it out: a NETCONF session or a shell answers one query after the "
                     "other.");
    reach.timeout = fields.duration("timeout", 100ms, 10min).value_or(reach.timeout);
    reach.longest_answer =
        fields.size("longest-answer", 1'000, largest_answer).value_or(reach.longest_answer);
    if (reach.by == Reach::By::shell)
        reach.shell = read_shell(fields, profile);
    fields.finish();
    return reach;
}

} // namespace slotwitness::profiles
