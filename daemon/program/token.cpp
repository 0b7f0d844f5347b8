#include "config.hpp"
#include "exit_code.hpp"
#include "rack_address.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <slotwitness/tokens/register.hpp>
#include <slotwitness/tokens/token_file.hpp>
#include <slotwitness/units/time.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iomanip>
#include <iostream>
#include <iterator>
#include <unistd.h>
#include <utility>

namespace slotwitness::program {

namespace {

using tokens::Token;
using tokens::WallTime;
using namespace std::chrono_literals;

constexpr std::chrono::seconds usual_life = 12h; // a shift

int failed(const std::string& why, ExitCode code) {
    std::cerr << "slotwitness: " << why << '\n';
    return code;
}

/// How the daemon is reached, with its token file; the error is the exit code, and was said.
tl::expected<AccessSettings, int> access_or_say(const std::string& config_file) {
    auto access = load_access_or_say(config_file);
    if (access && access->tokens.empty())
        return tl::unexpected(failed("the configuration has no token file; add tokens = \"tokens\" "
                                     "to its [daemon], and start the daemon again",
                                     exit_bad_config));
    return access;
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

/// What the maker hands out. A rack token goes to a phone: as an address, and for its camera.
void tell_of(const tokens::Made& made, const tl::expected<std::string, std::string>& address,
             bool always_draw) {
    const Token& token = made.token;
    std::cerr << "Token " << token.id << " of " << token.person << ", " << role_text(token)
              << ", until " << minute_of(token.expires) << ".\nIt is shown this once. ";
    const std::string end = "\"slotwitness token revoke " + token.id + "\" ends it.\n";
    if (token.role != tokens::Role::rack) {
        std::cerr << "Send it as \"Authorization: Bearer TOKEN\"; " << end;
    } else if (!address) {
        std::cerr << "There is no address for the phone: " << address.error() << ".\nOr open /rack/"
                  << token.procedure << "#token=TOKEN at the daemon's address; " << end;
    } else {
        const std::size_t columns = columns_of_terminal(STDERR_FILENO);
        std::cerr << "For the phone at the rack:\n"
                  << (always_draw || columns > 0
                          ? shown_to_camera(*address, always_draw ? 0 : columns)
                          : *address + '\n')
                  << "Whoever sees this holds the token; " << end;
    }
}

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
    const auto access = access_or_say(options.config);
    if (!access)
        return access.error();
    const bool is_rack = role == tokens::Role::rack;
    if (!is_rack && (options.qr || !options.address.empty()))
        return failed("only a rack token has an address: leave --qr and --address out, or make it "
                      "a rack token",
                      exit_usage);
    const auto daemon = address_for_phones(*access, options.address);
    if (is_rack && !daemon && (options.qr || !options.address.empty()))
        return failed(daemon.error(), exit_usage);
    const WallTime now = tokens::wall_clock();
    auto made = tokens::make_token({options.person, *role, options.procedure,
                                    std::chrono::floor<std::chrono::seconds>(*lasts)},
                                   now);
    if (!made)
        return failed(made.error(), exit_usage);
    const auto kept = tokens::keep_token(access->tokens, made->token, now);
    if (!kept)
        return failed(kept.error(), exit_bad_data);
    const auto address = daemon.map([&](const std::string& reached) {
        return rack_address(reached, options.procedure, made->text);
    });
    if (options.json) {
        nlohmann::json json = to_json(made->token, now);
        json["token"] = made->text;
        if (is_rack && address)
            json["address"] = *address;
        std::cout << json.dump(2) << '\n';
        return exit_pass;
    }
    // Standard output has the token alone, for programs to take.
    std::cout << made->text << std::endl;
    tell_of(*made, address, options.qr);
    return exit_pass;
}

int list_tokens(const TokenOptions& options) {
    const auto access = access_or_say(options.config);
    if (!access)
        return access.error();
    const auto all = tokens::load_tokens(access->tokens);
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
    const auto access = access_or_say(options.config);
    if (!access)
        return access.error();
    const auto revoked = tokens::edit_tokens(
        access->tokens, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
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

} // namespace

int token(const TokenOptions& options) {
    switch (options.act) {
    case TokenOptions::Act::make:
        return make_token(options);
    case TokenOptions::Act::list:
        return list_tokens(options);
    case TokenOptions::Act::revoke:
        return revoke_token(options);
    }
    return exit_defect;
}

} // namespace slotwitness::program
