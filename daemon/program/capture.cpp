#include "asking.hpp"
#include "config.hpp"
#include "print_state.hpp"
#include "verbs.hpp"

#include <slotwitness/desk/clock.hpp>
#include <slotwitness/desk/session_record.hpp>
#include <slotwitness/journal/codec.hpp>
#include <slotwitness/pack/pack.hpp>
#include <slotwitness/replay/reread.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>
#include <utility>
#include <variant>

namespace slotwitness::program {

namespace {

/// Asks once and keeps all that happened, in the order in which it did.
class Recorder final : public Asker {
  public:
    explicit Recorder(const desk::ChassisSettings& settings)
        : settings_(settings), started_(desk::begin_run({}, {}, desk::read_machine_time())),
          clock_(started_.offset_ms) {
        started_.profile = journal::digest_of(settings.profile->text);
        started_.inventory = settings.inventory;
        begun_ = clock_.now();
    }

    void connected(const std::optional<links::Reached>& reached) override {
        if (reached)
            session_ = witness::Event{clock_.now(), desk::opened(*reached, "")};
    }
    void asking(const std::string&) override { asked_ = clock_.now_at_the_latest(); }
    void answered(const std::string& key, const links::Answer& answer) override {
        looks_.push_back({key, asked_, clock_.now(), answer});
    }
    void failed(const std::string& key, const links::LinkError& error) override {
        looks_.push_back({key, asked_, clock_.now(), error});
        say(key, error.text, exit_code(error.kind));
    }
    void refused(const std::string& key, const state::Problem& problem) override {
        say(key, state::to_text(problem), exit_bad_data);
    }

    [[nodiscard]] bool has_answers() const {
        return std::any_of(looks_.begin(), looks_.end(), [](const Look& look) {
            return std::holds_alternative<links::Answer>(look.what);
        });
    }

    /// What the pack keeps. Only now is it known whether the profile was tried with the device's
    /// software.
    [[nodiscard]] pack::Contents contents() {
        pack::Contents contents{
            settings_.name, settings_.profile->family, settings_.profile->text, {}, {}};
        contents.events.push_back({begun_, started_});
        if (session_)
            contents.events.push_back(*session_);
        witness::RoundStarted round{1, {}};
        for (const Look& look : looks_)
            round.askings.push_back(look.key);
        contents.events.push_back({begun_, std::move(round)});
        const std::optional<std::string> unproven = why_unproven();
        for (const Look& look : looks_)
            if (const auto* answer = std::get_if<links::Answer>(&look.what))
                keep(look, *answer, unproven, contents);
            else
                contents.events.push_back(
                    {look.at,
                     witness::Failed{1, look.key, look.asked,
                                     desk::no_answer(std::get<links::LinkError>(look.what).kind),
                                     std::get<links::LinkError>(look.what).text}});
        return contents;
    }

    [[nodiscard]] const std::vector<state::Row>& rows() const { return rows_; }
    [[nodiscard]] const nlohmann::json& told() const { return told_; }
    [[nodiscard]] int code() const { return code_; }

  private:
    struct Look {
        std::string key;
        units::Instant asked;
        units::Instant at;
        std::variant<links::Answer, links::LinkError> what;
    };

    void say(const std::string& key, const std::string& text, int code) {
        std::cerr << settings_.name << ' ' << key << ": " << text << '\n';
        code_ = code;
    }

    [[nodiscard]] std::optional<std::string> why_unproven() const {
        const auto& proven_for = settings_.profile->proven_for;
        if (!proven_for)
            return std::nullopt;
        for (const Look& look : looks_)
            if (const auto* answer = std::get_if<links::Answer>(&look.what);
                answer && look.key == proven_for->query)
                return profiles::not_proven(*settings_.profile,
                                            replay::read_answer(*settings_.profile, look.key,
                                                                answer->bytes, ending_of(*answer)),
                                            settings_.allow_unproven);
        return "the software version of the device was not told";
    }

    void keep(const Look& look, const links::Answer& answer,
              const std::optional<std::string>& unproven, pack::Contents& contents) {
        witness::Ending ending = ending_of(answer);
        if (unproven && ending.complete()) {
            ending.proven = false;
            ending.remark = *unproven;
        }
        auto reading = std::make_shared<const state::Reading>(
            replay::read_answer(*settings_.profile, look.key, answer.bytes, ending));
        rows_.insert(rows_.end(), reading->rows.begin(), reading->rows.end());
        tell(look.key, *reading, ending);
        const std::string digest = journal::digest_of(answer.bytes);
        contents.answers.emplace(digest, answer.bytes);
        contents.events.push_back(
            {look.at, witness::Answered{1, look.key, look.asked, digest, ending, reading}});
    }

    void tell(const std::string& key, const state::Reading& reading,
              const witness::Ending& ending) {
        told_[key] = {{"rows", reading.rows.size()},
                      {"unread", reading.unread.size()},
                      {"remarks", reading.remarks.size()},
                      {"whole", reading.whole}};
        print_doubts(std::cerr, settings_.name + " " + key, reading);
        if (!reading.whole)
            say(key,
                "the answer is not whole" + (ending.remark.empty() ? "" : ": " + ending.remark),
                exit_not_seen);
    }

    const desk::ChassisSettings& settings_;
    witness::RunStarted started_;
    desk::MachineClock clock_;
    units::Instant begun_;
    units::Instant asked_;
    std::optional<witness::Event> session_;
    std::vector<Look> looks_;
    std::vector<state::Row> rows_;
    nlohmann::json told_ = nlohmann::json::object();
    int code_ = exit_pass;
};

/// "edge-7-2026-11-25T154821Z": sorts by time, and no file system minds it.
std::string folder_for(const std::string& chassis) {
    std::string time =
        units::to_rfc3339(units::Instant(units::Duration(desk::read_machine_time().wall_ms)));
    time.erase(std::min(time.find('.'), time.size()));
    std::erase(time, ':');
    return chassis + "-" + time + "Z";
}

int say(const pack::PackError& error) {
    std::cerr << "slotwitness: " << error.text << '\n';
    return error.kind == pack::PackError::Kind::refused ? exit_usage : exit_unavailable;
}

} // namespace

int capture(const CaptureOptions& options) {
    auto config = load_config_or_say(options.config);
    if (!config)
        return config.error();
    const desk::ChassisSettings* settings = chassis_or_say(*config, options.chassis);
    if (settings == nullptr)
        return exit_usage;
    const std::string folder = options.to.empty() ? folder_for(options.chassis) : options.to;
    // Said before the device is asked for nothing.
    if (const auto free = pack::may_write(folder); !free)
        return say(free.error());
    if (const auto ready = links::prepare_ssh(); !ready) {
        std::cerr << "slotwitness: " << ready.error() << '\n';
        return exit_unavailable;
    }
    Recorder recorder(*settings);
    const auto asked = ask_all(*settings, recorder);
    if (!asked) {
        std::cerr << settings->name << ": " << asked.error().text << '\n';
        return exit_code(asked.error().kind);
    }
    if (!recorder.has_answers()) {
        std::cerr << settings->name << ": no answer came, nothing is saved\n";
        return recorder.code();
    }
    const pack::Contents contents = recorder.contents();
    if (const auto wrong = wrong_serial(*settings, recorder.rows())) {
        std::cerr << settings->name << ": " << *wrong << "; nothing is saved under its name\n";
        return exit_no_permission;
    }
    if (const auto written = pack::write(folder, contents); !written)
        return say(written.error());
    if (options.json)
        std::cout << nlohmann::json({{"pack", folder},
                                     {"chassis", settings->name},
                                     {"answers", recorder.told()}})
                         .dump(2, ' ', false, nlohmann::json::error_handler_t::replace)
                  << '\n';
    else
        std::cout << settings->name << ": " << recorder.told().size() << " answers saved in "
                  << folder << "\n  slotwitness read --check " << folder << "   reads them again\n";
    return recorder.code();
}

} // namespace slotwitness::program
