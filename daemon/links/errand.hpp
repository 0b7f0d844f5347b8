#pragma once

#include <boost/asio/any_io_executor.hpp>

#include <functional>
#include <memory>
#include <thread>

namespace slotwitness::links {

/// One call that may block, on a thread of its own. Used from one strand, on which `done` comes.
class Errand {
  public:
    /// `unblock`, on the strand, makes the call return soon.
    Errand(boost::asio::any_io_executor executor, std::function<int()> call,
           std::function<void()> unblock, std::function<void()> done);
    ~Errand() { recall(); }
    Errand(const Errand&) = delete;
    Errand& operator=(const Errand&) = delete;

    [[nodiscard]] bool is_done() const { return shared_->is_done; }
    /// Only once it is done.
    [[nodiscard]] int result() const { return shared_->result; }
    /// Afterwards the thread is gone; the call has returned.
    void recall();

  private:
    struct Shared {
        bool is_done = false; ///< written on the strand
        int result = 0;
    };
    std::shared_ptr<Shared> shared_ = std::make_shared<Shared>();
    std::function<void()> unblock_;
    std::thread thread_;
};

} // namespace slotwitness::links
