#include "device_link.hpp"

#include <list>
#include <utility>

namespace slotwitness::days {

namespace {

using boost::asio::awaitable;
using links::LinkError;
using units::Duration;
using units::Instant;

class DeviceLink final : public links::Link {
  public:
    DeviceLink(boost::asio::any_io_executor executor, const desk::Clock& clock, FarEnd& end,
               Duration timeout)
        : executor_(std::move(executor)), clock_(clock), end_(end), timeout_(timeout) {}

    awaitable<tl::expected<void, LinkError>> connect() override {
        const unsigned session = ++session_;
        co_await wait_until(clock_.now() + end_.latency());
        if (session != session_)
            co_return tl::unexpected(lost());
        if (auto refusal = end_.refusal())
            co_return tl::unexpected(std::move(*refusal));
        connected_ = true;
        co_return tl::expected<void, LinkError>();
    }
    bool connected() const override { return connected_; }

    awaitable<tl::expected<links::Answer, LinkError>> ask(links::ApprovedQuery query) override {
        const unsigned session = session_;
        const Instant asked = clock_.now();
        co_await wait_until(asked + end_.latency());
        if (!connected_ || session != session_)
            co_return tl::unexpected(lost());
        chassis::Delivery delivery = end_.ask(query.bytes(), clock_.now());
        const Instant due = clock_.now() + delivery.wait;
        const bool too_late = due > asked + timeout_;
        if (delivery.wait > chassis::Time(0))
            co_await wait_until(too_late ? asked + timeout_ : due);
        if (!connected_ || session != session_)
            co_return tl::unexpected(lost());
        end_.answered(query.bytes(), asked, !too_late && !delivery.drops);
        if (too_late || delivery.drops)
            connected_ = false;
        if (too_late)
            co_return tl::unexpected(
                LinkError{LinkError::Kind::timed_out, "the device did not answer in time"});
        if (delivery.drops)
            co_return tl::unexpected(lost());
        links::Answer answer;
        answer.bytes = std::move(delivery.out);
        answer.errors = std::move(delivery.err);
        answer.ended = delivery.status.has_value();
        answer.exit_status = delivery.status;
        if (!answer.ended)
            answer.remark = "the channel closed without an exit status";
        co_return answer;
    }
    void close() override {
        connected_ = false;
        ++session_;
        for (desk::Alarm* alarm : waiting_)
            alarm->ring();
    }

  private:
    static LinkError lost() {
        return {LinkError::Kind::session_lost, "the router session dropped"};
    }
    awaitable<void> wait_until(Instant at) {
        const auto alarm = clock_.make_alarm(executor_);
        const auto place = waiting_.insert(waiting_.end(), alarm.get());
        co_await alarm->wait_until(at);
        waiting_.erase(place);
    }

    boost::asio::any_io_executor executor_;
    const desk::Clock& clock_;
    FarEnd& end_;
    Duration timeout_;
    std::list<desk::Alarm*> waiting_;
    unsigned session_ = 0;
    bool connected_ = false;
};

} // namespace

std::optional<LinkError> DeviceEnd::refusal() {
    if (device_.refuses_auth())
        return LinkError{LinkError::Kind::credential, "the device refused the key"};
    return std::nullopt;
}

std::unique_ptr<links::Link> make_device_link(boost::asio::any_io_executor executor,
                                              const desk::Clock& clock, FarEnd& end,
                                              Duration timeout) {
    return std::make_unique<DeviceLink>(std::move(executor), clock, end, timeout);
}

} // namespace slotwitness::days
