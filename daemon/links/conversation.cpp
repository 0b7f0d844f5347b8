#include "conversation.hpp"

#include "channel.hpp"

#include <libssh/libssh.h>

#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

Conversation::Conversation(std::shared_ptr<Session> session, Limits limits)
    : session_(std::move(session)), limits_(std::move(limits)) {}

void Conversation::end() {
    is_over_ = true;
    if (const auto channel = std::exchange(channel_, nullptr))
        session_->retire(channel);
}

Conversation::Turn::~Turn() {
    of_.is_asking_ = false;
    if (!is_whole_ || of_.is_over_)
        of_.end();
    else
        of_.channel_->rest(true);
}

asio::awaitable<tl::expected<void, LinkError>> find_place(std::shared_ptr<Session> session,
                                                          std::size_t parallel, Deadline deadline) {
    // A channel that the device has not closed yet still counts there.
    const Session& device = *session;
    std::function<int()> place = [&device, parallel] {
        return device.channels_in_use() + device.channels_closing() < parallel ? SSH_OK : SSH_AGAIN;
    };
    const auto free = co_await session->until(deadline, "waiting for the device to close a channel",
                                              std::move(place));
    if (!free)
        co_return tl::unexpected(free.error());
    co_return tl::expected<void, LinkError>{};
}

asio::awaitable<tl::expected<int, LinkError>> say(std::shared_ptr<Session> session,
                                                  std::shared_ptr<Channel> channel,
                                                  std::string bytes, Deadline deadline) {
    std::string_view rest = bytes;
    std::function<int()> write = [&channel, &rest] {
        const int taken = channel->write(rest);
        if (taken < 0)
            return SSH_ERROR;
        rest.remove_prefix(static_cast<std::size_t>(taken));
        return rest.empty() ? SSH_OK : SSH_AGAIN;
    };
    co_return co_await session->until(deadline, "sending a query", std::move(write));
}

asio::awaitable<tl::expected<bool, LinkError>> hear_more(std::shared_ptr<Session> session,
                                                         Deadline deadline) {
    const auto woken = co_await session->wait(deadline);
    switch (woken) {
    case Bell::Woken::rung:
        co_return true;
    case Bell::Woken::due:
        session->pump(); // bytes that arrived in time count, however late we come to read them
        co_return false;
    case Bell::Woken::cancelled:
        break;
    }
    co_return tl::unexpected(cancelled(*session));
}

} // namespace slotwitness::links
