#include "watcher.hpp"

#include <slotwitness/log/log.hpp>
#include <slotwitness/replay/reread.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

using units::Instant;

Watcher::Watcher(boost::asio::any_io_executor executor, const Clock& clock,
                 const ChassisSettings& settings, const Reconnect& reconnect,
                 std::shared_ptr<Entrance> entrance, std::unique_ptr<links::Link> link,
                 Sequencer& sequencer, const Past& past, std::uint32_t jitter)
    : executor_(executor), clock_(clock), settings_(settings), sequencer_(sequencer),
      allowance_(clock, settings, past.asked),
      session_(clock, settings, reconnect, std::move(entrance), std::move(link), sequencer,
               allowance_, past.serial, jitter),
      last_round_(past.last_round), outgrown_(past.outgrown), pause_(clock.make_alarm(executor)) {
    for (const profiles::Asking& asking : profiles::all_queries(*settings.profile))
        idle_askings_.push_back(asking.key());
}

void Watcher::stop() {
    stopping_ = true;
    session_.stop();
    pause_->ring();
}

void Watcher::look_again() {
    session_.urgency_is_new();
    pause_->ring();
}

void Watcher::connect_again() {
    if (!session_.try_again())
        return;
    last_start_.reset();
    pause_->ring();
}

watch::Plan Watcher::plan() const {
    watch::Attention attention{sequencer_.witness().wanted_askings(), idle_askings_,
                               session_.is_up() ? 0 : queries_at_entrance(*settings_.profile)};
    return watch::next_round(settings_.pace, allowance_.spending(), last_start_,
                             clock_.now_at_the_latest(), std::move(attention));
}

void Watcher::held_up_is(const watch::Plan& plan) {
    if (plan.held_up && held_up_.empty())
        log::tell(log::Level::warning, log::Event::look, {settings_.name, {}},
                  allowance_.over_budget() + ": looks come more seldom than configured");
    if (!plan.held_up && !held_up_.empty())
        log::tell(log::Level::info, log::Event::look, {settings_.name, {}},
                  "looks come at their pace again");
    held_up_.clear();
    if (plan.held_up)
        held_up_ = allowance_.over_budget() + "; the next look, of " +
                   std::to_string(plan.askings.size()) + " queries, comes by " +
                   units::to_rfc3339(plan.start) +
                   ". Raise queries-an-hour in [chassis.budget], or delete gates that nobody "
                   "waits for";
}

boost::asio::awaitable<void> Watcher::run() {
    while (!stopping_) {
        watch::Plan next = plan();
        const auto& attempt = session_.next_attempt();
        const bool waits_to_connect = !session_.is_up() && attempt && *attempt > next.start;
        const Instant due = waits_to_connect ? *attempt : next.start;
        if (due > clock_.now_at_the_latest()) {
            held_up_is(next);
            co_await pause_->wait_until(due);
            continue; // a ring may have changed the plan
        }
        if (!session_.is_up()) {
            co_await session_.set_up();
            if (session_.is_up())
                continue; // what is wanted may be something else by now
        }
        last_start_ = clock_.now_at_the_latest();
        // Without a session an idle chassis has nothing to record; a gate that waits must be told
        // why.
        if (!stopping_ && (session_.is_up() || !sequencer_.witness().wanted_askings().empty()))
            co_await round(std::move(next.askings));
    }
}

boost::asio::awaitable<void> Watcher::round(std::vector<std::string> askings) {
    const witness::RoundNumber number = ++last_round_;
    Sequencer::What started = witness::RoundStarted{number, askings};
    // Recorded or not, the device is asked: bad news must show also while the disk is full.
    const Recorded recorded = co_await sequencer_.record(std::move(started));
    auto list = std::make_shared<std::vector<std::string>>(std::move(askings));
    auto next = std::make_shared<std::size_t>(0);
    const std::size_t lanes = std::clamp<std::size_t>(
        queries_at_once(*settings_.profile, settings_.budget), 1, list->size());
    if (lanes == 1) {
        co_await ask_in_turn(number, list, next);
        co_return;
    }
    const auto all_done = std::shared_ptr<Alarm>(clock_.make_alarm(executor_));
    auto open = std::make_shared<std::size_t>(lanes);
    for (std::size_t lane = 0; lane < lanes; ++lane)
        boost::asio::co_spawn(executor_, ask_in_turn(number, list, next),
                              [all_done, open](const std::exception_ptr& e) {
                                  if (e)
                                      log::tell(log::Level::error, log::Event::defect, {},
                                                "a look ended by an exception: this is a defect");
                                  if (--*open == 0)
                                      all_done->ring();
                              });
    while (*open > 0)
        co_await all_done->wait_until(clock_.now() + std::chrono::hours(1));
}

boost::asio::awaitable<void> Watcher::ask_in_turn(witness::RoundNumber round,
                                                  std::shared_ptr<std::vector<std::string>> askings,
                                                  std::shared_ptr<std::size_t> next) {
    while (*next < askings->size() && !stopping_) {
        std::string asking = (*askings)[(*next)++];
        co_await ask(round, std::move(asking));
    }
}

boost::asio::awaitable<void> Watcher::ask(witness::RoundNumber round, std::string asking) {
    const Instant asked = clock_.now_at_the_latest();
    if (!session_.is_up()) {
        links::LinkError error = session_.why_down();
        co_await failed(round, std::move(asking), asked, std::move(error));
        co_return;
    }
    auto approved = allowance_.take(asking);
    if (!approved) {
        Sequencer::What what =
            witness::Failed{round, std::move(asking), asked, witness::NoAnswer::guarded,
                            std::move(approved.error().text)};
        const Recorded recorded = co_await sequencer_.record(std::move(what));
        co_return;
    }
    auto query = std::move(*approved);
    auto answer = co_await session_.ask(std::move(query));
    if (stopping_)
        co_return;
    if (answer)
        co_await answered(round, std::move(asking), asked, std::move(*answer));
    else
        co_await failed(round, std::move(asking), asked, std::move(answer.error()));
}

boost::asio::awaitable<void> Watcher::failed(witness::RoundNumber round, std::string asking,
                                             Instant asked, links::LinkError error) {
    const witness::NoAnswer why = session_.failed(error);
    Sequencer::What what =
        witness::Failed{round, std::move(asking), asked, why, std::move(error.text)};
    const Recorded recorded = co_await sequencer_.record(std::move(what));
    if (!recorded.stored)
        log::tell(log::Level::error, log::Event::journal, {settings_.name, {}},
                  "a failed look is not recorded: " + recorded.trouble);
}

std::string Watcher::doubt() const {
    return outgrown_.empty() ? session_.unproven().value_or("") : outgrown_;
}

boost::asio::awaitable<void> Watcher::answered(witness::RoundNumber round, std::string asking,
                                               Instant asked, links::Answer answer) {
    witness::Ending ending{answer.ended, answer.exit_status, links::why_not_whole(answer)};
    if (settings_.profile->proven_for && asking == settings_.profile->proven_for->query)
        session_.software_is_told_by(
            replay::read_answer(*settings_.profile, asking, answer.bytes, ending));
    if (auto why = doubt(); !why.empty() && ending.complete()) {
        ending.proven = false;
        ending.remark = std::move(why);
    }
    auto reading = std::make_shared<const state::Reading>(
        replay::read_answer(*settings_.profile, asking, answer.bytes, ending));
    auto bytes = std::make_shared<const std::string>(answer.bytes);
    journal::Capture capture{journal::digest_of(answer.bytes), std::move(answer.bytes)};
    std::string digest = capture.digest;
    std::vector<journal::Capture> captures;
    captures.push_back(std::move(capture));
    const std::string key = asking;
    Sequencer::What what =
        witness::Answered{round, std::move(asking), asked, digest, ending, reading};
    const Recorded recorded = co_await sequencer_.record(std::move(what), std::move(captures));
    session_.heed(recorded);
    if (recorded.stored)
        newest_.take(key, {std::move(digest), asked, recorded.event.at, std::move(ending),
                           std::move(bytes), reading->unread.size()});
    else
        log::tell(log::Level::error, log::Event::journal, {settings_.name, {}},
                  "an answer is not recorded: " + recorded.trouble);
}

ChassisSummary Watcher::summary() const {
    ChassisSummary summary;
    summary.name = settings_.name;
    summary.family = settings_.profile->family;
    session_.show(summary);
    summary.held_up = held_up_;
    summary.in_band = settings_.in_band;
    newest_.summarise(summary);
    return summary;
}

ChassisView Watcher::view() const {
    ChassisView view;
    static_cast<ChassisSummary&>(view) = summary();
    for (const auto& [side, face] : settings_.profile->faces)
        for (const std::vector<std::string>& row : face) {
            std::vector<Slot>& slots = view.faces[side].emplace_back();
            for (const std::string& name : row)
                slots.push_back({name, profiles::label_of(*settings_.profile, name)});
        }
    newest_.fill(view);
    return view;
}

} // namespace slotwitness::desk
