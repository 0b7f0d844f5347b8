#include "errand.hpp"

#include <boost/asio/post.hpp>

#include <utility>

namespace slotwitness::links {

Errand::Errand(boost::asio::any_io_executor executor, std::function<int()> call,
               std::function<void()> unblock, std::function<void()> done)
    : unblock_(std::move(unblock)), thread_([executor = std::move(executor), call = std::move(call),
                                             done = std::move(done), shared = shared_]() mutable {
          shared->result = call();
          boost::asio::post(executor, [shared = std::move(shared), done = std::move(done)] {
              shared->is_done = true;
              done();
          });
      }) {}

void Errand::recall() {
    if (!thread_.joinable()) {
        return;
    }
    if (!is_done()) {
        unblock_();
    }
    thread_.join();
}

} // namespace slotwitness::links
