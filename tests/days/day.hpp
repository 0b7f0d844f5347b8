#pragma once

#include "../chassis/device.hpp"
#include "../desk/manual_clock.hpp"
#include "../twins/folder.hpp"
#include "device_link.hpp"

#include <slotwitness/desk/live_desk.hpp>
#include <slotwitness/rehearsal/director.hpp>

#include <boost/asio/io_context.hpp>

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
    /// `neighbour`: the serial of another chassis that the configuration names; empty: there is
    /// none.
    explicit Day(const std::string& neighbour = "");
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
    [[nodiscard]] const std::vector<desk::Recorded>& published() const { return published_; }

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
    std::vector<desk::Recorded> published_;
    std::string told_;
};

} // namespace slotwitness::days
