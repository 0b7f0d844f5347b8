#include "deadlines.hpp"

namespace slotwitness::api {

void Deadlines::Entry::set(Time due) {
    due_ = due;
    const bool is_looked_at = place_ != all_.filed_.end() && place_->first <= due;
    if (due == never || is_looked_at)
        return;
    all_.file(*this, due);
    all_.wake();
}

void Deadlines::expire(Time now) {
    woken_at_ = never;
    while (!filed_.empty() && filed_.begin()->first <= now) {
        Entry& entry = *filed_.begin()->second;
        filed_.erase(entry.place_);
        entry.place_ = filed_.end();
        if (entry.due_ <= now) {
            entry.due_ = never;
            entry.is_over_();
        } else if (entry.due_ != never) {
            file(entry, entry.due_);
        }
    }
    wake();
}

void Deadlines::file(Entry& entry, Time at) {
    if (entry.place_ != filed_.end())
        filed_.erase(entry.place_);
    entry.place_ = filed_.emplace(at, &entry);
}

void Deadlines::remove(Entry& entry) {
    if (entry.place_ == filed_.end())
        return;
    filed_.erase(entry.place_);
    if (filed_.empty()) // else it is woken for nobody once, and that costs less
        wake();
}

void Deadlines::wake() {
    const Time next = filed_.empty() ? never : filed_.begin()->first;
    if (next == woken_at_)
        return;
    woken_at_ = next;
    wake_at_(next);
}

} // namespace slotwitness::api
