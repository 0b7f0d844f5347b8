#include "stream.hpp"

#include "head.hpp"
#include "wait.hpp"

#include <boost/asio/this_coro.hpp>

#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

/// Counts a stream of this asker for as long as it lives.
class Counted {
  public:
    Counted(Common& common, std::string asker)
        : streams_(common.streams), all_(common.counts.streams), asker_(std::move(asker)),
          now_(++streams_[asker_]) {
        ++all_;
    }
    ~Counted() {
        --all_;
        if (--streams_[asker_] == 0)
            streams_.erase(asker_);
    }
    Counted(const Counted&) = delete;
    Counted& operator=(const Counted&) = delete;
    [[nodiscard]] std::size_t now() const { return now_; }

  private:
    std::map<std::string, std::size_t>& streams_;
    std::size_t& all_;
    std::string asker_;
    std::size_t now_;
};

ProblemDetails too_many(std::size_t most) {
    ProblemDetails problem;
    problem.status = 429;
    problem.kind = "too-many-streams";
    problem.detail = "Too many event streams are open.";
    problem.expected = "at most " + std::to_string(most);
    problem.remedy = "Close one that is not needed.";
    return problem;
}

/// The bytes outlive it.
asio::awaitable<bool> write(Client& client, const ServerLimits& limits, std::string_view bytes) {
    bytes.remove_prefix(client.transport.write_now(bytes));
    if (bytes.empty())
        co_return true;
    const auto deadline = client.transport.now() + limits.write_time;
    const auto written = co_await client.transport.write(bytes, deadline);
    co_return written.has_value();
}

/// One event or heartbeat, and the wait for the next. False if there will be none.
asio::awaitable<bool> tell_change(Client& client, Common& common, Request& request,
                                  Follow& follow) {
    desk::Desk& desk = common.desk;
    const auto event = newest_event(follow, desk);
    if (!event || common.door.no_longer_in(request, desk))
        co_return false;
    const bool is_news = event->id != follow.last_event;
    auto writing =
        write(client, common.limits, is_news ? std::string_view{event->bytes} : heartbeat);
    const bool written = co_await std::move(writing);
    if (!written || event->is_last)
        co_return false;
    follow.last_event = event->id;
    const units::Instant until = desk.now() + common.limits.heartbeat;
    AwaitChange wait{follow.of, follow.id, event->revision, until};
    Leaving leaving = client.leaving;
    auto waiting = await_change(std::move(wait), desk, std::move(leaving));
    co_await std::move(waiting);
    // Back early without news: the desk is stopping and waits no more. So must this.
    const auto after = newest_event(follow, desk);
    const bool stops = desk.now() < until && after && after->id == follow.last_event;
    co_return !stops && !client.has_left() && !common.stopping;
}

} // namespace

asio::awaitable<std::optional<ProblemDetails>> stream(Client& client, Common& common,
                                                      Request& request, Follow follow) {
    const Counted counted(common, request.asker.name + '/' + request.asker.token);
    if (counted.now() > common.limits.streams)
        co_return too_many(common.limits.streams);
    const std::string head = to_bytes(stream_head(), common.framing(false, true));
    auto begin = write(client, common.limits, head);
    bool goes_on = co_await std::move(begin);
    while (goes_on)
        goes_on = co_await tell_change(client, common, request, follow);
    co_return std::nullopt;
}

} // namespace slotwitness::api
