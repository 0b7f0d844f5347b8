#include "watcher.hpp"

#include <slotwitness/log/log.hpp>
#include <slotwitness/replay/reread.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

namespace {

using units::Instant;

/// Whether trying again may help, an operator must mend something first, or trying again may harm.
Session session_after(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::host_key:
    case links::LinkError::Kind::own_files:
        return Session::refused;
    case links::LinkError::Kind::bastion:
    case links::LinkError::Kind::credential:
    case links::LinkError::Kind::locked:
        return Session::halted;
    case links::LinkError::Kind::aaa:
    case links::LinkError::Kind::no_line:
    case links::LinkError::Kind::unreachable:
    case links::LinkError::Kind::session_lost:
    case links::LinkError::Kind::timed_out:
    case links::LinkError::Kind::refused:
    case links::LinkError::Kind::misuse:
        return Session::lost;
    }
    return Session::lost;
}

/// A device counts refusals, and locks the account for everybody after some.
std::string halted(std::string text, const std::string& chassis) {
    return text + "; since each attempt counts towards a lock there is no further one until an " +
           "engineer asks for it (POST /v1/chassis/" + chassis +
           "/session) or the daemon starts again";
}

std::vector<std::string> bastions_of(const ChassisSettings& settings) {
    std::vector<std::string> names;
    for (const links::Hop& hop : settings.through)
        names.push_back(hop.name);
    return names;
}

std::size_t shell_queries(const profiles::Profile& profile) {
    return profile.reach.by == profiles::Reach::By::shell
               ? profile.reach.shell.session_queries.size()
               : 0;
}

} // namespace

std::size_t queries_at_entrance(const profiles::Profile& profile) {
    return (profile.identity ? 1U : 0U) + (profile.proven_for ? 1U : 0U) + shell_queries(profile);
}

witness::NoAnswer no_answer(links::LinkError::Kind kind) {
    switch (kind) {
    case links::LinkError::Kind::unreachable:
        return witness::NoAnswer::unreachable;
    case links::LinkError::Kind::host_key:
        return witness::NoAnswer::host_key;
    case links::LinkError::Kind::own_files:
    case links::LinkError::Kind::bastion:
    case links::LinkError::Kind::credential:
        return witness::NoAnswer::credential;
    case links::LinkError::Kind::locked:
        return witness::NoAnswer::locked;
    case links::LinkError::Kind::aaa:
        return witness::NoAnswer::aaa;
    case links::LinkError::Kind::no_line:
        return witness::NoAnswer::no_line;
    case links::LinkError::Kind::session_lost:
        return witness::NoAnswer::session_lost;
    case links::LinkError::Kind::timed_out:
        return witness::NoAnswer::timed_out;
    case links::LinkError::Kind::refused:
        return witness::NoAnswer::refused;
    case links::LinkError::Kind::misuse:
        return witness::NoAnswer::internal;
    }
    return witness::NoAnswer::internal;
}

witness::SessionOpened opened(const links::Reached& reached, std::string serial) {
    const links::Agreed& agreed = reached.agreed;
    return {reached.address, reached.host_key, std::move(serial),  agreed.key_exchange,
            agreed.host_key, agreed.cipher_to, agreed.cipher_from, agreed.mac_to,
            agreed.mac_from, agreed.weak()};
}

Watcher::Watcher(boost::asio::any_io_executor executor, const Clock& clock,
                 const ChassisSettings& settings, const Reconnect& reconnect,
                 std::shared_ptr<Entrance> entrance, std::unique_ptr<links::Link> link,
                 Sequencer& sequencer, const Past& past, std::uint32_t jitter)
    : executor_(executor), clock_(clock), settings_(settings), reconnect_(reconnect),
      entrance_(std::move(entrance)), guard_(*settings.profile), link_(std::move(link)),
      sequencer_(sequencer), last_round_(past.last_round), spending_(settings.budget),
      pause_(clock.make_alarm(executor)), jitter_(jitter) {
    for (const profiles::Asking& asking : profiles::all_queries(*settings.profile))
        idle_askings_.push_back(asking.key());
    for (const Instant asked : past.asked)
        spending_.spend(asked);
}

void Watcher::stop() {
    stopping_ = true;
    link_->close();
    if (place_)
        place_->wait_no_longer();
    pause_->ring();
}

void Watcher::look_again() {
    if (place_)
        place_->is_now(urgency());
    pause_->ring();
}

void Watcher::connect_again() {
    if (link_->connected())
        return;
    is_refused_ = false;
    link_->forgive();
    attempts_ = 0;
    next_attempt_.reset();
    last_start_.reset();
    pause_->ring();
}

void Watcher::session_is(Session session, std::string reason, std::string text) {
    if (session != session_ || text != session_text_)
        log::tell(log::Level::info, log::Event::session,
                  {settings_.name, {{"session", std::string{to_word(session)}}}},
                  "router session " + std::string{to_word(session)} +
                      (text.empty() ? "" : ": " + text));
    session_ = session;
    session_text_ = std::move(text);
    session_reason_ = std::move(reason);
}

watch::Plan Watcher::plan() const {
    watch::Attention attention{sequencer_.witness().wanted_askings(), idle_askings_,
                               link_->connected() ? 0 : queries_at_entrance(*settings_.profile)};
    return watch::next_round(settings_.pace, spending_, last_start_, clock_.now_at_the_latest(),
                             std::move(attention));
}

watch::Urgency Watcher::urgency() const {
    if (!sequencer_.witness().wanted_askings().empty())
        return watch::Urgency::work;
    return attempts_ > 0 ? watch::Urgency::failing : watch::Urgency::idle;
}

std::string Watcher::over_budget() const {
    return "the budget of " + std::to_string(spending_.most().value_or(0)) +
           " queries an hour bears no more now (" + std::to_string(spending_.spent(clock_.now())) +
           " were asked within the last hour)";
}

void Watcher::held_up_is(const watch::Plan& plan) {
    if (plan.held_up && held_up_.empty())
        log::tell(log::Level::warning, log::Event::look, {settings_.name, {}},
                  over_budget() + ": looks come more seldom than configured");
    if (!plan.held_up && !held_up_.empty())
        log::tell(log::Level::info, log::Event::look, {settings_.name, {}},
                  "looks come at their pace again");
    held_up_.clear();
    if (plan.held_up)
        held_up_ = over_budget() + "; the next look, of " + std::to_string(plan.askings.size()) +
                   " queries, comes by " + units::to_rfc3339(plan.start) +
                   ". Raise queries-an-hour in [chassis.budget], or delete gates that nobody "
                   "waits for";
}

bool Watcher::may_ask() {
    const Instant now = clock_.now();
    const std::size_t queries = 1 + owed_by_shell_;
    if (spending_.most() && spending_.room_for(queries, *spending_.most(), now) != now)
        return false;
    for (std::size_t i = 0; i < queries; ++i)
        spending_.spend(now);
    owed_by_shell_ = 0;
    return true;
}

boost::asio::awaitable<void> Watcher::run() {
    while (!stopping_) {
        watch::Plan next = plan();
        const bool waits_to_connect =
            !link_->connected() && next_attempt_ && *next_attempt_ > next.start;
        const Instant due = waits_to_connect ? *next_attempt_ : next.start;
        if (due > clock_.now_at_the_latest()) {
            held_up_is(next);
            co_await pause_->wait_until(due);
            continue; // a ring may have changed the plan
        }
        if (!link_->connected()) {
            co_await enter_and_connect();
            if (link_->connected())
                continue; // what is wanted may be something else by now
        }
        last_start_ = clock_.now_at_the_latest();
        // Without a session an idle chassis has nothing to record; a gate that waits must be told
        // why.
        if (!stopping_ && (link_->connected() || !sequencer_.witness().wanted_askings().empty()))
            co_await round(std::move(next.askings));
    }
}

boost::asio::awaitable<void> Watcher::enter_and_connect() {
    if (!is_refused_) {
        place_ = entrance_->queue(bastions_of(settings_), urgency());
        co_await place_->admitted();
    }
    if (!stopping_)
        co_await hold_session();
    place_.reset();
}

boost::asio::awaitable<void> Watcher::hold_session() {
    // A round that waits is told why in the same steps as if it were tried.
    if (is_refused_) {
        wait_before_connecting();
        co_return;
    }
    if (!needs_people(session_))
        session_is(Session::connecting, session_reason_, session_text_);
    const auto connected = co_await link_->connect();
    if (connected) {
        owed_by_shell_ = shell_queries(*settings_.profile);
        co_await check_identity();
        co_await check_software();
    } else {
        const links::LinkError& error = connected.error();
        const Session session = session_after(error.kind);
        is_refused_ = links::is_for_people(error.kind) &&
                      error.kind != links::LinkError::Kind::bastion; // which remembers it itself
        trouble_ = no_answer(error.kind);
        session_is(session, std::string(to_word(error.kind)),
                   session == Session::halted ? halted(error.text, settings_.name) : error.text);
    }
    if (link_->connected()) {
        attempts_ = 0;
        next_attempt_.reset();
        session_is(Session::connected, "", "");
        co_await record_session();
    } else {
        wait_before_connecting();
    }
}

void Watcher::wait_before_connecting() {
    const double uniform = std::uniform_real_distribution<double>(0, 1)(jitter_);
    next_attempt_ =
        clock_.now() + links::back_off(attempts_++, reconnect_.first, reconnect_.longest, uniform);
}

std::optional<std::string> Watcher::serial_in(const state::Reading& reading) const {
    for (const state::Row& row : reading.rows)
        if (row.kind == state::Kind::chassis)
            if (const auto fact = row.facts.find(state::Attribute::serial); fact != row.facts.end())
                if (const auto* text = std::get_if<std::string>(&fact->second.value))
                    return *text;
    return std::nullopt;
}

/// Nothing that the session says counts before the chassis has told the serial that it should have:
/// the address may lead to another one today.
boost::asio::awaitable<void> Watcher::check_identity() {
    if (!settings_.profile->identity) {
        if (settings_.serial)
            log::tell(log::Level::warning, log::Event::identity, {settings_.name, {}},
                      "a serial is configured, but the profile names no identity query to check it "
                      "with");
        co_return;
    }
    auto approved = guard_.approve({*settings_.profile->identity, {}});
    if (!approved) {
        link_->close();
        session_is(Session::refused, "guarded", state::to_text(approved.error()));
        trouble_ = witness::NoAnswer::guarded;
        co_return;
    }
    if (!may_ask()) {
        link_->close();
        session_is(Session::lost, "budget", over_budget());
        trouble_ = witness::NoAnswer::guarded;
        co_return;
    }
    auto query = std::move(*approved);
    const auto answer = co_await link_->ask(std::move(query));
    std::optional<std::string> serial;
    if (answer) {
        const witness::Ending ending{answer->ended, answer->exit_status, ""};
        const state::Reading reading = replay::read_answer(
            *settings_.profile, *settings_.profile->identity, answer->bytes, ending);
        if (reading.whole)
            serial = serial_in(reading);
    }
    // Without a configured serial the first one seen in this run must stay.
    const std::optional<std::string> expected = settings_.serial ? settings_.serial : serial_;
    if (serial && (!expected || *expected == *serial)) {
        serial_ = serial;
        co_return;
    }
    link_->close();
    if (!answer) {
        trouble_ = no_answer(answer.error().kind);
        session_is(Session::lost, std::string(to_word(answer.error().kind)), answer.error().text);
    } else if (!serial) {
        trouble_ = witness::NoAnswer::wrong_chassis;
        session_is(Session::refused, "wrong-chassis",
                   "the device did not report a readable chassis serial, so it is not known which "
                   "chassis answers; see the query \"" +
                       *settings_.profile->identity + "\" of the profile");
    } else {
        trouble_ = witness::NoAnswer::wrong_chassis;
        session_is(Session::refused, "wrong-chassis",
                   "the device reports the serial " + *serial + ", expected " + *expected +
                       ": another chassis answers at this address; check address and serial in "
                       "the configuration");
    }
}

/// Where the session leads and what it uses is evidence: a verdict rests on it.
boost::asio::awaitable<void> Watcher::record_session() {
    const auto reached = link_->reached();
    if (!reached)
        co_return;
    opened_ = opened(*reached, serial_.value_or(""));
    std::string weak;
    for (const std::string& name : opened_->weak)
        weak += (weak.empty() ? "" : ", ") + name;
    if (!weak.empty())
        log::tell(log::Level::warning, log::Event::session,
                  {settings_.name, {{"address", opened_->address}, {"weak", weak}}},
                  "the session uses " + weak +
                      ", which is weak: who sits on the path may read or change what the device "
                      "reports; renew the device's SSH server");
    Sequencer::What what = *opened_;
    const Recorded recorded = co_await sequencer_.record(std::move(what));
    if (!recorded.stored)
        log::tell(log::Level::error, log::Event::journal, {settings_.name, {}},
                  "a session is not recorded: " + recorded.trouble);
    heed_switchover(recorded);
}

void Watcher::heed_switchover(const Recorded& recorded) {
    for (const witness::Finding& finding : recorded.outcome.findings)
        if (const auto* switched = std::get_if<witness::SwitchedOver>(&finding)) {
            log::tell(log::Level::warning, log::Event::switchover,
                      {settings_.name,
                       {{"of", std::string{to_word(switched->of)}},
                        {"from", switched->from},
                        {"to", switched->to}}},
                      "switchover of the " + std::string{to_word(switched->of)} + ": " +
                          switched->from + " before, " + switched->to + " now");
            switchover_ = Switchover{recorded.event.at, *switched};
        }
}

/// The words of another release may mean something else: until its version is known to be one that
/// the profile was tried with, what the device reports is shown and confirms nothing.
boost::asio::awaitable<void> Watcher::check_software() {
    const auto& proven_for = settings_.profile->proven_for;
    if (!proven_for || !link_->connected())
        co_return;
    unproven_ = "its software version is not known yet";
    auto approved = guard_.approve({proven_for->query, {}});
    if (!approved) {
        unproven_ = state::to_text(approved.error());
        co_return;
    }
    if (!may_ask()) {
        unproven_ = "its software version is not known yet: " + over_budget();
        co_return;
    }
    auto query = std::move(*approved);
    const auto answer = co_await link_->ask(std::move(query));
    if (!answer)
        co_return;
    const witness::Ending ending{answer->ended, answer->exit_status, ""};
    software_is_told_by(
        replay::read_answer(*settings_.profile, proven_for->query, answer->bytes, ending));
}

void Watcher::software_is_told_by(const state::Reading& reading) {
    auto unproven = profiles::not_proven(*settings_.profile, reading, settings_.allow_unproven);
    if (unproven && unproven != unproven_)
        log::tell(log::Level::warning, log::Event::software, {settings_.name, {}},
                  "no gate can pass: " + *unproven);
    unproven_ = std::move(unproven);
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
    if (!link_->connected()) {
        links::LinkError error{links::LinkError::Kind::session_lost, session_text_};
        co_await failed(round, std::move(asking), asked, std::move(error));
        co_return;
    }
    const auto known = profiles::from_key(*settings_.profile, asking);
    auto approved =
        known ? guard_.approve(*known)
              : tl::expected<links::ApprovedQuery, state::Problem>(
                    tl::unexpect,
                    state::Problem{
                        "profile", {}, asking, "a query of the profile", "open the gate again"});
    if (!approved) {
        Sequencer::What what =
            witness::Failed{round, std::move(asking), asked, witness::NoAnswer::guarded,
                            state::to_text(approved.error())};
        const Recorded recorded = co_await sequencer_.record(std::move(what));
        co_return;
    }
    if (!may_ask()) {
        Sequencer::What what = witness::Failed{round, std::move(asking), asked,
                                               witness::NoAnswer::guarded, over_budget()};
        const Recorded recorded = co_await sequencer_.record(std::move(what));
        co_return;
    }
    auto query = std::move(*approved);
    auto answer = co_await link_->ask(std::move(query));
    if (!answer || !answer->ended)
        owed_by_shell_ = shell_queries(*settings_.profile); // the next shell is another one
    if (stopping_)
        co_return;
    if (answer)
        co_await answered(round, std::move(asking), asked, std::move(*answer));
    else
        co_await failed(round, std::move(asking), asked, std::move(answer.error()));
}

boost::asio::awaitable<void> Watcher::failed(witness::RoundNumber round, std::string asking,
                                             Instant asked, links::LinkError error) {
    if (!link_->connected() && session_ == Session::connected) {
        trouble_ = no_answer(error.kind);
        session_is(Session::lost, std::string(to_word(error.kind)), error.text);
    }
    const witness::NoAnswer why = link_->connected() ? no_answer(error.kind) : trouble_;
    Sequencer::What what =
        witness::Failed{round, std::move(asking), asked, why, std::move(error.text)};
    const Recorded recorded = co_await sequencer_.record(std::move(what));
    if (!recorded.stored)
        log::tell(log::Level::error, log::Event::journal, {settings_.name, {}},
                  "a failed look is not recorded: " + recorded.trouble);
}

boost::asio::awaitable<void> Watcher::answered(witness::RoundNumber round, std::string asking,
                                               Instant asked, links::Answer answer) {
    witness::Ending ending{answer.ended, answer.exit_status, links::why_not_whole(answer)};
    if (settings_.profile->proven_for && asking == settings_.profile->proven_for->query)
        software_is_told_by(replay::read_answer(*settings_.profile, asking, answer.bytes, ending));
    if (unproven_ && ending.complete()) {
        ending.proven = false;
        ending.remark = *unproven_;
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
    heed_switchover(recorded);
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
    summary.session = session_;
    summary.session_text = session_text_;
    summary.session_reason = session_reason_;
    summary.held_up = held_up_;
    summary.serial = serial_;
    summary.in_band = settings_.in_band;
    summary.opened = opened_;
    summary.switchover = switchover_;
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
