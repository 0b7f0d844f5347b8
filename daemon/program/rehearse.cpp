#include "asking.hpp"
#include "config.hpp"
#include "exit_code.hpp"
#include "files.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <slotwitness/desk/live_desk.hpp>
#include <slotwitness/log/log.hpp>
#include <slotwitness/rehearsal/director.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>

#include <filesystem>
#include <iostream>
#include <unistd.h>

namespace slotwitness::program {

namespace {

namespace fs = std::filesystem;
using boost::asio::awaitable;

/// One line to the simulated chassis' control socket; it answers at once, so the loop may wait.
tl::expected<void, std::string> obey(const std::string& socket, const std::string& order) {
    try {
        boost::asio::io_context loop;
        boost::asio::local::stream_protocol::socket stream(loop);
        stream.connect({socket});
        boost::asio::write(stream, boost::asio::buffer(order + "\n"));
        std::string answer;
        boost::asio::read_until(stream, boost::asio::dynamic_buffer(answer), '\n');
        if (answer.find("\"done\":true") == std::string::npos)
            return tl::unexpected(answer);
        return {};
    } catch (const std::exception& error) {
        return tl::unexpected("control socket " + socket + ": " + error.what());
    }
}

/// The rehearsal with what it is based on; problems are printed. The error is the exit code.
tl::expected<rehearsal::Rehearsal, int> load(const std::string& path) {
    std::vector<keys::File> files;
    for (std::optional<std::string> next = path; next;) {
        auto text = read_file(*next);
        if (!text || files.size() > 8) {
            std::cerr << "slotwitness: " << (text ? *next + " is based on itself" : text.error())
                      << '\n';
            return tl::unexpected(static_cast<int>(exit_no_input));
        }
        files.push_back({*next, std::move(*text)});
        next = rehearsal::based_on(files.back());
        if (next)
            next = (fs::path(files.back().name).parent_path() / *next).string();
    }
    auto read = rehearsal::parse_rehearsal(files);
    if (read)
        return std::move(*read);
    for (const state::Problem& problem : read.error())
        std::cerr << state::to_text(problem) << '\n';
    return tl::unexpected(static_cast<int>(exit_bad_data));
}

/// A procedure is opened on a chassis whose every query was answered once. False, and said why, if
/// that does not come: nobody waits here for a router that is not there.
awaitable<bool> is_known(desk::LiveDesk& desk, const std::string& chassis,
                         boost::asio::any_io_executor executor) {
    boost::asio::steady_timer pause(executor);
    const auto has_baseline = [&] {
        const auto view = desk.chassis(chassis);
        return view && view->baseline.has_value();
    };
    const auto has_no_session = [&] {
        const auto view = desk.chassis(chassis);
        return !view || view->session == desk::Session::lost || desk::needs_people(view->session);
    };
    const units::Instant until = desk.now() + std::chrono::minutes(1);
    auto wanting = desk.want_baseline(chassis, "rehearsal");
    const auto wanted = co_await std::move(wanting);
    while (wanted && !has_baseline() && !has_no_session() && desk.now() < until) {
        pause.expires_after(std::chrono::milliseconds(200));
        co_await pause.async_wait(boost::asio::use_awaitable);
    }
    if (!has_baseline())
        std::cerr << "slotwitness: no whole answer to every query: "
                  << (wanted ? desk.chassis(chassis)->session_text
                             : state::to_text(wanted.error().problem))
                  << '\n';
    co_return has_baseline();
}

/// Nothing, and said why, if it could not be begun.
awaitable<std::optional<rehearsal::Played>> play(desk::LiveDesk& desk,
                                                 const rehearsal::Rehearsal& rehearsal,
                                                 const RehearseOptions& options,
                                                 boost::asio::any_io_executor executor) {
    const bool known = co_await is_known(desk, options.chassis, executor);
    if (!known) {
        desk.stop();
        co_return std::nullopt;
    }
    rehearsal::Director director(
        desk, std::chrono::minutes(20),
        [&](const std::string& order) { return obey(options.control, order); },
        [&, columns = columns_of_terminal(STDOUT_FILENO)](const std::string& line) {
            std::cout << readable(units::to_rfc3339(desk.now()) + "  ", line, columns)
                      << std::flush;
        });
    auto playing = director.play(rehearsal, options.chassis);
    rehearsal::Played played = co_await std::move(playing);
    desk.stop();
    co_return played;
}

/// Seconds, rounded up: nobody is told to be quicker than the rehearsal was.
std::string whole_seconds(units::Duration time) {
    return units::to_text(units::Duration((time.count() + 999) / 1000 * 1000));
}

/// From the old part's leaving to the tray's return; nothing if it did not come to that.
std::optional<units::Duration> time_to_put_back(const procedures::Procedure& procedure,
                                                const rehearsal::Played& played) {
    units::Duration sum{0};
    bool counts = false;
    for (const procedures::Step& step : procedure.steps) {
        const auto time = played.times.find(step.name);
        if (counts && time == played.times.end())
            return std::nullopt;
        if (counts)
            sum += time->second;
        if (step.name == procedure.cooling->ends)
            return sum;
        counts = counts || step.name == procedure.cooling->out;
    }
    return std::nullopt;
}

void print_times(const procedures::Procedure& procedure, const rehearsal::Played& played) {
    std::cout << "\nHow long each step took, from its opening to its end:\n";
    for (const auto& [step, time] : played.times)
        std::cout << "  " << step << ": takes = \"" << whole_seconds(time) << "\"\n";
    if (!procedure.cooling || procedure.cooling->takes.empty())
        return;
    if (const auto time = time_to_put_back(procedure, played))
        std::cout << "\nFor the opening, if you rehearsed as you will work:\n  "
                  << procedure.cooling->takes << " = \"" << whole_seconds(*time)
                  << " by NAME OF THIS REHEARSAL\"\n";
}

} // namespace

int rehearse(const RehearseOptions& options) {
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    const desk::ChassisSettings* settings = chassis_or_say(*config, options.chassis);
    if (settings == nullptr)
        return exit_usage;
    const auto rehearsal = load(options.rehearsal);
    if (!rehearsal)
        return rehearsal.error();
    if (const auto ready = links::prepare_ssh(); !ready) {
        std::cerr << "slotwitness: " << ready.error() << '\n';
        return exit_unavailable;
    }
    const std::string path = (fs::temp_directory_path() /
                              ("slotwitness-rehearsal-" +
                               std::to_string(desk::read_machine_time().wall_ms) + ".journal"))
                                 .string();
    auto store = journal::open_sqlite(path);
    if (!store) {
        std::cerr << "slotwitness: " << store.error().text << '\n';
        return exit_unavailable;
    }
    std::cerr << "evidence: " << path << '\n';
    log::tell_warnings_alone();

    std::optional<procedures::Procedure> written;
    if (const auto named = config->procedures.find(rehearsal->procedure);
        named != config->procedures.end())
        written = named->second.procedure;

    boost::asio::io_context loop(1);
    desk::LiveDesk desk(loop.get_executor(), {*settings}, config->reconnect,
                        std::move(config->procedures));
    const auto begun = desk.begin(
        std::move(*store), desk::ssh_links(), desk::read_machine_time,
        [](std::int64_t offset) { return std::make_unique<desk::MachineClock>(offset); });
    if (!begun) {
        std::cerr << "slotwitness: " << begun.error() << '\n';
        return exit_unavailable;
    }
    std::optional<rehearsal::Played> played;
    auto take = [&played](const std::exception_ptr& error,
                          std::optional<rehearsal::Played> result) {
        if (error)
            std::rethrow_exception(error);
        played = std::move(result);
    };
    auto playing = play(desk, *rehearsal, options, loop.get_executor());
    boost::asio::co_spawn(loop, std::move(playing), take);
    loop.run();
    if (!played)
        return session_refused(desk, options.chassis) ? exit_no_permission : exit_not_seen;
    for (const std::string& fault : played->faults)
        std::cerr << "slotwitness: not as written: " << fault << '\n';
    if (!played->faults.empty())
        return exit_fail;
    if (written)
        print_times(*written, *played);
    return exit_pass;
}

} // namespace slotwitness::program
