#include "sequencer.hpp"

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

/// What the journal's thread gives back of one event.
struct Sequencer::Taken {
    std::vector<Recorded> published;                 ///< the event itself last
    std::shared_ptr<const witness::Witness> witness; ///< as of the newest stored event
};

/// The chain of one chassis, where it is written.
class Sequencer::Chain {
  public:
    Chain(std::string chassis, witness::Witness witness, BeginRun begin)
        : chassis_(std::move(chassis)), witness_(std::move(witness)), begin_(std::move(begin)) {}

    using Written = journal::Sequencer<witness::Witness>;

    /// As it is before the next event; its copies share what the witness remembers.
    [[nodiscard]] Written now(journal::Store& store) {
        if (!sequencer_)
            sequencer_.emplace(store, chassis_, std::move(witness_), begin_,
                               [this](const journal::Sequenced& one) { publish(one); });
        return *sequencer_;
    }
    /// What came after it has not been.
    void go_back(Written to) { sequencer_.emplace(std::move(to)); }

    /// After `now`.
    [[nodiscard]] Taken take(const Job& job) {
        published_.clear();
        try {
            static_cast<void>(
                sequencer_->take(job.event, job.captures)); // told by what is published
        } catch (const std::exception& error) {
            // A defect of ours: the event is as good as not recorded, and the daemon goes on.
            published_.push_back({job.event, {}, false, error.what()});
        }
        return {std::move(published_),
                std::make_shared<const witness::Witness>(sequencer_->judge())};
    }

  private:
    void publish(const journal::Sequenced& one) {
        published_.push_back(
            {one.event, one.outcome, one.stored(), one.stored() ? "" : one.entry.error().text});
    }

    std::string chassis_;
    witness::Witness witness_; ///< until the first event
    BeginRun begin_;
    std::optional<Written> sequencer_;
    std::vector<Recorded> published_;
};

/// One event on its way into the chain.
class Sequencer::Entering final : public Writing {
  public:
    Entering(Sequencer& sequencer, Job job)
        : sequencer_(sequencer), chain_(sequencer.chain_), job_(std::move(job)) {}

    void write(journal::Store& store) override {
        before_.emplace(chain_->now(store));
        taken_ = chain_->take(job_);
    }
    void take_back() override { chain_->go_back(std::move(*before_)); }
    void done() override { sequencer_.finish(std::move(job_), std::move(taken_)); }

  private:
    Sequencer& sequencer_;
    std::shared_ptr<Chain> chain_;
    Job job_;
    std::optional<Chain::Written> before_;
    Taken taken_;
};

Sequencer::Sequencer(boost::asio::any_io_executor executor, const Clock& clock, Recorder& recorder,
                     std::string chassis, witness::Witness witness, BeginRun begin,
                     units::Instant last_instant, Publish publish)
    : executor_(executor), clock_(clock), recorder_(recorder),
      chain_(std::make_shared<Chain>(std::move(chassis), witness, std::move(begin))),
      witness_(std::make_shared<const witness::Witness>(std::move(witness))), last_(last_instant),
      publish_(std::move(publish)), due_(clock.make_alarm(executor)) {}

Sequencer::~Sequencer() = default;

void Sequencer::submit(What what, std::vector<journal::Capture> captures, Publish done) {
    last_ = std::max(last_, clock_.now());
    waiting_.push_back({{last_, std::move(what)}, std::move(captures), std::move(done)});
    if (!busy_since_)
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
    busy_since_ = clock_.now();
    auto next = std::make_shared<Entering>(*this, std::move(waiting_.front()));
    waiting_.pop_front();
    recorder_.write(executor_, std::move(next));
}

void Sequencer::finish(Job job, Taken taken) {
    witness_ = std::move(taken.witness);
    for (const Recorded& one : taken.published)
        if (one.stored)
            next_due_ = one.outcome.next_due;
        else // a tick tries again, so that the run goes on as soon as there is room
            next_due_ = clock_.now() + after_refusal;
    for (const Recorded& one : taken.published)
        publish_(one);
    if (job.done)
        job.done(taken.published.back());
    busy_since_.reset(); // only now: what is published comes before the next event is stored
    if (!waiting_.empty())
        take_next();
    due_->ring();
}

boost::asio::awaitable<void> Sequencer::bring_ticks() {
    while (!stopping_) {
        const units::Instant now = clock_.now_at_the_latest();
        if (next_due_ && *next_due_ <= now && !busy_since_)
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
