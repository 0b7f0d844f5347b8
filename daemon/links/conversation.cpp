#include "conversation.hpp"

#include "channel.hpp"
#include "refusal.hpp"

#include <libssh/libssh.h>

#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

/// What may arrive beyond an answer before it is looked at: a round of reading, and error output.
constexpr std::size_t slack = std::size_t{1} << 20;

} // namespace

/// While it lives nobody else may ask. A cancelled coroutine leaves by its destruction: what it had
/// asked may still be answered, so only a whole answer keeps the channel.
class Conversation::Turn {
  public:
    explicit Turn(Conversation& of) : of_(of) { of_.is_asking_ = true; }
    ~Turn() {
        of_.is_asking_ = false;
        if (!is_whole_ || of_.is_over_)
            of_.end();
        else
            of_.channel_->rest(true);
    }
    Turn(const Turn&) = delete;
    Turn& operator=(const Turn&) = delete;
    void was_whole(bool is_whole) { is_whole_ = is_whole; }

  private:
    Conversation& of_;
    bool is_whole_ = false;
};

Conversation::Conversation(std::shared_ptr<Session> session, Limits limits, Manner manner)
    : session_(std::move(session)), limits_(std::move(limits)), manner_(manner) {}

asio::awaitable<tl::expected<Answer, LinkError>>
Conversation::ask(std::shared_ptr<Conversation> self, ApprovedQuery query) {
    if (self->is_asking_)
        co_return tl::unexpected(LinkError{
            LinkError::Kind::misuse, self->session_->where() + ": two queries at once in one " +
                                         std::string(self->manner_.name)});
    Turn turn(*self);
    const auto deadline = std::chrono::steady_clock::now() + self->limits_.timeout;
    if (!self->channel_) {
        auto opened = co_await self->open(deadline);
        if (!opened)
            co_return tl::unexpected(std::move(opened.error()));
    }
    self->channel_->rest(false);
    auto answer = co_await self->exchange(std::move(query), deadline);
    turn.was_whole(answer && answer->ended);
    co_return answer;
}

void Conversation::close() {
    is_over_ = true;
    if (is_asking_ || !channel_)
        return;
    if (session_->alive())
        take_leave();
    end();
}

void Conversation::end() {
    is_over_ = true;
    if (const auto channel = std::exchange(channel_, nullptr))
        session_->retire(channel);
}

LinkError Conversation::refused(const std::string& what) const {
    return {LinkError::Kind::refused, session_->where() + ": no " + std::string(manner_.name) +
                                          ": " + what + "; " + std::string(manner_.remedy)};
}

asio::awaitable<Conversation::Done> Conversation::open_channel(std::vector<Request> requests,
                                                               Deadline deadline) {
    auto place = co_await find_place(session_, limits_.parallel, deadline);
    if (!place)
        co_return place;
    channel_ = session_->open_channel(limits_.longest_answer + slack);
    Channel& channel = *channel_;
    std::function<int()> open = [&channel] { return channel.open(); };
    const auto opened = co_await session_->until(deadline, "opening a channel", std::move(open));
    if (!opened)
        co_return tl::unexpected(opened.error());
    if (*opened != SSH_OK) {
        const std::string said = session_->complaint();
        auto told = refused_channel(session_->where(), session_->refusals(), said);
        co_return tl::unexpected(
            told ? std::move(*told) : refused("the device refused a channel" + in_brackets(said)));
    }
    for (const Request& request : requests) {
        std::function<int()> call = [&channel, &request] { return request.call(channel); };
        const auto granted = co_await session_->until(deadline, request.doing, std::move(call));
        if (!granted)
            co_return tl::unexpected(granted.error());
        if (*granted != SSH_OK)
            co_return tl::unexpected(refused("the device refused " + std::string(request.refusal) +
                                             in_brackets(session_->complaint())));
    }
    co_return Done{};
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
    // Nothing else holds libssh's hand.
    co_return co_await session->until(
        deadline, "sending the rest of a query (the device's window is shut, or it exchanges keys)",
        std::move(write));
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
