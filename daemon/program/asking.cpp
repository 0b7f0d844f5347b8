#include "asking.hpp"

#include <slotwitness/links/bastion.hpp>
#include <slotwitness/links/guard.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include <exception>
#include <optional>
#include <utility>

namespace slotwitness::program {

ExitCode exit_code(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::host_key:
    case links::LinkError::Kind::own_files:
    case links::LinkError::Kind::bastion:
    case links::LinkError::Kind::credential:
    case links::LinkError::Kind::locked:
    case links::LinkError::Kind::refused:
        return exit_no_permission;
    case links::LinkError::Kind::unreachable:
    case links::LinkError::Kind::session_lost:
    case links::LinkError::Kind::timed_out:
    case links::LinkError::Kind::aaa:
    case links::LinkError::Kind::no_line:
        return exit_not_seen;
    case links::LinkError::Kind::misuse:
        return exit_defect;
    }
    return exit_defect;
}

witness::Ending ending_of(const links::Answer& answer) {
    return {answer.ended, answer.exit_status, links::why_not_whole(answer)};
}

namespace {

boost::asio::awaitable<tl::expected<void, links::LinkError>>
ask_in_turn(boost::asio::any_io_executor executor, const desk::ChassisSettings& settings,
            const std::vector<profiles::Asking>& askings, Asker& asker) {
    const auto link = desk::ssh_links()(executor, settings);
    auto connected = co_await link->connect();
    if (!connected) {
        link->close();
        co_return connected;
    }
    asker.connected(link->reached());
    const links::Guard guard(*settings.profile);
    for (const profiles::Asking& asking : askings) {
        const std::string key = asking.key();
        auto approved = guard.approve(asking);
        if (!approved) {
            asker.refused(key, approved.error());
            continue;
        }
        auto query = std::move(*approved);
        asker.asking(key);
        const auto answer = co_await link->ask(std::move(query));
        if (answer)
            asker.answered(key, *answer);
        else
            asker.failed(key, answer.error());
        if (!answer && !link->connected())
            break;
    }
    link->close();
    co_return connected;
}

/// Runs it on a loop of its own.
template <class Result>
Result run_alone(boost::asio::io_context& loop, boost::asio::awaitable<Result> work) {
    std::optional<Result> result;
    auto done = [&](const std::exception_ptr& error, Result value) {
        if (error)
            std::rethrow_exception(error);
        result.emplace(std::move(value));
    };
    boost::asio::co_spawn(loop, std::move(work), std::move(done));
    loop.run();
    return std::move(*result);
}

} // namespace

tl::expected<void, links::LinkError> ask_each(const desk::ChassisSettings& settings,
                                              const std::vector<profiles::Asking>& askings,
                                              Asker& asker) {
    boost::asio::io_context loop;
    return run_alone(loop, ask_in_turn(loop.get_executor(), settings, askings, asker));
}

tl::expected<std::vector<links::HostKey>, links::LinkError>
host_keys_of(const desk::ChassisSettings& settings) {
    boost::asio::io_context loop;
    links::Bastions bastions;
    auto way = bastions.way(loop.get_executor(), settings.through);
    return run_alone(loop,
                     links::show_host_keys(loop.get_executor(), settings.target, std::move(way)));
}

tl::expected<void, links::LinkError> ask_all(const desk::ChassisSettings& settings, Asker& asker) {
    return ask_each(settings, profiles::all_queries(*settings.profile), asker);
}

bool session_refused(const desk::Desk& desk, const std::string& chassis) {
    const auto view = desk.chassis(chassis);
    return view && desk::needs_people(view->session);
}

std::optional<std::string> wrong_serial(const desk::ChassisSettings& settings,
                                        const std::vector<state::Row>& rows) {
    if (!settings.serial)
        return std::nullopt;
    for (const state::Row& row : rows)
        if (row.kind == state::Kind::chassis && row.facts.contains(state::Attribute::serial))
            if (const std::string serial =
                    state::to_text(row.facts.at(state::Attribute::serial).value);
                serial != *settings.serial)
                return "the device reports the serial " + serial + ", expected " +
                       *settings.serial + ": another chassis answers at this address";
    return std::nullopt;
}

} // namespace slotwitness::program
