#pragma once

#include "../chassis/device.hpp"
#include "../desk/manual_clock.hpp"
#include "../twins/folder.hpp"
#include "device_link.hpp"

#include <slotwitness/card/card.hpp>
#include <slotwitness/desk/live_desk.hpp>
#include <slotwitness/rehearsal/director.hpp>

#include <boost/asio/io_context.hpp>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::days {

/// The folder of the procedures and rehearsals of the invented family.
inline const std::string family = SLOTWITNESS_FIXTURES "/quillon";

/// The rehearsal of that name, with what it is based on. Throws if it cannot be read.
[[nodiscard]] rehearsal::Rehearsal rehearsal_of(const std::string& name);

/// One day: a desk over a simulated chassis in virtual time.
class Day {
  public:
    /// `beside`: the serial of another chassis that the configuration names; empty: there is
    /// none.
    explicit Day(const std::string& beside = "");
    ~Day();
    Day(const Day&) = delete;
    Day& operator=(const Day&) = delete;

    [[nodiscard]] rehearsal::Played play(const rehearsal::Rehearsal& rehearsal);
    /// What was said and done, line by line, for whoever reads a failure.
    [[nodiscard]] const std::string& told() const { return told_; }
    /// What a replay of the whole journal finds other than recorded; empty if nothing. Ends the
    /// desk.
    [[nodiscard]] std::string replayed();
    /// What it recorded, to be read. Ends the desk.
    [[nodiscard]] std::unique_ptr<journal::Store> recorded();
    [[nodiscard]] desk::LiveDesk& desk() { return *desk_; }
    /// That the procedure can come to, each with a read-back code of its own.
    [[nodiscard]] std::size_t decisions() const { return decisions_; }

  private:
    /// Runs what is due now, to the last handler.
    void settle();
    void end();

    twins::Folder folder_{twins::Folder::memory()};
    const std::string journal_ = folder_.file("journal.sqlite");
    boost::asio::io_context loop_{1};
    chassis::Device device_;
    DeviceEnd far_end_{device_};
    std::unique_ptr<twins::ManualClock> clock_;
    std::unique_ptr<desk::LiveDesk> desk_;
    std::size_t decisions_ = 0;
    std::string told_;
};

/// A day that is over.
struct PlayedDay {
    std::string procedure;           ///< its id
    std::vector<std::string> faults; ///< where it went another way than its rehearsal says
    std::string told;
    std::string replayed;      ///< see Day::replayed
    std::size_t decisions = 0; ///< see Day::decisions
    std::unique_ptr<Day> day;  ///< for what it recorded

    /// The card of its procedure, as of that instant; of the closing where none is given.
    [[nodiscard]] card::Card card(std::optional<units::Instant> at = std::nullopt) const;
};

/// The day of that rehearsal: played once in this process, however often it is asked for.
[[nodiscard]] const PlayedDay& played(const std::string& rehearsal);

} // namespace slotwitness::days
