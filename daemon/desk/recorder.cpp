#include "recorder.hpp"

namespace slotwitness::desk {

void Recorder::write(boost::asio::any_io_executor executor, std::shared_ptr<Writing> writing) {
    bool is_first = false;
    {
        const std::lock_guard lock(mutex_);
        is_first = waiting_.empty();
        waiting_.push_back({kept_running(executor), std::move(writing)});
    }
    // Who finds others waiting goes with them: their turn has not come yet.
    if (is_first)
        boost::asio::post(place_, [this] { write_all(); });
}

void Recorder::write_all() {
    std::deque<Waiting> all;
    {
        const std::lock_guard lock(mutex_);
        all.swap(waiting_);
    }
    if (all.size() == 1)
        all.front().writing->write(*store_);
    else
        write_together(all);
    for (Waiting& each : all)
        boost::asio::post(each.executor, [writing = std::move(each.writing)] { writing->done(); });
}

/// One that cannot be stored must not keep the others out: then each is tried by itself.
void Recorder::write_together(const std::deque<Waiting>& all) {
    if (store_->begin_group()) {
        for (const Waiting& each : all)
            each.writing->write(*store_);
        if (store_->commit_group())
            return;
        for (const Waiting& each : all)
            each.writing->take_back();
    }
    for (const Waiting& each : all)
        each.writing->write(*store_);
}

} // namespace slotwitness::desk
