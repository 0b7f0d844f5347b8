#include "device_link.hpp"

#include <utility>

namespace slotwitness::days {

namespace {

using boost::asio::awaitable;
using links::LinkError;

constexpr units::Duration latency{20};

class DeviceLink final : public links::Link {
  public:
    DeviceLink(boost::asio::any_io_executor executor, const desk::Clock& clock,
               chassis::Device& device)
        : clock_(clock), alarm_(clock.make_alarm(std::move(executor))), device_(device) {}

    awaitable<tl::expected<void, LinkError>> connect() override {
        co_await alarm_->wait_until(clock_.now() + latency);
        if (device_.refuses_auth())
            co_return tl::unexpected(
                LinkError{LinkError::Kind::credential, "the device refused the key"});
        connected_ = true;
        co_return tl::expected<void, LinkError>();
    }
    bool connected() const override { return connected_; }

    awaitable<tl::expected<links::Answer, LinkError>> ask(links::ApprovedQuery query) override {
        co_await alarm_->wait_until(clock_.now() + latency);
        if (!connected_)
            co_return tl::unexpected(lost());
        chassis::Delivery delivery = device_.ask(query.bytes(), clock_.now().time_since_epoch());
        if (delivery.wait > chassis::Time(0))
            co_await alarm_->wait_until(clock_.now() + delivery.wait);
        if (delivery.drops)
            connected_ = false;
        if (!connected_)
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
        alarm_->ring();
    }

  private:
    static LinkError lost() {
        return {LinkError::Kind::session_lost, "the router session dropped"};
    }

    const desk::Clock& clock_;
    std::unique_ptr<desk::Alarm> alarm_;
    chassis::Device& device_;
    bool connected_ = false;
};

} // namespace

std::unique_ptr<links::Link> make_device_link(boost::asio::any_io_executor executor,
                                              const desk::Clock& clock, chassis::Device& device) {
    return std::make_unique<DeviceLink>(std::move(executor), clock, device);
}

} // namespace slotwitness::days
