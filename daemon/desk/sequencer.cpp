#include "sequencer.hpp"

#include <slotwitness/journal/codec.hpp>

#include <boost/asio/async_result.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

namespace {

/// How long ticks rest after the journal refused one: a full disk is not asked again at once.
constexpr units::Duration after_refusal{1'000};
/// The alarm of a witness that waits for nothing; any event rings it earlier.
constexpr units::Duration long_rest = std::chrono::hours(1);

} // namespace

struct Sequencer::Stepped {
    std::shared_ptr<const witness::Witness> witness;
    witness::Outcome outcome;
    tl::expected<journal::Entry, journal::StoreError> entry;
};

Sequencer::Stepped
Sequencer::step_and_store(journal::Store& store, const std::string& chassis, const Job& job,
                          const std::shared_ptr<const witness::Witness>& before) {
    try {
        auto after = std::make_shared<witness::Witness>(*before);
        witness::Outcome outcome = after->step(job.event);
        auto entry =
            store.append(chassis, journal::to_body(job.event, outcome.findings), job.captures);
        return {std::move(after), std::move(outcome), std::move(entry)};
    } catch (const std::exception& error) {
        // A defect of ours: the event is as good as not recorded, and the daemon goes on.
        return {
            before,
            {},
            tl::unexpected(journal::StoreError{journal::StoreError::Kind::misuse, error.what()})};
    }
}

Sequencer::Sequencer(boost::asio::any_io_executor executor, const Clock& clock, Recorder& recorder,
                     std::string chassis, witness::Witness witness, units::Instant last_instant,
                     Publish publish)
    : executor_(executor), clock_(clock), recorder_(recorder), chassis_(std::move(chassis)),
      witness_(std::make_shared<const witness::Witness>(std::move(witness))), last_(last_instant),
      publish_(std::move(publish)), due_(clock.make_alarm(executor)) {}

void Sequencer::submit(What what, std::vector<journal::Capture> captures, Publish done) {
    last_ = std::max(last_, clock_.now());
    waiting_.push_back({{last_, std::move(what)}, std::move(captures), std::move(done)});
    if (!busy_)
        take_next();
}

boost::asio::awaitable<Recorded> Sequencer::record(What what,
                                                   std::vector<journal::Capture> captures) {
    auto initiate = [this](auto handler, What what, std::vector<journal::Capture> captures) {
        auto shared = std::make_shared<decltype(handler)>(std::move(handler));
        submit(std::move(what), std::move(captures),
               [shared](const Recorded& recorded) { std::move (*shared)(recorded); });
    };
    co_return co_await boost::asio::async_initiate<const boost::asio::use_awaitable_t<>,
                                                   void(Recorded)>(
        std::move(initiate), boost::asio::use_awaitable, std::move(what), std::move(captures));
}

void Sequencer::take_next() {
    busy_ = true;
    auto job = std::make_shared<Job>(std::move(waiting_.front()));
    waiting_.pop_front();
    auto work = [job, chassis = chassis_, before = witness_](journal::Store& store) {
        return step_and_store(store, chassis, *job, before);
    };
    auto done = [this, job](Stepped stepped) { finish(std::move(*job), std::move(stepped)); };
    recorder_.run(executor_, std::move(work), std::move(done));
}

void Sequencer::finish(Job job, Stepped stepped) {
    Recorded recorded{
        std::move(job.event), std::move(stepped.outcome), stepped.entry.has_value(), {}};
    if (recorded.stored) {
        witness_ = std::move(stepped.witness);
        next_due_ = recorded.outcome.next_due;
    } else {
        recorded.trouble = stepped.entry.error().text;
        if (next_due_)
            next_due_ = std::max(*next_due_, clock_.now() + after_refusal);
    }
    busy_ = false;
    if (!waiting_.empty())
        take_next();
    publish_(recorded);
    if (job.done)
        job.done(recorded);
    due_->ring();
}

boost::asio::awaitable<void> Sequencer::bring_ticks() {
    while (!stopping_) {
        const units::Instant now = clock_.now_at_the_latest();
        if (next_due_ && *next_due_ <= now && !busy_)
            submit(witness::Tick{});
        const bool wait_for_due = next_due_ && *next_due_ > now;
        co_await due_->wait_until(wait_for_due ? *next_due_ : now + long_rest);
    }
}

void Sequencer::stop() {
    stopping_ = true;
    due_->ring();
}

} // namespace slotwitness::desk
