#include "exit_code.hpp"
#include "files.hpp"
#include "verbs.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <nlohmann/json.hpp>

#include <iostream>

namespace slotwitness::program {

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

nlohmann::json explained(const profiles::Profile& profile) {
    nlohmann::json queries = nlohmann::json::array();
    for (const auto& [id, query] : profile.queries)
        queries.push_back({{"query", id},
                           {"sends", words_of(profile, query)},
                           {"reads", kinds_in_words(query)},
                           {"lists", query.lists},
                           {"refresh", units::to_text(query.refresh)}});
    const bool is_netconf = profile.reach.by == profiles::Reach::By::netconf;
    return {{"family", profile.family},
            {"by", is_netconf ? "netconf" : "command"},
            {"channels_at_once", profile.reach.parallel},
            {"timeout", units::to_text(profile.reach.timeout)},
            {"longest_answer", profile.reach.longest_answer},
            {"queries", queries}};
}

void print(const nlohmann::json& profile) {
    std::cout << "Family " << profile["family"].get<std::string>()
              << ". Everything that can be sent to a device, and nothing else:\n\n";
    for (const auto& query : profile["queries"])
        std::cout << "  " << in_words(query["sends"]) << "\n      query "
                  << query["query"].get<std::string>() << ": reads "
                  << query["reads"].get<std::string>()
                  << (query["lists"].get<bool>() ? ", and names every present one" : "")
                  << "; may be " << query["refresh"].get<std::string>() << " old"
                  << (query["refresh"] == "0 s" ? " (no refresh is given)" : "") << "\n";
    if (profile["by"] == "netconf")
        std::cout
            << "\nEach is the subtree filter of a get in one NETCONF session (RFC 6241), one "
               "after the other; besides, a hello begins the session and a close-session ends "
               "it. An answer may take ";
    else
        std::cout << "\nEach is one exec request on a channel of its own, at most "
                  << profile["channels_at_once"] << " at once; an answer may take ";
    std::cout << profile["timeout"].get<std::string>() << " and " << profile["longest_answer"]
              << " bytes.\n";
}

int explain_sentence(const ExplainOptions& options, const profiles::Profile* profile) {
    const auto sentence = sentences::parse(options.sentence);
    if (!sentence) {
        std::cerr << state::to_text(sentence.error()) << '\n' << "  " << options.sentence << '\n';
        if (sentence.error().at.column > 0)
            std::cerr << "  " << std::string(sentence.error().at.column - 1, ' ') << "^\n";
        return exit_bad_data;
    }
    nlohmann::json told = {{"sentence", sentences::to_text(*sentence)}};
    told["for"] =
        sentence->hold ? nlohmann::json(units::to_text(*sentence->hold)) : nlohmann::json();
    told["within"] =
        sentence->within ? nlohmann::json(units::to_text(*sentence->within)) : nlohmann::json();
    if (profile) {
        const auto needs = profiles::needs(*profile, *sentence);
        if (!needs) {
            std::cerr << state::to_text(needs.error()) << '\n';
            return exit_bad_data;
        }
        told["needs"] = nlohmann::json::array();
        for (const profiles::Asking& asking : *needs)
            told["needs"].push_back(*profiles::request_bytes(*profile, asking));
        told["may_be_old"] = units::to_text(profiles::refresh_of(*profile, *needs));
    }
    if (options.json) {
        std::cout << told.dump(2) << '\n';
        return exit_pass;
    }
    std::cout << told["sentence"].get<std::string>() << '\n';
    if (sentence->hold)
        std::cout << "  must hold for " << units::to_text(*sentence->hold)
                  << ", as looks see it: a state can change between two looks\n";
    std::cout << (sentence->within
                      ? "  fails if it is not met within " + units::to_text(*sentence->within)
                      : std::string("  waits until it is met or cancelled"))
              << '\n';
    if (profile) {
        std::cout << "  each look asks:\n";
        for (const auto& request : told["needs"])
            std::cout << "    " << request.get<std::string>() << '\n';
        std::cout << "  what the device reports may be " << told["may_be_old"].get<std::string>()
                  << " old\n";
    } else {
        std::cout << "  what each look asks depends on the device family: add --profile FILE\n";
    }
    return exit_pass;
}

} // namespace

int explain(const ExplainOptions& options) {
    if (!options.procedure.empty())
        return explain_procedure(options);
    std::shared_ptr<const profiles::Profile> profile;
    if (!options.profile.empty()) {
        auto loaded = load_profile(options.profile);
        if (!loaded)
            return loaded.error();
        profile = std::move(*loaded);
    }
    if (!options.sentence.empty())
        return explain_sentence(options, profile.get());
    if (!profile) {
        std::cerr << "slotwitness explain: name --sentence, --profile or both\n";
        return exit_usage;
    }
    const nlohmann::json told = explained(*profile);
    if (options.json)
        std::cout << told.dump(2) << '\n';
    else
        print(told);
    return exit_pass;
}

} // namespace slotwitness::program
