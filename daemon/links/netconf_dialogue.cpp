#include "netconf_dialogue.hpp"

#include "channel.hpp"
#include "refusal.hpp"

#include <slotwitness/netconf/messages.hpp>

#include <libssh/libssh.h>

#include <algorithm>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

std::string_view shown_part(std::string_view text) {
    constexpr std::size_t most = 200;
    return text.substr(0, most);
}

} // namespace

NetconfDialogue::NetconfDialogue(std::shared_ptr<Session> session, Limits limits)
    : Conversation(std::move(session), std::move(limits),
                   {"NETCONF session",
                    "check that the subsystem netconf is enabled on this port (830 in RFC 6242) "
                    "and allowed to the account"}),
      deframer_(limits_.longest_answer) {}

void NetconfDialogue::take_leave() {
    const std::string goodbye = netconf::framed(netconf::close_session(++last_message_), framing_);
    static_cast<void>(channel_->write(goodbye));
}

asio::awaitable<NetconfDialogue::Done> NetconfDialogue::open(Deadline deadline) {
    std::vector<Request> requests{{"opening a NETCONF session", "the subsystem netconf",
                                   [](Channel& channel) { return channel.subsystem("netconf"); }}};
    auto opened = co_await open_channel(std::move(requests), deadline);
    if (!opened)
        co_return opened;
    std::string greeting = netconf::framed(netconf::hello(), netconf::Framing::end_of_message);
    auto sent = co_await send(std::move(greeting), deadline);
    if (!sent)
        co_return sent;
    const auto received = co_await receive(deadline);
    if (!received)
        co_return tl::unexpected(received.error());
    if (!received->remark.empty())
        co_return tl::unexpected(refused("the device's hello: " + received->remark));
    const auto hello = netconf::read_hello(received->bytes);
    if (!hello)
        co_return tl::unexpected(refused(state::to_text(hello.error())));
    if (hello->chunks)
        framing_ = netconf::Framing::chunks;
    co_return Done{};
}

asio::awaitable<NetconfDialogue::Done> NetconfDialogue::send(std::string bytes, Deadline deadline) {
    const auto sent = co_await say(session_, channel_, std::move(bytes), deadline);
    if (!sent)
        co_return tl::unexpected(sent.error());
    if (*sent != SSH_OK)
        co_return tl::unexpected(refused("the device closed it"));
    co_return Done{};
}

asio::awaitable<tl::expected<NetconfDialogue::Received, LinkError>>
NetconfDialogue::receive(Deadline deadline) {
    for (bool due = false;;) {
        deframer_.feed(channel_->take_arrived());
        auto next = deframer_.next(framing_);
        if (!next)
            co_return Received{deframer_.begun(framing_), state::to_text(next.error())};
        if (*next)
            co_return Received{std::move(**next), ""};
        std::string remark;
        if (channel_->too_long())
            remark = "more than the limit of " + std::to_string(limits_.longest_answer) +
                     " bytes; raise longest-answer in the profile";
        else if (channel_->closed() || channel_->answer().ended)
            remark = "the device closed the NETCONF session";
        else if (due)
            remark =
                (deframer_.begun(framing_).empty() ? "no byte of it came within " : "cut after ") +
                units::to_text(limits_.timeout) +
                "; the next query goes in a NETCONF session of its own, and if the device "
                "needs longer, raise timeout in the profile";
        if (!remark.empty())
            co_return Received{deframer_.begun(framing_), std::move(remark)};
        if (!session_->alive())
            co_return tl::unexpected(session_->why());
        const auto heard = co_await hear_more(session_, deadline);
        if (!heard)
            co_return tl::unexpected(heard.error());
        due = !*heard;
    }
}

asio::awaitable<tl::expected<Answer, LinkError>> NetconfDialogue::exchange(ApprovedQuery query,
                                                                           Deadline deadline) {
    const std::uint64_t message = ++last_message_;
    std::string request = netconf::framed(netconf::get(message, query.bytes()), framing_);
    auto sent = co_await send(std::move(request), deadline);
    if (!sent)
        co_return tl::unexpected(std::move(sent.error()));
    auto received = co_await receive(deadline);
    if (!received)
        co_return tl::unexpected(std::move(received.error()));
    Answer answer;
    answer.bytes = std::move(received->bytes);
    answer.remark = std::move(received->remark);
    if (!answer.remark.empty())
        co_return answer;
    const auto reply = netconf::read_reply(answer.bytes, message);
    if (!reply) {
        answer.remark = state::to_text(reply.error());
        co_return answer;
    }
    answer.ended = true;
    answer.exit_status = reply->errors.empty() && reply->has_data ? 0 : 1;
    for (const std::string& error : reply->errors)
        answer.errors.append(error).append("\n");
    if (auto refusal = refused_answer(session_->refusals(), answer.errors); !refusal.empty())
        answer.remark = std::move(refusal);
    else if (!reply->errors.empty())
        answer.remark = "the device answered with an rpc-error: " +
                        std::string(shown_part(reply->errors.front()));
    else if (!reply->has_data)
        answer.remark = "the rpc-reply has no data";
    co_return answer;
}

} // namespace slotwitness::links
