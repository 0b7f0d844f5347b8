#include "bell.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace slotwitness::links {

namespace asio = boost::asio;

struct Bell::Waiter {
    Waiter(std::list<Waiter*>& all, const asio::any_io_executor& executor, Deadline deadline)
        : list(all), place(all.insert(all.end(), this)), timer(executor, deadline) {}
    ~Waiter() { list.erase(place); }
    Waiter(const Waiter&) = delete;
    Waiter& operator=(const Waiter&) = delete;

    std::list<Waiter*>& list;
    std::list<Waiter*>::iterator place;
    asio::steady_timer timer;
    bool rung = false;
};

asio::awaitable<Bell::Woken> Bell::wait(Deadline deadline) {
    Waiter waiter(waiting_, executor_, deadline);
    boost::system::error_code error;
    co_await waiter.timer.async_wait(asio::redirect_error(asio::use_awaitable, error));
    // Asked for itself: the bell may have rung just before the cancelling came.
    const auto state = co_await asio::this_coro::cancellation_state;
    if (state.cancelled() != asio::cancellation_type::none) {
        co_return Woken::cancelled;
    }
    co_return waiter.rung ? Woken::rung : Woken::due;
}

void Bell::ring() {
    for (auto* waiter : waiting_) {
        waiter->rung = true;
        waiter->timer.cancel();
    }
}

} // namespace slotwitness::links
