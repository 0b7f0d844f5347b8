#pragma once

#include <slotwitness/journal/store.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/prefer.hpp>
#include <boost/asio/thread_pool.hpp>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>

namespace slotwitness::desk {

/// The journal's own thread: a durable commit waits for the disk, and the loop must not.
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

    /// Runs `work(store)` on the journal's thread, after all work given before; then `done(result)`
    /// on `executor`. Both are called exactly once.
    template <class Work, class Done>
    void run(boost::asio::any_io_executor executor, Work work, Done done);

    /// Waits for all work given, if it has a thread of its own. Nothing may be given afterwards.
    void finish() {
        if (thread_)
            thread_->join();
    }

  private:
    std::unique_ptr<journal::Store> store_;
    std::optional<boost::asio::thread_pool> thread_;
    boost::asio::any_io_executor place_;
};

template <class Work, class Done>
void Recorder::run(boost::asio::any_io_executor executor, Work work, Done done) {
    // The guard keeps the loop running until `done` has been called on it.
    auto alive = boost::asio::prefer(executor, boost::asio::execution::outstanding_work_t::tracked);
    boost::asio::post(place_, [this, alive = std::move(alive), work = std::move(work),
                               done = std::move(done)]() mutable {
        auto result = work(*store_);
        boost::asio::post(alive, [done = std::move(done), result = std::move(result)]() mutable {
            done(std::move(result));
        });
    });
}

} // namespace slotwitness::desk
