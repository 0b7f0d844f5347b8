#pragma once

#include "codec.hpp"
#include "store.hpp"

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/witness.hpp>

#include <tl/expected.hpp>

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace slotwitness::journal {

/// What became of one event.
struct Sequenced {
    witness::Event event;
    /// What the judge says of it. If it is not stored, this is what a judge says that has seen all
    /// unrecorded events as well: only bad news may be shown of it, and marked as unrecorded.
    witness::Outcome outcome;
    tl::expected<Entry, StoreError> entry;
    [[nodiscard]] bool stored() const { return entry.has_value(); }
};

/// The event by which a run begins, or goes on after events were lost, and what it names.
struct Beginning {
    witness::RunStarted started;
    std::vector<Capture> captures;
};

/// Evidence before verdict, for one chassis: step, store, publish, in this order and on the
/// caller's thread. Knows no thread, timer or queue: who calls it stamps the events and fixes their
/// order.
///
/// - An event is published as stored only when it is durable; the judge moves on only then.
/// - An event that could not be stored has not happened: `judge` stays as the journal has it. But
/// it may
///   have been the one look that was false, and a hold must not run on over it as if nobody had
///   looked. So the next event that can be stored has a run.started before it: holds start again,
///   as after a restart.
/// - Bad news needs no evidence: until then a second judge goes on over what was observed, recorded
/// or not,
///   and what it finds is published with the error. What people did in the meantime it does not
///   see: they were told that it was not recorded. What it says to be lost goes with the next
///   run.started.
///
/// `Judge` is witness::Witness, or a twin of it: copyable, with `Outcome step(const Event&)` and
/// `std::vector<UnrecordedLoss> lost()`.
template <class Judge>
class Sequencer {
  public:
    using Begin = std::function<Beginning(witness::Instant at)>;
    using Publish = std::function<void(const Sequenced&)>;

    /// `judge` is as recovered from the journal. The first call stores a run.started from `begin`
    /// first.
    Sequencer(Store& store, std::string chassis, Judge judge, Begin begin, Publish publish)
        : store_(store), chassis_(std::move(chassis)), judge_(std::move(judge)),
          begin_(std::move(begin)), publish_(std::move(publish)) {}

    /// Stores the run.started that is owed, if one is. Nothing is published if it fails.
    [[nodiscard]] tl::expected<void, StoreError> begin(witness::Instant at) {
        if (running_)
            return {};
        Beginning run = begin_(at);
        if (unrecorded_)
            run.started.lost = unrecorded_->lost();
        run.started.cut = round_;
        auto failed = record({at, run.started}, run.captures);
        running_ = !failed.has_value();
        return result(std::move(failed));
    }

    /// Publishes the event once, stored or not; before it the run.started that was owed.
    tl::expected<void, StoreError> take(const witness::Event& event,
                                        const std::vector<Capture>& captures = {}) {
        // Before the run goes on: what was lost, by this event as well, goes with it.
        std::optional<witness::Outcome> unrecorded;
        if (unrecorded_)
            unrecorded = observe(event);
        auto begun = begin(event.at);
        if (const auto* round = std::get_if<witness::RoundStarted>(&event.what))
            round_ = *round;
        auto failed = begun ? record(event, captures) : std::optional(std::move(begun.error()));
        if (failed) {
            running_ = false;
            if (!unrecorded_) {
                unrecorded_ = judge_;
                unrecorded = observe(event);
            }
            publish_({event, std::move(*unrecorded), tl::unexpected(*failed)});
        }
        return result(std::move(failed));
    }

    /// As of the newest stored event.
    [[nodiscard]] const Judge& judge() const { return judge_; }
    /// Events were lost, or the run has not begun: what is shown may be unrecorded.
    [[nodiscard]] bool interrupted() const { return !running_; }

  private:
    [[nodiscard]] static tl::expected<void, StoreError> result(std::optional<StoreError> failed) {
        if (failed)
            return tl::unexpected(std::move(*failed));
        return {};
    }

    [[nodiscard]] std::optional<StoreError> record(const witness::Event& event,
                                                   const std::vector<Capture>& captures) {
        Judge next = judge_;
        witness::Outcome outcome = next.step(event);
        auto entry = store_.append(chassis_, to_body(event, outcome.findings), captures);
        if (!entry)
            return std::move(entry.error());
        judge_ = std::move(next);
        unrecorded_.reset();
        publish_({event, std::move(outcome), std::move(*entry)});
        return std::nullopt;
    }

    [[nodiscard]] witness::Outcome observe(const witness::Event& event) {
        return is_observed(event) ? unrecorded_->step(event) : witness::Outcome();
    }

    /// Nobody did it.
    [[nodiscard]] static bool is_observed(const witness::Event& event) {
        return std::holds_alternative<witness::RunStarted>(event.what) ||
               std::holds_alternative<witness::RoundStarted>(event.what) ||
               std::holds_alternative<witness::Answered>(event.what) ||
               std::holds_alternative<witness::Failed>(event.what) ||
               std::holds_alternative<witness::Tick>(event.what) ||
               std::holds_alternative<witness::ForecastMade>(event.what);
    }

    Store& store_;
    std::string chassis_;
    Judge judge_;
    Begin begin_;
    Publish publish_;
    bool running_ = false;
    std::optional<Judge> unrecorded_;            ///< set while events are being lost
    std::optional<witness::RoundStarted> round_; ///< the newest, recorded or not
};

} // namespace slotwitness::journal
