#include "config.hpp"
#include "exit_code.hpp"
#include "verbs.hpp"

#include <slotwitness/api/server.hpp>
#include <slotwitness/desk/live_desk.hpp>
#include <slotwitness/log/log.hpp>
#include <slotwitness/tokens/register.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>

#include <algorithm>
#include <iostream>
#include <optional>
#include <string>
#include <sys/resource.h>
#include <utility>

namespace slotwitness::program {

namespace {

/// The error is a sentence: a token file or a certificate that cannot be used.
tl::expected<api::Access, std::string> access_of(const AccessSettings& settings,
                                                 std::optional<tokens::Register>& tokens) {
    api::Access access;
    access.names = settings.names;
    if (tokens) {
        if (const auto good = tokens->look(); !good)
            return tl::unexpected(good.error());
        access.tokens = &*tokens;
    }
    if (!settings.certificate.empty()) {
        auto tls = api::load_tls(settings.certificate, settings.key);
        if (!tls)
            return tl::unexpected(std::move(tls.error()));
        access.tls = std::move(*tls);
    }
    return access;
}

/// Each connection takes a descriptor: as many as the system allows at all, which is mostly more
/// than it allows without being asked.
api::ServerLimits limits_here() {
    constexpr rlim_t of_our_own = 256; // journal, sessions to devices, files
    api::ServerLimits limits;
    rlimit files{};
    if (::getrlimit(RLIMIT_NOFILE, &files) != 0)
        return limits;
    const rlim_t needed = limits.connections + of_our_own;
    if (files.rlim_cur < needed) {
        files.rlim_cur = std::min(needed, files.rlim_max);
        if (::setrlimit(RLIMIT_NOFILE, &files) != 0)
            ::getrlimit(RLIMIT_NOFILE, &files);
    }
    const rlim_t left = files.rlim_cur > 2 * of_our_own ? files.rlim_cur - of_our_own : of_our_own;
    limits.connections = std::min<std::size_t>(limits.connections, left);
    return limits;
}

/// Where it then listens.
tl::expected<std::string, std::string> listen(api::Server& server, const AccessSettings& access) {
    if (!access.socket.empty()) {
        if (const auto done = server.listen_on_socket(access.socket); !done)
            return tl::unexpected(done.error());
        return "unix:" + access.socket;
    }
    const auto port = server.listen(access.address, access.port);
    if (!port)
        return tl::unexpected(port.error());
    const bool is_v6 = access.address.find(':') != std::string::npos;
    return (access.certificate.empty() ? "http://" : "https://") +
           (is_v6 ? '[' + access.address + ']' : access.address) + ':' + std::to_string(*port);
}

/// A certificate is renewed every few weeks, and must not take a restart: at SIGHUP it is read
/// again. One that cannot be used leaves the old one in its place.
void read_again(api::Server& server, const AccessSettings& access) {
    if (access.certificate.empty()) {
        log::tell(log::Level::info, log::Event::certificate, {},
                  "SIGHUP: there is no certificate to be read again");
        return;
    }
    auto tls = api::load_tls(access.certificate, access.key);
    if (!tls) {
        log::tell(log::Level::error, log::Event::certificate, {},
                  "SIGHUP: the old certificate stays in use: " + tls.error());
        return;
    }
    server.use(std::move(*tls));
    log::tell(log::Level::info, log::Event::certificate, {{}, {{"file", access.certificate}}},
              "SIGHUP: the certificate was read again: " + access.certificate);
}

void reload_at(boost::asio::signal_set& hangup, api::Server& server, const AccessSettings& access) {
    hangup.async_wait([&](const boost::system::error_code& error, int) {
        if (error)
            return;
        read_again(server, access);
        reload_at(hangup, server, access);
    });
}

} // namespace

int serve(const ServeOptions& options) {
    if (options.log_as_json)
        log::begin(log::Form::json);
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    if (const auto ready = links::prepare_ssh(); !ready) {
        std::cerr << "slotwitness: " << ready.error() << '\n';
        return exit_unavailable;
    }
    auto store = journal::open_sqlite(config->journal);
    if (!store) {
        std::cerr << "slotwitness: " << store.error().text << '\n';
        return exit_unavailable;
    }
    boost::asio::io_context loop(1);
    desk::LiveDesk desk(loop.get_executor(), std::move(config->chassis), config->reconnect,
                        std::move(config->procedures));
    desk::Machine machine;
    machine.open_to_read = [path = config->journal] {
        return journal::open_sqlite_read_only(path);
    };
    const auto begun = desk.begin(
        std::move(*store), desk::ssh_links(), desk::read_machine_time,
        [](std::int64_t offset) { return std::make_unique<desk::MachineClock>(offset); },
        std::move(machine));
    if (!begun) {
        std::cerr << "slotwitness: " << begun.error() << '\n';
        return exit_unavailable;
    }
    const AccessSettings& access = config->access;
    std::optional<tokens::Register> register_of_tokens;
    if (!access.tokens.empty())
        register_of_tokens.emplace(access.tokens);
    auto way_in = access_of(access, register_of_tokens);
    if (!way_in) {
        std::cerr << "slotwitness: " << way_in.error() << '\n';
        return exit_bad_config;
    }
    api::Server server(loop.get_executor(), desk, limits_here(), std::move(*way_in));
    const auto listening = listen(server, access);
    if (!listening) {
        std::cerr << "slotwitness: " << listening.error() << '\n';
        return exit_unavailable;
    }
    // For programs that start the daemon on port 0 and for people alike.
    std::cout << "listening on " << *listening << std::endl;
    if (!register_of_tokens)
        log::tell(log::Level::info, log::Event::access, {},
                  "there are no tokens: everybody on this machine may do everything, and is known "
                  "by address alone");

    boost::asio::signal_set hangup(loop, SIGHUP);
    reload_at(hangup, server, access);
    boost::asio::signal_set signals(loop, SIGINT, SIGTERM);
    signals.async_wait([&](const boost::system::error_code& error, int signal) {
        if (error)
            return;
        log::tell(log::Level::info, log::Event::stop, {{}, {{"signal", signal}}},
                  "stopping on signal " + std::to_string(signal));
        hangup.cancel();
        server.stop();
        desk.stop();
    });
    loop.run();
    return exit_pass;
}

} // namespace slotwitness::program
