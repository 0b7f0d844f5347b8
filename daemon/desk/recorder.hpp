#pragma once

#include <slotwitness/journal/store.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/prefer.hpp>
#include <boost/asio/thread_pool.hpp>

#include <deque>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>

namespace slotwitness::desk {

/// Something to be appended to the journal, alone or together with others. Of several that are
/// given by one chassis each waits for the `done` of the one before.
class Writing {
  public:
    virtual ~Writing() = default;
    /// On the journal's thread. What becomes of it is told by `done` alone.
    virtual void write(journal::Store& store) = 0;
    /// On the journal's thread: the store took nothing of it after all. Another `write` follows.
    virtual void take_back() = 0;
    /// On the loop, once it is durable, or refused.
    virtual void done() = 0;
};

/// The journal's own thread: a durable commit waits for the disk, and the loop must not. What is
/// given while it waits is committed together, so that a disk that takes some milliseconds a commit
/// bears a thousand chassis.
class Recorder {
  public:
    /// `place`: where the work runs instead of a thread of its own, one after the other.
    explicit Recorder(std::unique_ptr<journal::Store> store,
                      std::optional<boost::asio::any_io_executor> place = std::nullopt)
        : store_(std::move(store)) {
        place_ = place ? std::move(*place) : thread_.emplace(1).get_executor();
    }
    ~Recorder() { finish(); }
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;

    /// Has it written, after all that was given before; its `done` is called on `executor`.
    void write(boost::asio::any_io_executor executor, std::shared_ptr<Writing> writing);

    /// Runs `work(store)` on the journal's thread, after all that was given before; then
    /// `done(result)` on `executor`. Both are called exactly once.
    template <class Work, class Done>
    void run(boost::asio::any_io_executor executor, Work work, Done done);

    /// Waits for all work given, if it has a thread of its own. Nothing may be given afterwards.
    void finish() {
        if (thread_)
            thread_->join();
    }

  private:
    struct Waiting {
        boost::asio::any_io_executor executor; ///< keeps the loop running until `done` was called
        std::shared_ptr<Writing> writing;
    };
    [[nodiscard]] static boost::asio::any_io_executor
    kept_running(const boost::asio::any_io_executor& executor) {
        return boost::asio::prefer(executor, boost::asio::execution::outstanding_work_t::tracked);
    }
    void write_all();
    void write_together(const std::deque<Waiting>& all);

    std::unique_ptr<journal::Store> store_;
    std::mutex mutex_;
    std::deque<Waiting> waiting_; ///< by the mutex
    std::optional<boost::asio::thread_pool> thread_;
    boost::asio::any_io_executor place_;
};

template <class Work, class Done>
void Recorder::run(boost::asio::any_io_executor executor, Work work, Done done) {
    auto alive = kept_running(executor);
    boost::asio::post(place_, [this, alive = std::move(alive), work = std::move(work),
                               done = std::move(done)]() mutable {
        auto result = work(*store_);
        boost::asio::post(alive, [done = std::move(done), result = std::move(result)]() mutable {
            done(std::move(result));
        });
    });
}

} // namespace slotwitness::desk
