#include "config.hpp"
#include "exit_code.hpp"
#include "print_state.hpp"
#include "verbs.hpp"

#include <slotwitness/replay/reread.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>

namespace slotwitness::program {

namespace {

int exit_code(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::host_key:
    case links::LinkError::Kind::credential:
    case links::LinkError::Kind::refused:
        return exit_no_permission;
    case links::LinkError::Kind::unreachable:
    case links::LinkError::Kind::session_lost:
    case links::LinkError::Kind::timed_out:
        return exit_not_seen;
    case links::LinkError::Kind::misuse:
        return exit_defect;
    }
    return exit_defect;
}

/// One chassis, looked at once.
class Look {
  public:
    Look(const desk::ChassisSettings& settings, bool json) : settings_(settings), json_(json) {}

    boost::asio::awaitable<void> run(boost::asio::any_io_executor executor) {
        const auto link = desk::ssh_links()(executor, settings_);
        const auto connected = co_await link->connect();
        if (!connected) {
            fail(connected.error());
            co_return;
        }
        const links::Guard guard(*settings_.profile);
        for (const profiles::Asking& asking : profiles::all_queries(*settings_.profile)) {
            auto approved = guard.approve(asking);
            if (!approved) {
                std::cerr << settings_.name << ": " << state::to_text(approved.error()) << '\n';
                code_ = exit_bad_data;
                continue;
            }
            auto query = std::move(*approved);
            const auto answer = co_await link->ask(std::move(query));
            if (!answer) {
                fail(answer.error());
                if (!link->connected())
                    break;
                continue;
            }
            take(asking.key(), *answer);
        }
        link->close();
        finish();
    }

    [[nodiscard]] int code() const { return code_; }
    [[nodiscard]] nlohmann::json& told() { return told_; }

  private:
    void fail(const links::LinkError& error) {
        std::cerr << settings_.name << ": " << error.text << '\n';
        code_ = exit_code(error.kind);
        told_["error"] = error.text;
    }

    void take(const std::string& key, const links::Answer& answer) {
        const witness::Ending ending{answer.ended, answer.exit_status, answer.remark};
        const state::Reading reading =
            replay::read_answer(*settings_.profile, key, answer.bytes, ending);
        rows_.insert(rows_.end(), reading.rows.begin(), reading.rows.end());
        print_doubts(std::cerr, settings_.name + " " + key, reading);
        if (!reading.whole) {
            std::cerr << settings_.name << " " << key << ": the answer is not whole"
                      << (answer.remark.empty() ? "" : ": " + answer.remark) << '\n';
            code_ = exit_not_seen;
        }
        if (json_)
            told_["answers"][key] = to_json(reading);
    }

    void finish() {
        check_serial();
        if (json_)
            return;
        std::cout << settings_.name << " (" << settings_.profile->family
                  << "), as the device reports:\n";
        print_rows(std::cout, rows_);
    }

    void check_serial() {
        if (!settings_.serial)
            return;
        for (const state::Row& row : rows_)
            if (row.kind == state::Kind::chassis && row.facts.contains(state::Attribute::serial))
                if (const std::string serial =
                        state::to_text(row.facts.at(state::Attribute::serial).value);
                    serial != *settings_.serial) {
                    std::cerr << settings_.name << ": the device reports the serial " << serial
                              << ", expected " << *settings_.serial
                              << ": another chassis answers at this address\n";
                    code_ = exit_no_permission;
                }
    }

    const desk::ChassisSettings& settings_;
    bool json_;
    std::vector<state::Row> rows_;
    nlohmann::json told_ = nlohmann::json::object();
    int code_ = exit_pass;
};

} // namespace

int look(const LookOptions& options) {
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    if (const auto ready = links::prepare_ssh(); !ready) {
        std::cerr << "slotwitness: " << ready.error() << '\n';
        return exit_unavailable;
    }
    for (const std::string& name : options.chassis)
        if (std::none_of(config->chassis.begin(), config->chassis.end(),
                         [&](const auto& each) { return each.name == name; })) {
            std::cerr << "slotwitness: the configuration has no chassis " << name << '\n';
            return exit_usage;
        }
    int code = exit_pass;
    nlohmann::json all = nlohmann::json::object();
    for (const desk::ChassisSettings& settings : config->chassis) {
        if (!options.chassis.empty() && std::find(options.chassis.begin(), options.chassis.end(),
                                                  settings.name) == options.chassis.end())
            continue;
        boost::asio::io_context loop;
        Look look(settings, options.json);
        auto rethrow = [](const std::exception_ptr& error) {
            if (error)
                std::rethrow_exception(error);
        };
        boost::asio::co_spawn(loop, look.run(loop.get_executor()), std::move(rethrow));
        loop.run();
        code = std::max(code, look.code());
        all[settings.name] = std::move(look.told());
    }
    if (options.json)
        std::cout << all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    return code;
}

} // namespace slotwitness::program
