#include "router_session.hpp"

#include <slotwitness/log/log.hpp>

#include <utility>

namespace slotwitness::desk {

namespace {

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

} // namespace

RouterSession::RouterSession(const Clock& clock, const ChassisSettings& settings,
                             const Reconnect& reconnect, std::shared_ptr<Entrance> entrance,
                             std::unique_ptr<links::Link> link, Sequencer& sequencer,
                             Allowance& allowance, std::string expected_serial,
                             std::uint32_t jitter)
    : clock_(clock), settings_(settings), reconnect_(reconnect), entrance_(std::move(entrance)),
      link_(std::move(link)), sequencer_(sequencer), allowance_(allowance), jitter_(jitter),
      expected_serial_(settings.serial.value_or(std::move(expected_serial))) {}

void RouterSession::stop() {
    stopping_ = true;
    link_->close();
    if (place_)
        place_->wait_no_longer();
}

void RouterSession::urgency_is_new() {
    if (place_)
        place_->is_now(urgency());
}

bool RouterSession::try_again() {
    if (is_up())
        return false;
    is_refused_ = false;
    link_->forgive();
    attempts_ = 0;
    next_attempt_.reset();
    return true;
}

void RouterSession::is_now(Session session, std::string reason, std::string text) {
    if (session != state_ || text != text_)
        log::tell(log::Level::info, log::Event::session,
                  {settings_.name, {{"session", std::string{to_word(session)}}}},
                  "router session " + std::string{to_word(session)} +
                      (text.empty() ? "" : ": " + text));
    state_ = session;
    text_ = std::move(text);
    reason_ = std::move(reason);
}

void RouterSession::turn_away(Session session, witness::NoAnswer trouble, std::string reason,
                              std::string text) {
    link_->close();
    trouble_ = trouble;
    is_now(session, std::move(reason), std::move(text));
}

watch::Urgency RouterSession::urgency() const {
    if (!sequencer_.witness().wanted_askings().empty())
        return watch::Urgency::work;
    return attempts_ > 0 ? watch::Urgency::failing : watch::Urgency::idle;
}

boost::asio::awaitable<void> RouterSession::set_up() {
    // A round that waits is told why in the same steps as if it were tried.
    if (is_refused_) {
        if (!stopping_)
            wait_before_connecting();
        co_return;
    }
    place_ = entrance_->queue(bastions_of(settings_), urgency());
    co_await place_->admitted();
    if (!stopping_)
        co_await connect();
    place_.reset();
}

boost::asio::awaitable<void> RouterSession::connect() {
    if (!needs_people(state_))
        is_now(Session::connecting, reason_, text_);
    const auto connected = co_await link_->connect();
    if (connected) {
        allowance_.begin_shell();
        co_await check_identity();
        co_await check_software();
    } else {
        const links::LinkError& error = connected.error();
        const Session session = session_after(error.kind);
        is_refused_ = links::is_for_people(error.kind) &&
                      error.kind != links::LinkError::Kind::bastion; // which remembers it itself
        trouble_ = no_answer(error.kind);
        is_now(session, std::string(to_word(error.kind)),
               session == Session::halted ? halted(error.text, settings_.name) : error.text);
    }
    if (!is_up()) {
        wait_before_connecting();
        co_return;
    }
    attempts_ = 0;
    next_attempt_.reset();
    is_now(Session::connected, "", "");
    co_await record();
}

void RouterSession::wait_before_connecting() {
    const double uniform = std::uniform_real_distribution<double>(0, 1)(jitter_);
    next_attempt_ =
        clock_.now() + links::back_off(attempts_++, reconnect_.first, reconnect_.longest, uniform);
}

boost::asio::awaitable<tl::expected<links::Answer, links::LinkError>>
RouterSession::ask(links::ApprovedQuery query) {
    auto answer = co_await link_->ask(std::move(query));
    if (!answer || !answer->ended)
        allowance_.begin_shell(); // the next shell is another one
    co_return answer;
}

links::LinkError RouterSession::why_down() const {
    return {links::LinkError::Kind::session_lost, text_};
}

witness::NoAnswer RouterSession::failed(const links::LinkError& error) {
    if (is_up())
        return no_answer(error.kind);
    if (state_ == Session::connected) {
        trouble_ = no_answer(error.kind);
        is_now(Session::lost, std::string(to_word(error.kind)), error.text);
    }
    return trouble_;
}

/// Where the session leads and what it uses is evidence: a verdict rests on it.
boost::asio::awaitable<void> RouterSession::record() {
    const auto reached = link_->reached();
    if (!reached)
        co_return;
    opened_ = opened(*reached, serial_.value_or(""));
    opened_at_ = clock_.now();
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
    heed(recorded);
}

void RouterSession::heed(const Recorded& recorded) {
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

void RouterSession::show(ChassisSummary& summary) const {
    summary.session = state_;
    summary.session_text = text_;
    summary.session_reason = reason_;
    summary.serial = serial_;
    summary.opened = opened_;
    summary.opened_at = opened_at_;
    summary.switchover = switchover_;
}

} // namespace slotwitness::desk
