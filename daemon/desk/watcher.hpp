#pragma once

#include "desk.hpp"
#include "entrance.hpp"
#include "newest.hpp"
#include "sequencer.hpp"
#include "settings.hpp"

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// Why there was no answer, by what a person does about it.
[[nodiscard]] witness::NoAnswer no_answer(links::LinkError::Kind kind);
/// What is recorded of a session; `serial`: as the chassis told it, or empty.
[[nodiscard]] witness::SessionOpened opened(const links::Reached& reached, std::string serial);

/// Keeps the router session of one chassis and looks when it is time: rounds of queries, each
/// answer read and handed to the sequencer.
class Watcher {
  public:
    /// What the journal knows of former runs.
    struct Past {
        witness::RoundNumber last_round = 0;
        std::vector<units::Instant> asked{}; ///< within the last hour, in order
    };
    Watcher(boost::asio::any_io_executor executor, const Clock& clock,
            const ChassisSettings& settings, const Reconnect& reconnect,
            std::shared_ptr<Entrance> entrance, std::unique_ptr<links::Link> link,
            Sequencer& sequencer, const Past& past, std::uint32_t jitter);

    /// Runs until `stop`.
    [[nodiscard]] boost::asio::awaitable<void> run();
    /// A gate was opened or closed: the next round may be due sooner.
    void look_again();
    /// A person says so: the credential may be tried once more, and the waits begin anew.
    void connect_again();
    void stop();

    /// What the API shows of the chassis: its session and when it answered last; its components and
    /// unread lines besides.
    [[nodiscard]] ChassisSummary summary() const;
    [[nodiscard]] ChassisView view() const;
    [[nodiscard]] std::vector<AnswerView> answers() const { return newest_.answers(); }

  private:
    [[nodiscard]] watch::Plan plan() const;
    [[nodiscard]] watch::Urgency urgency() const;
    void held_up_is(const watch::Plan& plan);
    /// Counts a query, with what its shell asks before it; false if the budget has no room: then it
    /// must not go out.
    [[nodiscard]] bool may_ask();
    [[nodiscard]] std::string over_budget() const;
    [[nodiscard]] boost::asio::awaitable<void> enter_and_connect();
    [[nodiscard]] boost::asio::awaitable<void> hold_session();
    void wait_before_connecting();
    [[nodiscard]] boost::asio::awaitable<void> check_identity();
    [[nodiscard]] boost::asio::awaitable<void> round(std::vector<std::string> askings);
    [[nodiscard]] boost::asio::awaitable<void>
    ask_in_turn(witness::RoundNumber round, std::shared_ptr<std::vector<std::string>> askings,
                std::shared_ptr<std::size_t> next);
    [[nodiscard]] boost::asio::awaitable<void> ask(witness::RoundNumber round, std::string asking);
    [[nodiscard]] boost::asio::awaitable<void> failed(witness::RoundNumber round,
                                                      std::string asking, units::Instant asked,
                                                      links::LinkError error);
    [[nodiscard]] boost::asio::awaitable<void> answered(witness::RoundNumber round,
                                                        std::string asking, units::Instant asked,
                                                        links::Answer answer);
    [[nodiscard]] boost::asio::awaitable<void> check_software();
    [[nodiscard]] boost::asio::awaitable<void> record_session();
    void heed_switchover(const Recorded& recorded);
    void software_is_told_by(const state::Reading& reading);
    void session_is(Session session, std::string reason, std::string text);
    [[nodiscard]] std::optional<std::string> serial_in(const state::Reading& reading) const;

    boost::asio::any_io_executor executor_;
    const Clock& clock_;
    const ChassisSettings& settings_;
    Reconnect reconnect_;
    std::shared_ptr<Entrance> entrance_;
    std::unique_ptr<Entrance::Place> place_; ///< while a session is to be set up
    links::Guard guard_;
    std::unique_ptr<links::Link> link_;
    Sequencer& sequencer_;
    witness::RoundNumber last_round_;
    std::vector<std::string> idle_askings_;
    watch::Spending spending_;
    std::size_t owed_by_shell_ = 0; ///< session queries that go before the next query
    std::string held_up_;           ///< why no look comes at its pace; empty if it does
    std::unique_ptr<Alarm> pause_;
    std::minstd_rand jitter_;
    bool is_refused_ = false; ///< our credential, by the device: not to be tried again
    std::optional<units::Instant> last_start_; ///< of a round; nothing: the next one is due now
    unsigned attempts_ = 0;                    ///< to connect, since the last success
    std::optional<units::Instant> next_attempt_;
    witness::NoAnswer trouble_ = witness::NoAnswer::unreachable; ///< why there is no session
    Session session_ = Session::connecting;
    std::string session_text_;
    std::string session_reason_;
    std::optional<witness::SessionOpened> opened_;
    std::optional<Switchover> switchover_;
    std::optional<std::string> serial_;   ///< as the device reported it in this run
    std::optional<std::string> unproven_; ///< why what the device reports confirms nothing
    Newest newest_{*settings_.profile};
    bool stopping_ = false;
};

} // namespace slotwitness::desk
