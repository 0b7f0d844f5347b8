#include "bell.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
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
    if (waiter.rung) {
        co_return Woken::rung;
    }
    co_return error ? Woken::cancelled : Woken::due;
}

void Bell::ring() {
    for (auto* waiter : waiting_) {
        waiter->rung = true;
        waiter->timer.cancel();
    }
}

} // namespace slotwitness::links
