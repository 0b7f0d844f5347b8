#pragma once

#include <slotwitness/desk/settings.hpp>
#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::program {

/// Where the API listens, and who may come in.
struct AccessSettings {
    std::string address = "127.0.0.1";
    std::uint16_t port = 8470;
    std::string socket; ///< path of a Unix socket, in the place of address and port
    std::string tokens; ///< the token file; empty: everybody on this machine, by address
    std::vector<std::string> names; ///< by which people call the daemon
    std::string certificate, key;   ///< of TLS; empty: without
};

/// What the operator wrote; the schema is in this folder's README.md.
struct Config {
    AccessSettings access;
    std::string journal;
    desk::Reconnect reconnect;
    std::vector<desk::ChassisSettings> chassis;
    desk::ProcedureBook procedures; ///< by file name without its ending
};

/// The chassis of that name; null, and said to standard error with the names that there are, if
/// there is none.
[[nodiscard]] const desk::ChassisSettings* chassis_or_say(const Config& config,
                                                          std::string_view name);

/// Reads the configuration and every profile that it names; paths in it are relative to its folder.
/// Every problem found is returned, at least one.
[[nodiscard]] tl::expected<Config, std::vector<state::Problem>>
load_config(const std::string& path);

/// The same, with problems printed to standard error. The error is the exit code.
[[nodiscard]] tl::expected<Config, int> load_config_or_say(const std::string& path);

/// Where the API listens and who may come in, alone: tokens are revoked also while a chassis of the
/// configuration is wrong, or a secret is not to be had here.
[[nodiscard]] tl::expected<AccessSettings, std::vector<state::Problem>>
load_access(const std::string& path);
[[nodiscard]] tl::expected<AccessSettings, int> load_access_or_say(const std::string& path);

} // namespace slotwitness::program
