#include "config.hpp"
#include "exit_code.hpp"
#include "verbs.hpp"

#include <slotwitness/api/server.hpp>
#include <slotwitness/desk/live_desk.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <spdlog/spdlog.h>

#include <iostream>

namespace slotwitness::program {

int serve(const ServeOptions& options) {
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
    const auto begun = desk.begin(
        std::move(*store), desk::ssh_links(), desk::read_machine_time,
        [](std::int64_t offset) { return std::make_unique<desk::MachineClock>(offset); });
    if (!begun) {
        std::cerr << "slotwitness: " << begun.error() << '\n';
        return exit_unavailable;
    }
    api::Server server(loop.get_executor(), desk, {});
    const auto port = server.listen(config->address, config->port);
    if (!port) {
        std::cerr << "slotwitness: " << port.error() << '\n';
        return exit_unavailable;
    }
    // For programs that start the daemon on port 0 and for people alike.
    std::cout << "listening on http://"
              << (config->address.find(':') == std::string::npos ? config->address
                                                                 : "[" + config->address + "]")
              << ':' << *port << std::endl;

    boost::asio::signal_set signals(loop, SIGINT, SIGTERM);
    signals.async_wait([&](const boost::system::error_code& error, int signal) {
        if (error)
            return;
        spdlog::info("stopping on signal {}", signal);
        server.stop();
        desk.stop();
    });
    loop.run();
    return exit_pass;
}

} // namespace slotwitness::program
