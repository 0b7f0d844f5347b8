#include "options.hpp"

#include <CLI/CLI.hpp>

#include <charconv>

namespace slotwitness::chassis {
namespace {

constexpr int usage_error = 64; // EX_USAGE of sysexits.h

/// "2s", "500 ms": into a time, at least one millisecond.
std::string read_time(const std::string& text, Time& into) {
    std::int64_t number = 0;
    const auto [rest, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    std::string_view unit(rest, static_cast<std::size_t>(text.data() + text.size() - rest));
    if (unit.starts_with(' '))
        unit.remove_prefix(1);
    constexpr std::int64_t most = 86'400'000;
    if (error == std::errc{} && number > 0 && number <= most && (unit == "ms" || unit == "s")) {
        into = Time(unit == "s" ? number * 1'000 : number);
        return {};
    }
    return "\"" + text + "\" is no duration, expected a whole number of s or ms: 2s, 500ms";
}

CLI::Option* add_time(CLI::App& app, const std::string& name, Time& into, const std::string& says) {
    return app
        .add_option_function<std::string>(
            name,
            [&into, name](const std::string& text) {
                if (const auto problem = read_time(text, into); !problem.empty())
                    throw CLI::ValidationError(name, problem);
            },
            says)
        ->type_name("DURATION");
}

} // namespace

std::string nth_serial(const std::string& first, int n) {
    const auto last = first.find_last_not_of("0123456789");
    const std::size_t digits_at = last == std::string::npos ? 0 : last + 1;
    std::string digits = first.substr(digits_at);
    for (int step = 1; step < n; ++step) {
        auto at = digits.size();
        while (at > 0 && digits[at - 1] == '9')
            digits[--at] = '0';
        if (at == 0)
            digits.insert(digits.begin(), '1');
        else
            ++digits[at - 1];
    }
    return first.substr(0, digits_at) + digits;
}

std::variant<Options, int> parse_options(int argc, const char* const* argv) {
    Options options;
    CLI::App app(
        "A simulated chassis of the invented Quillon family, which answers over SSH on loopback.");
    app.add_option("--port", options.port,
                   "Port of the first chassis, the next ones count up; 0: any");
    app.add_option("--chassis", options.chassis, "How many chassis, each on a port of its own")
        ->check(CLI::Range(1, 256));
    auto* const key =
        app.add_option("--host-key", options.host_key,
                       "Private key file, made if missing; FILE-2 … for further chassis");
    auto* const keys = app.add_option("--authorized-keys", options.authorized_keys,
                                      "Public keys that may log in, one a line");
    app.add_option("--control", options.control,
                   "Unix socket for orders to engineer, technician, world");
    app.add_option("--record", options.record, "File to which every request is appended as JSON");
    app.add_option("--name", options.name, "Name of the chassis; NAME-1 … where there are more");
    app.add_option("--serial", options.serial, "Serial number of the first chassis, counted up");
    add_time(app, "--refresh", options.refresh, "How often its tables are renewed (2s)");
    add_time(app, "--boot-time", options.boot,
             "How long a module proves itself before it runs (20s)");
    app.add_option("--speed", options.speed, "Virtual time runs this many times as fast (1)")
        ->check(CLI::Range(1, 1'000));
    app.add_flag("--shell", options.shell,
                 "It has a login shell, with prompt, echo and pager, too");
    auto* const fixtures = app.add_option("--print-fixtures", options.print_fixtures,
                                          "Write captured answers into this folder and end");
    try {
        app.parse(argc, argv);
        if (fixtures->count() == 0 && (key->count() == 0 || keys->count() == 0))
            throw CLI::RequiredError("--host-key and --authorized-keys");
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : usage_error;
    }
    return options;
}

} // namespace slotwitness::chassis
