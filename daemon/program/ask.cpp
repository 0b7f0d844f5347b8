#include "asking.hpp"
#include "config.hpp"
#include "exit_code.hpp"
#include "progress.hpp"
#include "sentence.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <slotwitness/desk/live_desk.hpp>
#include <slotwitness/journal/codec.hpp>
#include <slotwitness/log/log.hpp>
#include <slotwitness/readback/spelling.hpp>
#include <slotwitness/witness/gate_code.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <unistd.h>

namespace slotwitness::program {

namespace {

int code_of(const witness::GateFinding& finding) {
    switch (finding.verdict) {
    case witness::Verdict::pass:
        return exit_pass;
    case witness::Verdict::fail:
        return finding.failure == witness::Failure::seen_false ? exit_fail : exit_not_seen;
    case witness::Verdict::cancelled:
    case witness::Verdict::pending:
        return exit_not_seen;
    }
    return exit_not_seen;
}

int code_of(desk::Refusal::Kind kind) {
    switch (kind) {
    case desk::Refusal::Kind::no_such_chassis:
        return exit_usage;
    case desk::Refusal::Kind::bad_sentence:
    case desk::Refusal::Kind::cannot_evaluate:
    case desk::Refusal::Kind::unknown_name:
        return exit_bad_data;
    case desk::Refusal::Kind::not_recorded:
        return exit_unavailable;
    case desk::Refusal::Kind::no_such_gate:
    case desk::Refusal::Kind::no_such_procedure:
    case desk::Refusal::Kind::bad_procedure:
    case desk::Refusal::Kind::not_done:
    case desk::Refusal::Kind::key_reused:
    case desk::Refusal::Kind::in_flight:
    case desk::Refusal::Kind::too_many:
    case desk::Refusal::Kind::busy:
    case desk::Refusal::Kind::stopping:
        return exit_defect;
    }
    return exit_defect;
}

/// One line a look: what a person watches while waiting.
void print(Progress& progress, Shown& shown, const std::string& chassis,
           const witness::GateFinding& finding, bool json) {
    const std::string code = witness::code_of(chassis, finding);
    if (json) {
        nlohmann::json out = journal::to_json(finding);
        out["code"] = code.empty() ? nlohmann::json(nullptr) : nlohmann::json(code);
        std::cout << out.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace)
                  << std::endl;
        return;
    }
    shown.show(finding, progress.line(finding));
    if (finding.verdict != witness::Verdict::pending)
        std::cout << cited(finding.because) << std::flush;
    if (!code.empty())
        std::cout << "    to be read back: " << readback::shown(code) << std::endl;
}

std::string who() {
    const char* user = std::getenv("USER");
    return std::string(user && *user ? user : "somebody") + " on the command line";
}

/// A name that no other run uses: evidence is never written over.
std::string new_journal() {
    return (std::filesystem::temp_directory_path() /
            ("slotwitness-ask-" + std::to_string(::getpid()) + "-" +
             std::to_string(desk::read_machine_time().wall_ms) + ".journal"))
        .string();
}

int say(const desk::Refusal& refusal) {
    std::cerr << state::to_text(refusal.problem) << '\n';
    return code_of(refusal.kind);
}

/// Waits for the gate's verdict. The first whole look tells which names there are: a gate that
/// could not be opened now, for it asks for one that is not among them, is not waited for.
boost::asio::awaitable<std::optional<desk::Refusal>> decided(desk::LiveDesk& desk,
                                                             const std::string& id,
                                                             const desk::GateWish& wish,
                                                             units::Instant until) {
    for (auto view = desk.gate(id); view->finding.verdict == witness::Verdict::pending;) {
        if (view->finding.because.reason == witness::Reason::no_inventory)
            if (auto refused = desk.would_refuse(wish)) {
                co_await desk.close_gate(id, who());
                co_return refused;
            }
        const std::uint64_t seen = view->revision;
        co_await desk.gate_change(id, seen, until);
        view = desk.gate(id);
        if (view->revision == seen) // the desk stops, or it took too long
            break;
    }
    co_return std::nullopt;
}

/// Opens the gate, waits for its verdict, prints what is found on the way.
boost::asio::awaitable<void> watch_gate(desk::LiveDesk& desk, const AskOptions& options,
                                        std::optional<units::Duration> gap, int& code) {
    const desk::GateWish wish{options.chassis, options.sentence, gap, std::nullopt, who(), ""};
    desk::GateWish opening = wish;
    const auto opened = co_await desk.open_gate(std::move(opening));
    if (!opened) {
        code = say(opened.error());
    } else {
        const std::string id = opened->finding.id;
        const units::Instant until = opened->finding.deadline
                                         ? *opened->finding.deadline + std::chrono::hours(24)
                                         : units::Instant::max();
        const auto refused = co_await decided(desk, id, wish, until);
        code = refused ? say(*refused) : code_of(desk.gate(id)->finding);
        // Waiting longer would not have helped: somebody must look at the key or the credential.
        if (code == exit_not_seen && session_refused(desk, options.chassis))
            code = exit_no_permission;
    }
    desk.stop();
}

boost::asio::awaitable<void> stop_on_signal(boost::asio::signal_set& signals,
                                            desk::LiveDesk& desk) {
    boost::system::error_code error;
    co_await signals.async_wait(boost::asio::redirect_error(boost::asio::use_awaitable, error));
    if (!error)
        desk.stop();
}

} // namespace

int ask(const AskOptions& options) {
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    std::optional<units::Duration> gap;
    if (!options.gap.empty() && !(gap = units::parse_duration(options.gap))) {
        std::cerr << "slotwitness: --gap \"" << options.gap
                  << "\" is not a duration such as \"20 s\"\n";
        return exit_usage;
    }
    const desk::ChassisSettings* settings = chassis_or_say(*config, options.chassis);
    if (settings == nullptr)
        return exit_usage;
    // Before there is any evidence to keep.
    if (const auto sentence = parse_sentence_or_say(options.sentence); !sentence)
        return sentence.error();
    if (const auto ready = links::prepare_ssh(); !ready) {
        std::cerr << "slotwitness: " << ready.error() << '\n';
        return exit_unavailable;
    }
    const std::string path = options.journal.empty() ? new_journal() : options.journal;
    auto store = journal::open_sqlite(path);
    if (!store) {
        std::cerr << "slotwitness: " << store.error().text << '\n';
        return exit_unavailable;
    }
    std::cerr << "evidence: " << path << '\n';
    log::tell_warnings_alone();

    boost::asio::io_context loop;
    desk::LiveDesk desk(loop.get_executor(), {*settings}, config->reconnect);
    Progress progress;
    Shown shown(std::cout, columns_of_terminal(STDOUT_FILENO));
    desk.on_published([&](const std::string&, const desk::Recorded& recorded) {
        for (const witness::Finding& finding : recorded.outcome.findings)
            if (const auto* gate = std::get_if<witness::GateFinding>(&finding);
                gate && recorded.stored)
                print(progress, shown, options.chassis, *gate, options.json);
    });
    const auto begun = desk.begin(
        std::move(*store), desk::ssh_links(), desk::read_machine_time,
        [](std::int64_t offset) { return std::make_unique<desk::MachineClock>(offset); });
    if (!begun) {
        std::cerr << "slotwitness: " << begun.error() << '\n';
        return exit_unavailable;
    }
    int code = exit_not_seen;
    boost::asio::signal_set signals(loop, SIGINT, SIGTERM);
    auto done = [&](const std::exception_ptr& error) {
        signals.cancel();
        if (error)
            std::rethrow_exception(error);
    };
    auto rethrow = [](const std::exception_ptr& error) {
        if (error)
            std::rethrow_exception(error);
    };
    boost::asio::co_spawn(loop, watch_gate(desk, options, gap, code), std::move(done));
    boost::asio::co_spawn(loop, stop_on_signal(signals, desk), std::move(rethrow));
    loop.run();
    return code;
}

} // namespace slotwitness::program
