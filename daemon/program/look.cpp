#include "asking.hpp"
#include "config.hpp"
#include "exit_code.hpp"
#include "print_state.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <slotwitness/replay/reread.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>
#include <set>
#include <unistd.h>
#include <utility>

namespace slotwitness::program {

namespace {

/// One chassis, looked at once.
class Look final : public Asker {
  public:
    Look(const desk::ChassisSettings& settings, bool json) : settings_(settings), json_(json) {}

    void run() {
        if (const auto asked = ask_all(settings_, *this); !asked)
            fail(asked.error());
        else
            finish();
    }

    [[nodiscard]] int code() const { return code_; }
    [[nodiscard]] nlohmann::json& told() { return told_; }

    void asking(const std::string&) override {}
    void failed(const std::string&, const links::LinkError& error) override { fail(error); }
    void refused(const std::string&, const state::Problem& problem) override {
        std::cerr << settings_.name << ": " << state::to_text(problem) << '\n';
        code_ = exit_bad_data;
    }

    void connected(const std::optional<links::Reached>& reached) override {
        if (!reached)
            return;
        told_["address"] = reached->address;
        std::string names;
        for (const std::string& name : reached->agreed.weak()) {
            names += (names.empty() ? "" : ", ") + name;
            told_["weak_algorithms"].push_back(name);
        }
        if (!names.empty())
            std::cerr << settings_.name << ": the session uses " << names
                      << ", which is weak: who sits on the path may read or change what the device "
                         "reports; renew the device's SSH server\n";
    }

    void answered(const std::string& key, const links::Answer& answer) override {
        const witness::Ending ending = ending_of(answer);
        const state::Reading reading =
            replay::read_answer(*settings_.profile, key, answer.bytes, ending);
        rows_.insert(rows_.end(), reading.rows.begin(), reading.rows.end());
        if (reading.whole && reading.wholly_read())
            listed_.insert(reading.lists.begin(), reading.lists.end());
        print_doubts(std::cerr, settings_.name + " " + key, reading);
        if (!reading.whole) {
            std::cerr << settings_.name << " " << key << ": the answer is not whole"
                      << (ending.remark.empty() ? "" : ": " + ending.remark) << '\n';
            code_ = exit_not_seen;
        }
        if (json_)
            told_["answers"][key] = to_json(reading);
    }

  private:
    void fail(const links::LinkError& error) {
        std::cerr << settings_.name << ": " << error.text << '\n';
        code_ = exit_code(error.kind);
        told_["error"] = error.text;
        told_["reason"] = to_word(error.kind);
        if (is_for_people(error.kind))
            std::cerr << settings_.name
                      << ": this was one attempt; the device counts them, so mend it before the "
                         "next one. A daemon that met the same has halted: it tries no more until "
                         "an engineer says so\n";
    }

    void finish() {
        if (const auto wrong = wrong_serial(settings_, rows_)) {
            std::cerr << settings_.name << ": " << *wrong << '\n';
            code_ = exit_no_permission;
        }
        if (json_)
            return;
        const std::size_t columns = columns_of_terminal(STDOUT_FILENO);
        if (columns > 0)
            std::cout << settings_.name << " (" << settings_.profile->family
                      << "), as the device reports:\n";
        print_rows(std::cout, settings_.name, rows_, listed_, columns);
    }

    const desk::ChassisSettings& settings_;
    bool json_;
    std::vector<state::Row> rows_;
    std::set<state::Kind> listed_; ///< in answers that are whole and wholly read
    nlohmann::json told_ = nlohmann::json::object();
    int code_ = exit_pass;
};

/// What a person compares at the device: of each of its addresses. Nothing is accepted, and nothing
/// else is asked.
int show_host_keys(const desk::ChassisSettings& settings, bool json, nlohmann::json& told) {
    int code = exit_pass;
    bool has_begun = false;
    std::vector<std::string> addresses{settings.target.host};
    addresses.insert(addresses.end(), settings.target.also_at.begin(),
                     settings.target.also_at.end());
    desk::ChassisSettings one = settings;
    for (const std::string& address : addresses) {
        one.target.host = address;
        const auto keys = host_keys_of(one);
        if (!keys) {
            std::cerr << settings.name << ": " << keys.error().text << '\n';
            told["error"] = keys.error().text;
            code = std::max<int>(code, exit_code(keys.error().kind));
            continue;
        }
        if (!json && !std::exchange(has_begun, true))
            std::cout << settings.name
                      << " shows these host keys. Compare them at the device itself, not over this "
                         "path; nothing was accepted.\n";
        for (const links::HostKey& key : *keys) {
            if (!json)
                std::cout << "  "
                          << key.as_listed(addresses.size() == 1 ? settings.name
                                                                 : settings.name + " " + address)
                          << '\n';
            told["host_keys"].push_back({{"address", address},
                                         {"type", key.type},
                                         {"bits", key.bits},
                                         {"fingerprint", key.fingerprint},
                                         {"key", key.base64}});
        }
    }
    return code;
}

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
        if (chassis_or_say(*config, name) == nullptr)
            return exit_usage;
    int code = exit_pass;
    nlohmann::json all = nlohmann::json::object();
    for (const desk::ChassisSettings& settings : config->chassis) {
        if (!options.chassis.empty() && std::find(options.chassis.begin(), options.chassis.end(),
                                                  settings.name) == options.chassis.end())
            continue;
        if (options.show_host_keys) {
            code = std::max(code, show_host_keys(settings, options.json, all[settings.name]));
            continue;
        }
        Look look(settings, options.json);
        look.run();
        code = std::max(code, look.code());
        all[settings.name] = std::move(look.told());
    }
    if (options.json)
        std::cout << all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    return code;
}

} // namespace slotwitness::program
