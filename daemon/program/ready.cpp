#include "asking.hpp"
#include "config.hpp"
#include "exit_code.hpp"
#include "print_ready.hpp"
#include "procedure_file.hpp"
#include "verbs.hpp"

#include <slotwitness/desk/clock.hpp>
#include <slotwitness/desk/session_record.hpp>
#include <slotwitness/replay/reread.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <iostream>
#include <unistd.h>
#include <utility>

namespace slotwitness::program {

namespace {

namespace fs = std::filesystem;

/// Room for the evidence of a long job, by far: its looks are some ten kilobytes each.
constexpr std::uintmax_t least_room = 256'000'000;

/// Asks each query once, and times it.
class Looker final : public Asker {
  public:
    explicit Looker(const desk::ChassisSettings& settings) : settings_(settings) {
        look_.at = units::Instant(units::Duration(desk::read_machine_time().wall_ms));
    }

    [[nodiscard]] tl::expected<void, links::LinkError>
    look(const std::vector<profiles::Asking>& askings) {
        auto asked = ask_each(settings_, askings, *this);
        if (!asked)
            look_.no_session = asked.error().text;
        return asked;
    }
    [[nodiscard]] const ready::Look& result() const { return look_; }

    void asking(const std::string&) override {
        asked_ = clock_.now_at_the_latest();
        if (look_.tried.empty())
            look_.to_open = asked_ - begun_;
    }
    void answered(const std::string& key, const links::Answer& answer) override {
        const witness::Ending ending = ending_of(answer);
        auto reading = std::make_shared<const state::Reading>(
            replay::read_answer(*settings_.profile, key, answer.bytes, ending));
        keep(key, clock_.now() - asked_, ready::Answer{ending, std::move(reading)});
    }
    void failed(const std::string& key, const links::LinkError& error) override {
        keep(key, clock_.now() - asked_,
             witness::Silent{key, desk::no_answer(error.kind), error.text});
    }
    void refused(const std::string& key, const state::Problem& problem) override {
        keep(key, {}, witness::Silent{key, witness::NoAnswer::guarded, state::to_text(problem)});
    }

  private:
    void keep(const std::string& key, units::Duration took,
              std::variant<ready::Answer, witness::Silent> came) {
        const auto asking = profiles::from_key(*settings_.profile, key);
        const auto request = asking ? profiles::request_bytes(*settings_.profile, *asking)
                                    : tl::expected<std::string, state::Problem>(key);
        look_.tried.push_back({key, request.value_or(key), took, std::move(came)});
    }

    const desk::ChassisSettings& settings_;
    desk::MachineClock clock_{0};
    units::Instant begun_ = clock_.now_at_the_latest();
    units::Instant asked_;
    ready::Look look_;
};

/// Why no evidence could be kept there; nothing if it could. Nothing is written.
std::optional<std::string> trouble_with(const std::string& journal) {
    const fs::path folder = fs::absolute(journal).parent_path();
    std::error_code error;
    if (!fs::is_directory(folder, error))
        return "there is no folder " + folder.string();
    if (::access(folder.c_str(), W_OK | X_OK) != 0 ||
        (fs::exists(journal, error) && ::access(journal.c_str(), R_OK | W_OK) != 0))
        return "this user may not write " + journal;
    const fs::space_info space = fs::space(folder, error);
    if (!error && space.available < least_room)
        return "only " + std::to_string(space.available / 1'000'000) + " MB are left for " +
               journal + ", and a long job may take " + std::to_string(least_room / 1'000'000) +
               " MB";
    return std::nullopt;
}

ready::Site::Listed listed(const Config& config, const std::string& path, const std::string& text) {
    const auto named = config.procedures.find(fs::path(path).stem().string());
    if (named == config.procedures.end())
        return ready::Site::Listed::no;
    return named->second.text == text ? ready::Site::Listed::same : ready::Site::Listed::other_text;
}

void print_report(const ReadyOptions& options, const ready::Work& work, const ready::Look& look,
                  const ready::Report& report) {
    if (options.json)
        std::cout << ready_json(work, look, report)
                         .dump(2, ' ', false, nlohmann::json::error_handler_t::replace)
                  << '\n';
    else
        print_ready(std::cout, work, look, report);
}

} // namespace

int ready(const ReadyOptions& options) {
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    const desk::ChassisSettings* settings = chassis_or_say(*config, options.chassis);
    if (settings == nullptr)
        return exit_usage;
    const auto file = load_procedure_or_say(options.procedure);
    if (!file)
        return file.error();
    const auto filled = fill_procedure_or_say(file->procedure, options.with);
    if (!filled)
        return filled.error();
    if (const auto prepared = links::prepare_ssh(); !prepared) {
        std::cerr << "slotwitness: " << prepared.error() << '\n';
        return exit_unavailable;
    }
    const ready::Work work{*filled,
                           {settings->name, *settings->profile, settings->pace, settings->serial,
                            settings->allow_unproven, settings->inventory, settings->peak_load,
                            settings->in_band, settings->budget},
                           {trouble_with(config->journal),
                            desk::read_machine_time().wall_synchronised,
                            listed(*config, options.procedure, file->text)}};
    Looker looker(*settings);
    const auto looked = looker.look(ready::askings(*settings->profile, *filled));
    const ready::Report report = ready::check(work, looker.result());
    print_report(options, work, looker.result(), report);
    if (!looked)
        return exit_code(looked.error().kind);
    return report.count(ready::Weight::holds_up) == 0 ? exit_pass : exit_fail;
}

} // namespace slotwitness::program
