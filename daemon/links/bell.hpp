#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include <chrono>
#include <list>

namespace slotwitness::links {

using Deadline = std::chrono::steady_clock::time_point;

/// Wakes every coroutine that waits for "something has changed"; each then looks for itself. Used
/// from one strand. It outlives its waiters.
class Bell {
  public:
    enum class Woken {
        rung,
        due,      ///< the deadline has come first
        cancelled ///< the coroutine is being cancelled: return without a further co_await
    };

    explicit Bell(boost::asio::any_io_executor executor) : executor_(std::move(executor)) {}

    [[nodiscard]] boost::asio::awaitable<Woken> wait(Deadline deadline);
    /// Reaches those that wait now; is not remembered for later ones.
    void ring();

  private:
    struct Waiter;
    boost::asio::any_io_executor executor_;
    std::list<Waiter*> waiting_;
};

} // namespace slotwitness::links
