#include "exit_code.hpp"
#include "verbs.hpp"

#include <slotwitness/desk/settings.hpp>
#include <slotwitness/marked/wrapped.hpp>

#include <nlohmann/json.hpp>

#include <iostream>

namespace slotwitness::program {

using marked::wrapped;

namespace {

/// The request as it leaves, with a parameter's place shown by its alphabet: "tell module " + 1 to
/// 8 of A-Z0-9.
nlohmann::json words_of(const profiles::Profile& profile, const profiles::Query& query) {
    nlohmann::json words = nlohmann::json::array();
    for (const profiles::Word& word : query.ask) {
        if (const auto* text = std::get_if<std::string>(&word)) {
            words.push_back(*text);
            continue;
        }
        const std::string& name = std::get<profiles::Parameter>(word).name;
        const profiles::Alphabet& alphabet = profile.parameters.at(name);
        words.push_back({{"parameter", name},
                         {"characters", alphabet.characters},
                         {"longest", alphabet.longest}});
    }
    return words;
}

std::string in_words(const nlohmann::json& words) {
    std::string line;
    for (const auto& word : words) {
        line += line.empty() ? "" : " ";
        if (word.is_string())
            line += word.get<std::string>();
        else
            line += "[" + word["parameter"].get<std::string>() + ": 1 to " +
                    std::to_string(word["longest"].get<std::size_t>()) + " of " +
                    word["characters"].get<std::string>() + "]";
    }
    return line;
}

std::string kinds_in_words(const profiles::Query& query) {
    std::string words;
    for (const state::Kind kind : profiles::kinds_of(query))
        words.append(words.empty() ? "" : ", ").append(state::to_word(kind));
    return words;
}

std::string_view to_word(profiles::Reach::By by) {
    switch (by) {
    case profiles::Reach::By::command:
        return "command";
    case profiles::Reach::By::netconf:
        return "netconf";
    case profiles::Reach::By::shell:
        return "shell";
    }
    return "command";
}

/// What looks at a chassis cost it, at most: every query without a parameter in every look.
nlohmann::json price_of(const profiles::Profile& profile, const watch::Pace& pace,
                        const watch::Budget& budget) {
    const std::size_t in_a_look = profiles::all_queries(profile).size();
    const watch::Price price = watch::price(pace, in_a_look, budget);
    const auto at = [](units::Duration interval, std::size_t queries) {
        return nlohmann::json{{"interval", units::to_text(interval)}, {"queries_an_hour", queries}};
    };
    nlohmann::json told{{"ssh_sessions", 1},
                        {"lines", desk::queries_at_once(profile, budget)},
                        {"queries_a_look", in_a_look},
                        {"queries_at_connecting", desk::queries_at_entrance(profile)},
                        {"budget", nullptr},
                        {"pending", at(pace.pending, price.pending)},
                        {"idle", at(pace.idle, price.idle)}};
    if (budget.queries_an_hour)
        told["budget"] = *budget.queries_an_hour;
    return told;
}

/// Of a control character: "ctrl-l".
std::string name_of(char control) {
    constexpr char letters_begin = 0x60;
    return std::string("ctrl-") + static_cast<char>(control + letters_begin);
}

nlohmann::json explained(const profiles::Profile& profile, const watch::Pace& pace,
                         const watch::Budget& budget) {
    nlohmann::json queries = nlohmann::json::array();
    for (const auto& [id, query] : profile.queries)
        queries.push_back({{"query", id},
                           {"sends", words_of(profile, query)},
                           {"reads", kinds_in_words(query)},
                           {"lists", query.lists},
                           {"refresh", units::to_text(query.refresh)}});
    const profiles::Reach& reach = profile.reach;
    nlohmann::json told = {{"family", profile.family},
                           {"by", to_word(reach.by)},
                           {"channels_at_once", reach.parallel},
                           {"timeout", units::to_text(reach.timeout)},
                           {"longest_answer", reach.longest_answer},
                           {"queries", queries},
                           {"price", price_of(profile, pace, budget)}};
    if (reach.by == profiles::Reach::By::shell) {
        const auto key = reach.shell.pager_key;
        told["shell"] = {{"session_queries", reach.shell.session_queries},
                         {"pager_key", key ? nlohmann::json(*key == ' ' ? "blank" : "return")
                                           : nlohmann::json()},
                         {"pagers", profile.terminal.pagers},
                         {"columns", reach.shell.columns}};
        if (const auto& console = reach.shell.console)
            told["shell"]["console"] = {{"redraw_key", name_of(console->redraw_key)},
                                        {"clear_key", name_of(console->clear_key)}};
    }
    return told;
}

std::string in_words(const nlohmann::json& number, std::string_view one, std::string_view many) {
    return number.dump() + ' ' + std::string{number == 1 ? one : many};
}

void print_shell(const nlohmann::json& shell) {
    const bool is_console = shell.contains("console");
    std::cout << wrapped(
        "", std::string("Each is one line typed into a ") +
                (is_console ? "shell that is there already" : "login shell") +
                ", one after the other, ended by the return key. Besides, the return key "
                "alone asks for the prompt again: after " +
                (is_console ? "it was found" : "login") + ", and after each answer.");
    if (is_console) {
        const auto& console = shell["console"];
        std::cout << wrapped("",
                             "The key " + console["redraw_key"].get<std::string>() +
                                 " asks for the prompt first. Until it has come twice with nothing "
                                 "typed behind it, nothing else is sent but the key " +
                                 console["clear_key"].get<std::string>() +
                                 " where something stands there; that key is also sent before the "
                                 "first return.");
    }
    if (!shell["session_queries"].empty()) {
        std::cout << (is_console ? "After each connect, once:\n" : "After each login, once:\n");
        for (const auto& query : shell["session_queries"])
            std::cout << "  " << query.get<std::string>() << '\n';
    }
    if (!shell["pager_key"].is_null()) {
        std::string pagers;
        for (const auto& pager : shell["pagers"])
            pagers += " \"" + pager.get<std::string>() + '"';
        std::cout << wrapped("", "The key " + shell["pager_key"].get<std::string>() +
                                     " answers a line with nothing but" + pagers + '.');
    }
    std::cout << "The terminal is " << shell["columns"] << " columns wide.\n";
}

void print_way(const nlohmann::json& profile) {
    std::cout << '\n';
    if (profile["by"] == "netconf")
        std::cout << wrapped(
            "", "Each is the subtree filter of a get in one NETCONF session (RFC 6241), "
                "one after the other; besides, a hello begins the session and a "
                "close-session ends it.");
    else if (profile["by"] == "command")
        std::cout << wrapped("", "Each is one exec request on a channel of its own, at most " +
                                     profile["channels_at_once"].dump() + " at once.");
    else
        print_shell(profile["shell"]);
}

void print_price(const nlohmann::json& profile) {
    const auto& price = profile["price"];
    const bool by_command = profile["by"] == "command";
    std::cout << "\nWhat a chassis pays at this pace, at most:\n";
    std::cout << wrapped(
        "  ", "1 SSH session, kept open, with " +
                  (by_command ? "up to " + in_words(price["lines"], "channel", "channels") +
                                    " in use while it is asked"
                   : profile["by"] == "shell" ? "1 terminal line, kept open too"
                                              : "1 NETCONF session, kept open too"));
    std::cout << wrapped("  ",
                         in_words(price["queries_a_look"], "query", "queries") +
                             " a look; one with a parameter comes on top for each part that is "
                             "asked for");
    const auto in_an_hour = [&](const char* attention, const std::string& when) {
        std::cout << wrapped("  ", price[attention]["queries_an_hour"].dump() +
                                       " queries an hour while " + when + ", a look each " +
                                       price[attention]["interval"].get<std::string>());
    };
    in_an_hour("pending", "a gate is pending or a procedure is open");
    in_an_hour("idle", "idle");
    std::cout << wrapped("  ", price["queries_at_connecting"].dump() + " more at each connecting");
    if (!price["budget"].is_null())
        std::cout << wrapped("  ",
                             "never more than " + price["budget"].dump() +
                                 " queries in any hour, whoever waits: beyond half of it looks "
                                 "become rarer, idle ones cease, and a gate that is not looked at "
                                 "waits");
    std::cout << wrapped("  ",
                         std::string("as many accounting records, where the device keeps one for "
                                     "each command; ") +
                             (by_command ? "where it keeps one for the start and the end of each "
                                           "channel, twice as many more"
                                         : "besides one for each start and each end of the "
                                           "session"));
}

void print(const nlohmann::json& profile) {
    std::cout << wrapped("", "Family " + profile["family"].get<std::string>() +
                                 ". Everything that can be sent to a device, and nothing else:");
    std::cout << '\n';
    for (const auto& query : profile["queries"]) {
        // The bytes themselves stand on one line, however long.
        std::cout << "  " << in_words(query["sends"]) << '\n';
        std::cout << wrapped("      ",
                             "query " + query["query"].get<std::string>() + ": reads " +
                                 query["reads"].get<std::string>() +
                                 (query["lists"].get<bool>() ? ", lists every one present" : "") +
                                 "; up to " + query["refresh"].get<std::string>() + " old" +
                                 (query["refresh"] == "0 s" ? " (no refresh is given)" : ""));
    }
    print_way(profile);
    std::cout << "An answer may take " << profile["timeout"].get<std::string>() << " and "
              << profile["longest_answer"] << " bytes.\n";
    print_price(profile);
}

} // namespace

int explain_profile(const profiles::Profile& profile, const watch::Pace& pace,
                    const watch::Budget& budget, bool as_json) {
    const nlohmann::json told = explained(profile, pace, budget);
    if (as_json)
        std::cout << told.dump(2) << '\n';
    else
        print(told);
    return exit_pass;
}

} // namespace slotwitness::program
