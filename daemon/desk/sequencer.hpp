#pragma once

#include "clock.hpp"
#include "recorder.hpp"

#include <slotwitness/journal/sequencer.hpp>
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

/// How a run begins in the journal: asked on the journal's thread, again after events were lost.
using BeginRun = journal::Sequencer<witness::Witness>::Begin;

/// Fixes the order of one chassis on the loop, and has the journal's thread step, store and publish
/// in that order (journal::Sequencer). All calls on the loop thread.
class Sequencer {
  public:
    using What = decltype(witness::Event::what);
    using Publish = std::function<void(const Recorded&)>;

    Sequencer(boost::asio::any_io_executor executor, const Clock& clock, Recorder& recorder,
              std::string chassis, witness::Witness witness, BeginRun begin,
              units::Instant last_instant, Publish publish);
    ~Sequencer();
    Sequencer(const Sequencer&) = delete;
    Sequencer& operator=(const Sequencer&) = delete;

    /// Stamps it now and queues it; `publish` is called, then `done`. Before the first event, and
    /// after lost ones, a run.started is stored and published.
    void submit(What what, std::vector<journal::Capture> captures = {}, Publish done = {});
    /// The same, awaited.
    [[nodiscard]] boost::asio::awaitable<Recorded>
    record(What what, std::vector<journal::Capture> captures = {});

    /// Brings a Tick whenever the witness wants one, until `stop`.
    [[nodiscard]] boost::asio::awaitable<void> bring_ticks();
    void stop();

    /// As of the newest stored event.
    [[nodiscard]] const witness::Witness& witness() const { return *witness_; }
    /// Since when the journal has an event that it has neither taken nor refused; nothing: it has
    /// none.
    [[nodiscard]] std::optional<units::Instant> busy_since() const { return busy_since_; }

  private:
    struct Job {
        witness::Event event;
        std::vector<journal::Capture> captures;
        Publish done;
    };
    struct Taken;
    class Chain;
    class Entering;
    void take_next();
    void finish(Job job, Taken taken);

    boost::asio::any_io_executor executor_;
    const Clock& clock_;
    Recorder& recorder_;
    std::shared_ptr<Chain> chain_; ///< touched on the journal's thread alone
    std::shared_ptr<const witness::Witness> witness_;
    units::Instant last_;
    Publish publish_;
    std::deque<Job> waiting_;
    std::optional<units::Instant> busy_since_;
    bool stopping_ = false;
    std::optional<units::Instant> next_due_;
    std::unique_ptr<Alarm> due_;
};

} // namespace slotwitness::desk
