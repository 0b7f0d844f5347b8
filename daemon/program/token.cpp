#include "config.hpp"
#include "exit_code.hpp"
#include "verbs.hpp"

#include <slotwitness/tokens/register.hpp>
#include <slotwitness/tokens/token_file.hpp>
#include <slotwitness/units/time.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iomanip>
#include <iostream>
#include <iterator>

namespace slotwitness::program {

namespace {

using tokens::Token;
using tokens::WallTime;
using namespace std::chrono_literals;

constexpr std::chrono::seconds usual_life = 12h; // a shift
/// How long the list tells of a token that has ended.
constexpr std::chrono::seconds remembered = std::chrono::days(90);

int failed(const std::string& why, ExitCode code) {
    std::cerr << "slotwitness: " << why << '\n';
    return code;
}

/// Where the configuration keeps tokens; the error is the exit code, and was said.
tl::expected<std::string, int> token_file_or_say(const std::string& config_file) {
    auto config = load_config_or_say(config_file);
    if (!config)
        return tl::unexpected(config.error());
    if (config->access.tokens.empty())
        return tl::unexpected(failed("the configuration has no token file; add tokens = \"tokens\" "
                                     "to its [daemon], and start the daemon again",
                                     exit_bad_config));
    return config->access.tokens;
}

/// To the minute, without a fraction.
std::string minute_of(WallTime at) {
    std::string text = units::to_rfc3339(units::Instant{units::Duration{at.time_since_epoch()}});
    return text.substr(0, text.find(':', text.find(':') + 1)) + "Z";
}

std::string_view state_of(const Token& token, WallTime now) {
    if (token.revoked)
        return "revoked";
    return now < token.expires ? "valid" : "expired";
}

nlohmann::json to_json(const Token& token, WallTime now) {
    nlohmann::json json{{"id", token.id},
                        {"person", token.person},
                        {"role", tokens::to_word(token.role)},
                        {"made", minute_of(token.made)},
                        {"expires", minute_of(token.expires)},
                        {"state", state_of(token, now)}};
    if (!token.procedure.empty())
        json["procedure"] = token.procedure;
    if (token.revoked)
        json["revoked"] = minute_of(*token.revoked);
    return json;
}

/// "rack of procedure k7fq2mxd"
std::string role_text(const Token& token) {
    return std::string(tokens::to_word(token.role)) +
           (token.procedure.empty() ? "" : " of procedure " + token.procedure);
}

} // namespace

int make_token(const TokenOptions& options) {
    const auto role = tokens::role_of(options.role);
    if (!role)
        return failed("\"" + options.role +
                          "\" is no role; write viewer, rack, engineer or auditor",
                      exit_usage);
    const auto lasts =
        options.expires.empty() ? usual_life : units::parse_duration(options.expires);
    if (!lasts)
        return failed("\"" + options.expires + "\" is no duration; write for example 12h or 30d",
                      exit_usage);
    const auto file = token_file_or_say(options.config);
    if (!file)
        return file.error();
    const WallTime now = tokens::wall_clock();
    auto made = tokens::make_token({options.person, *role, options.procedure,
                                    std::chrono::floor<std::chrono::seconds>(*lasts)},
                                   now);
    if (!made)
        return failed(made.error(), exit_usage);
    const auto kept =
        tokens::edit_tokens(*file, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
            std::erase_if(all, [&](const Token& token) {
                return now - token.revoked.value_or(token.expires) > remembered;
            });
            all.push_back(made->token);
            return {};
        });
    if (!kept)
        return failed(kept.error(), exit_bad_data);
    if (options.json) {
        nlohmann::json json = to_json(made->token, now);
        json["token"] = made->text;
        std::cout << json.dump(2) << '\n';
        return exit_pass;
    }
    // Standard output has the token alone, for programs to take.
    std::cout << made->text << '\n';
    std::cerr
        << "Token " << made->token.id << " of " << made->token.person << ", "
        << role_text(made->token) << ", until " << minute_of(made->token.expires)
        << ".\nIt is shown this once. Send it as \"Authorization: Bearer TOKEN\"; \"slotwitness "
           "token revoke "
        << made->token.id << "\" ends it.\n";
    return exit_pass;
}

int list_tokens(const TokenOptions& options) {
    const auto file = token_file_or_say(options.config);
    if (!file)
        return file.error();
    const auto all = tokens::load_tokens(*file);
    if (!all)
        return failed(all.error(), exit_bad_data);
    const WallTime now = tokens::wall_clock();
    if (options.json) {
        nlohmann::json json = nlohmann::json::array();
        for (const Token& token : *all)
            json.push_back(to_json(token, now));
        std::cout << json.dump(2) << '\n';
        return exit_pass;
    }
    for (const Token& token : *all)
        std::cout << std::left << token.id << "  " << std::setw(7) << state_of(token, now) << "  "
                  << (token.revoked ? "at    " + minute_of(*token.revoked)
                                    : "until " + minute_of(token.expires))
                  << "  " << token.person << ", " << role_text(token) << '\n';
    if (all->empty())
        std::cerr << "There are no tokens.\n";
    return exit_pass;
}

int revoke_token(const TokenOptions& options) {
    const auto file = token_file_or_say(options.config);
    if (!file)
        return file.error();
    const auto revoked =
        tokens::edit_tokens(*file, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
            const auto token = std::ranges::find(all, options.id, &Token::id);
            if (token == all.end())
                return tl::unexpected("there is no token " + options.id +
                                      "; \"slotwitness token list\" lists them");
            if (!token->revoked)
                token->revoked = tokens::wall_clock();
            return {};
        });
    if (!revoked)
        return failed(revoked.error(), exit_bad_data);
    if (options.json)
        std::cout << nlohmann::json{{"id", options.id}, {"state", "revoked"}}.dump(2) << '\n';
    else
        std::cout << "Token " << options.id
                  << " is revoked: the next request with it is refused.\n";
    return exit_pass;
}

} // namespace slotwitness::program
