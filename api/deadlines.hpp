#pragma once

#include <chrono>
#include <cstddef>
#include <functional>
#include <map>
#include <utility>

namespace slotwitness::api {

/// Who is to be told that his time is over: one alarm for all of them. Pure, and made for deadlines
/// that are set far more often than they pass: one that is put off, or taken back, costs nothing
/// until the instant at which it would have passed. From one thread.
class Deadlines {
  public:
    using Time = std::chrono::steady_clock::time_point;
    static constexpr Time never = Time::max();

    /// `wake_at` is told the instant at which `expire` must be called, whenever that is another
    /// one; `never`: not at all.
    explicit Deadlines(std::function<void(Time)> wake_at) : wake_at_(std::move(wake_at)) {}
    ~Deadlines() = default;
    Deadlines(const Deadlines&) = delete;
    Deadlines& operator=(const Deadlines&) = delete;

    class Entry;

    /// Tells those whose time is over at `now`, each once.
    void expire(Time now);
    /// Those who are looked at some time.
    [[nodiscard]] std::size_t filed() const { return filed_.size(); }

  private:
    /// Each at his deadline or before it.
    using Filed = std::multimap<Time, Entry*>;
    void file(Entry& entry, Time at);
    void remove(Entry& entry);
    void wake();

    std::function<void(Time)> wake_at_;
    Filed filed_;
    Time woken_at_ = never;
};

/// One who has a deadline; `all` outlives him.
class Deadlines::Entry {
  public:
    Entry(Deadlines& all, std::function<void()> is_over)
        : all_(all), is_over_(std::move(is_over)), place_(all.filed_.end()) {}
    ~Entry() { all_.remove(*this); }
    Entry(const Entry&) = delete;
    Entry& operator=(const Entry&) = delete;

    /// In place of the one before; `never` takes it back.
    void set(Time due);

  private:
    friend class Deadlines;

    Deadlines& all_;
    std::function<void()> is_over_;
    Time due_ = never;
    Filed::iterator place_; ///< the end: not filed
};

} // namespace slotwitness::api
