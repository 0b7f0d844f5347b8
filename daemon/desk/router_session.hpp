#pragma once

#include "allowance.hpp"
#include "entrance.hpp"
#include "sequencer.hpp"
#include "session_record.hpp"

#include <memory>
#include <optional>
#include <random>
#include <string>

namespace slotwitness::desk {

/// The router session of one chassis: set up once the entrance lets it in, proven to lead to that
/// chassis before anything that it says counts, recorded; or why there is none.
class RouterSession {
  public:
    /// `expected_serial`: what the chassis told in a former run, if what was begun then goes on;
    /// empty: it may be another one by now.
    RouterSession(const Clock& clock, const ChassisSettings& settings, const Reconnect& reconnect,
                  std::shared_ptr<Entrance> entrance, std::unique_ptr<links::Link> link,
                  Sequencer& sequencer, Allowance& allowance, std::string expected_serial,
                  std::uint32_t jitter);

    [[nodiscard]] bool is_up() const { return link_->connected(); }
    /// Waits for its turn, and tries once.
    [[nodiscard]] boost::asio::awaitable<void> set_up();
    /// Nothing: at once.
    [[nodiscard]] const std::optional<units::Instant>& next_attempt() const {
        return next_attempt_;
    }
    /// Somebody waits for it now, or no longer.
    void urgency_is_new();
    /// A person says so: the credential may be tried once more, and the waits begin anew. False:
    /// it is up.
    [[nodiscard]] bool try_again();
    void stop();

    [[nodiscard]] boost::asio::awaitable<tl::expected<links::Answer, links::LinkError>>
    ask(links::ApprovedQuery query);
    /// Of a session that is not up.
    [[nodiscard]] links::LinkError why_down() const;
    /// Why a query that failed so has no answer. The session may have gone with it.
    [[nodiscard]] witness::NoAnswer failed(const links::LinkError& error);

    /// Why what the device reports confirms nothing; nothing if it may.
    [[nodiscard]] const std::optional<std::string>& unproven() const { return unproven_; }
    /// The answer to the query that tells the software has come.
    void software_is_told_by(const state::Reading& reading);
    /// It may tell of a switchover.
    void heed(const Recorded& recorded);

    void show(ChassisSummary& summary) const;

  private:
    [[nodiscard]] watch::Urgency urgency() const;
    [[nodiscard]] boost::asio::awaitable<void> connect();
    void wait_before_connecting();
    [[nodiscard]] boost::asio::awaitable<void> check_identity();
    void judge_identity(const state::Reading& reading);
    [[nodiscard]] boost::asio::awaitable<void> check_software();
    [[nodiscard]] boost::asio::awaitable<void> record();
    void is_now(Session session, std::string reason, std::string text);
    /// The device answers, and nothing more is asked of it.
    void turn_away(Session session, witness::NoAnswer trouble, std::string reason,
                   std::string text);

    const Clock& clock_;
    const ChassisSettings& settings_;
    Reconnect reconnect_;
    std::shared_ptr<Entrance> entrance_;
    std::unique_ptr<Entrance::Place> place_; ///< while it is to be set up
    std::unique_ptr<links::Link> link_;
    Sequencer& sequencer_;
    Allowance& allowance_;
    std::minstd_rand jitter_;
    bool is_refused_ = false; ///< our credential, by the device: not to be tried again
    unsigned attempts_ = 0;   ///< to connect, since the last success
    std::optional<units::Instant> next_attempt_;
    witness::NoAnswer trouble_ = witness::NoAnswer::unreachable; ///< why there is none
    Session state_ = Session::connecting;
    std::string text_;
    std::string reason_;
    std::optional<witness::SessionOpened> opened_;
    units::Instant opened_at_{};
    std::optional<Switchover> switchover_;
    std::string expected_serial_;
    std::optional<std::string> serial_;   ///< as the device reported it in this run
    std::optional<std::string> unproven_; ///< why what the device reports confirms nothing
    bool stopping_ = false;
};

} // namespace slotwitness::desk
