#pragma once

#include "../twins/folder.hpp"
#include "../twins/scripted_link.hpp"
#include "failing_store.hpp"
#include "manual_clock.hpp"

#include <slotwitness/desk/live_desk.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>

namespace slotwitness::twins {

/// A live desk over one chassis "edge-7" whose device is a script, whose clock is moved by hand and
/// whose journal is real. The device belongs to the Quillon family of the fixtures.
class BenchDesk {
  public:
    explicit BenchDesk(std::string journal);
    ~BenchDesk();
    BenchDesk(const BenchDesk&) = delete;
    BenchDesk& operator=(const BenchDesk&) = delete;

    /// Settings may be changed before `begin`.
    desk::ChassisSettings settings;
    std::vector<desk::ChassisSettings> more; ///< further chassis, with the same device
    desk::Reconnect reconnect{units::Duration(500), units::Duration(1'000)};
    desk::ProcedureBook book;
    std::shared_ptr<Script> device = std::make_shared<Script>();
    std::shared_ptr<std::atomic<bool>> disk_full = std::make_shared<std::atomic<bool>>(false);
    std::optional<boost::asio::any_io_executor> journal_place; ///< nothing: a thread of its own
    desk::MachineTime machine{"boot-a", 1'000'000, 1'790'000'000'000, true};

    void begin();
    /// Runs the loop until `done`; fails the test if the loop runs out of work before.
    void run_until(const std::function<bool()>& done);
    /// Moves the clock by steps of `by`, each after the round before has ended, until `done`.
    void advance_until(units::Duration by, const std::function<bool()>& done);
    void advance(units::Duration by);
    /// Stops the desk and lets the loop run out: as a daemon ends.
    void stop();

    [[nodiscard]] tl::expected<desk::GateView, desk::Refusal> open(const std::string& sentence,
                                                                   const std::string& key = "");
    [[nodiscard]] desk::GateView gate(const std::string& id) { return *desk_->gate(id); }
    [[nodiscard]] desk::LiveDesk& desk() { return *desk_; }
    [[nodiscard]] const std::vector<desk::Recorded>& published() const { return published_; }
    [[nodiscard]] std::size_t looks() const; ///< answers and failures published so far
    [[nodiscard]] boost::asio::io_context& loop() { return loop_; }

    /// Runs a coroutine to its end on the loop.
    template <class T>
    T await(boost::asio::awaitable<T> work) {
        std::optional<T> result;
        auto take = [&](const std::exception_ptr& error, T value) {
            if (error)
                std::rethrow_exception(error);
            result = std::move(value);
        };
        boost::asio::co_spawn(loop_, std::move(work), take);
        run_until([&] { return result.has_value(); });
        return std::move(*result);
    }

  private:
    std::string journal_;
    boost::asio::io_context loop_{1};
    std::unique_ptr<ManualClock> clock_;
    std::unique_ptr<desk::LiveDesk> desk_;
    std::vector<desk::Recorded> published_;
};

/// The answer to `tell planes` with these (plane, drive, condition).
struct Plane {
    std::string name;
    std::string drive = "engaged";
    std::string condition = "carrying";
};
[[nodiscard]] std::string tell_planes(const std::vector<Plane>& planes);
[[nodiscard]] std::string tell_chassis(const std::string& serial);

} // namespace slotwitness::twins
