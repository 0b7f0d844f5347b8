#include "control_socket.hpp"
#include "options.hpp"
#include "recorder.hpp"
#include "ssh_listener.hpp"
#include "virtual_clock.hpp"

#include <slotwitness/chassis/captured.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <nlohmann/json.hpp>

#include <csignal>
#include <fstream>
#include <iostream>
#include <list>
#include <sys/resource.h>
#include <sys/stat.h>

namespace {

using namespace slotwitness::chassis;
using nlohmann::json;

constexpr int no_input = 66;      // EX_NOINPUT of sysexits.h
constexpr int cannot_create = 73; // EX_CANTCREAT

int complain(int status, const std::string& problem) {
    std::cerr << "slotwitness-chassis: " << problem << "\n";
    return status;
}

struct Placed {
    Device device;
    SshListener listener;
    Placed(Site& site, Fitting fitting, const Options& options, Key key)
        : device(std::move(fitting), options.refresh),
          listener(site, device, std::move(key), options.shell) {}
};

/// "at NAME order" goes to the chassis of that name, "order" to the first.
std::string obey(std::list<Placed>& chassis, const VirtualClock& clock, std::string_view line) {
    auto meant = chassis.begin();
    if (line.starts_with("at ")) {
        line.remove_prefix(3);
        const std::string_view name = line.substr(0, line.find(' '));
        while (meant != chassis.end() && meant->device.name() != name)
            ++meant;
        if (meant == chassis.end()) {
            const json reply{{"done", false},
                             {"error", "no chassis of that name"},
                             {"column", 4},
                             {"found", name},
                             {"expected", chassis.front().device.name() + " to " +
                                              chassis.back().device.name()}};
            return reply.dump(-1, ' ', false, json::error_handler_t::replace);
        }
        line.remove_prefix(std::min(name.size() + 1, line.size()));
    }
    const auto obeyed = meant->device.obey(line, clock.now());
    if (obeyed.drops_sessions)
        meant->listener.drop_sessions();
    if (!obeyed.remark.empty())
        meant->listener.remark(obeyed.remark);
    return obeyed.reply;
}

std::filesystem::path nth_file(const std::filesystem::path& first, int n) {
    return n == 1 ? first : std::filesystem::path(first.string() + "-" + std::to_string(n));
}

/// A session takes two descriptors, so the usual soft limit would end at some 500 of them.
void allow_many_descriptors() {
    rlimit limit{};
    if (::getrlimit(RLIMIT_NOFILE, &limit) == 0) {
        limit.rlim_cur = limit.rlim_max;
        ::setrlimit(RLIMIT_NOFILE, &limit);
    }
}

int print_fixtures(const std::filesystem::path& folder) {
    for (const auto& captured : captured_answers()) {
        std::error_code ignored;
        std::filesystem::create_directories(folder / captured.condition, ignored);
        const auto file = folder / captured.condition / (captured.name + ".txt");
        std::ofstream(file, std::ios::binary) << captured.text;
        if (!std::filesystem::exists(file, ignored))
            return complain(cannot_create, file.string() + ": cannot be written");
    }
    return 0;
}

int serve(const Options& options) {
    auto authorized = authorized_keys(options.authorized_keys);
    if (!authorized)
        return complain(no_input, authorized.error());
    Recorder recorder;
    if (!options.record.empty() && !recorder.open(options.record))
        return complain(cannot_create, options.record.string() + ": cannot be written");

    boost::asio::io_context io;
    const VirtualClock clock(options.speed);
    Site site{io, clock, recorder, *authorized};
    std::list<Placed> chassis;
    json ready{{"ready", true}, {"control", options.control.string()}, {"chassis", json::array()}};

    for (int number = 1; number <= options.chassis; ++number) {
        auto key = host_key(nth_file(options.host_key, number));
        if (!key)
            return complain(no_input, key.error());
        Fitting fitting{.name = options.chassis == 1 ? options.name
                                                     : options.name + "-" + std::to_string(number),
                        .serial = nth_serial(options.serial, number),
                        .boot = options.boot};
        auto& placed = chassis.emplace_back(site, fitting, options, std::move(*key));
        const int wanted = options.port == 0 ? 0 : options.port + number - 1;
        if (wanted > 65'535)
            return complain(cannot_create, "port " + std::to_string(wanted) +
                                               ": there is none above 65535; begin lower");
        const auto port = placed.listener.open(static_cast<std::uint16_t>(wanted));
        if (!port)
            return complain(cannot_create, port.error());
        ready["chassis"].push_back({{"name", fitting.name},
                                    {"serial", fitting.serial},
                                    {"port", *port},
                                    {"host_key", placed.listener.host_key()}});
    }

    ready["port"] = ready["chassis"].front()["port"];

    ControlSocket control(io, [&](std::string_view line) { return obey(chassis, clock, line); });
    if (!options.control.empty())
        if (const auto opened = control.open(options.control); !opened)
            return complain(cannot_create, opened.error());

    boost::asio::signal_set signals(io, SIGINT, SIGTERM);
    signals.async_wait([&](const boost::system::error_code&, int) {
        control.close();
        for (auto& placed : chassis)
            placed.listener.close();
        io.stop();
    });
    std::cout << ready.dump() << std::endl;
    io.run();
    return 0;
}

} // namespace

int main(int argc, char** argv) {
    const auto options = parse_options(argc, argv);
    if (const int* const status = std::get_if<int>(&options))
        return *status;
    const auto& chosen = std::get<Options>(options);
    if (!chosen.print_fixtures.empty())
        return print_fixtures(chosen.print_fixtures);
    // Keys, records and the control socket are for the user who runs it alone.
    ::umask(077);
    std::signal(SIGPIPE, SIG_IGN);
    allow_many_descriptors();
    return serve(chosen);
}
