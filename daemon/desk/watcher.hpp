#pragma once

#include "allowance.hpp"
#include "desk.hpp"
#include "newest.hpp"
#include "router_session.hpp"
#include "sequencer.hpp"
#include "settings.hpp"

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// Looks at one chassis when it is time: rounds of queries over its router session, each answer
/// read and handed to the sequencer.
class Watcher {
  public:
    /// What the journal knows of former runs.
    struct Past {
        witness::RoundNumber last_round = 0;
        std::vector<units::Instant> asked{}; ///< within the last hour, in order
        std::string serial{};   ///< that the chassis must have still; empty: it may have another
        std::string outgrown{}; ///< why no answer may confirm anything; empty: it may
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
    /// Why no answer confirms anything; empty: it may.
    [[nodiscard]] std::string doubt() const;
    void held_up_is(const watch::Plan& plan);
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

    boost::asio::any_io_executor executor_;
    const Clock& clock_;
    const ChassisSettings& settings_;
    Sequencer& sequencer_;
    Allowance allowance_;
    RouterSession session_;
    witness::RoundNumber last_round_;
    std::vector<std::string> idle_askings_;
    const std::string outgrown_;
    std::string held_up_; ///< why no look comes at its pace; empty if it does
    std::unique_ptr<Alarm> pause_;
    std::optional<units::Instant> last_start_; ///< of a round; nothing: the next one is due now
    Newest newest_{*settings_.profile};
    bool stopping_ = false;
};

} // namespace slotwitness::desk
