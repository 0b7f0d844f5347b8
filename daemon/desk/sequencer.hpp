#pragma once

#include "clock.hpp"
#include "recorder.hpp"

#include <slotwitness/witness/witness.hpp>

#include <boost/asio/awaitable.hpp>

#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// What became of one event.
struct Recorded {
    witness::Event event;
    witness::Outcome
        outcome; ///< what the witness says; if it is not stored, only bad news may be shown of it
    bool stored = false;
    std::string trouble; ///< why it is not stored
};

/// Fixes the order of one chassis: stamps each event, steps the witness, stores event and findings
/// in one transaction, and only then publishes. An event that could not be stored has not happened:
/// the witness stays as the journal has it. All calls on the loop thread.
class Sequencer {
  public:
    using What = decltype(witness::Event::what);
    using Publish = std::function<void(const Recorded&)>;

    Sequencer(boost::asio::any_io_executor executor, const Clock& clock, Recorder& recorder,
              std::string chassis, witness::Witness witness, units::Instant last_instant,
              Publish publish);

    /// Stamps it now and queues it; `publish` is called, then `done`.
    void submit(What what, std::vector<journal::Capture> captures = {}, Publish done = {});
    /// The same, awaited.
    [[nodiscard]] boost::asio::awaitable<Recorded>
    record(What what, std::vector<journal::Capture> captures = {});

    /// Brings a Tick whenever the witness wants one, until `stop`.
    [[nodiscard]] boost::asio::awaitable<void> bring_ticks();
    void stop();

    /// As of the newest stored event.
    [[nodiscard]] const witness::Witness& witness() const { return *witness_; }

  private:
    struct Job {
        witness::Event event;
        std::vector<journal::Capture> captures;
        Publish done;
    };
    struct Stepped;
    [[nodiscard]] static Stepped
    step_and_store(journal::Store& store, const std::string& chassis, const Job& job,
                   const std::shared_ptr<const witness::Witness>& before);
    void take_next();
    void finish(Job job, Stepped stepped);

    boost::asio::any_io_executor executor_;
    const Clock& clock_;
    Recorder& recorder_;
    std::string chassis_;
    std::shared_ptr<const witness::Witness> witness_;
    units::Instant last_;
    Publish publish_;
    std::deque<Job> waiting_;
    bool busy_ = false;
    bool stopping_ = false;
    std::optional<units::Instant> next_due_;
    std::unique_ptr<Alarm> due_;
};

} // namespace slotwitness::desk
