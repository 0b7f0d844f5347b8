#include "channel.hpp"
#include "conversation.hpp"
#include "refusal.hpp"
#include "session.hpp"

#include <libssh/libssh.h>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

/// Hands the channel back to its session, also when the coroutine is cancelled or destroyed.
struct Lease {
    explicit Lease(std::shared_ptr<Session> from, std::size_t longest_answer)
        : session(std::move(from)), channel(session->open_channel(longest_answer)) {}
    ~Lease() { session->retire(channel); }
    Lease(const Lease&) = delete;
    Lease& operator=(const Lease&) = delete;

    std::shared_ptr<Session> session;
    std::shared_ptr<Channel> channel;
};

LinkError refused(const Session& session, const ApprovedQuery& query, const std::string& what) {
    return {LinkError::Kind::refused, session.where() + ": the device refused " + what + " for \"" +
                                          query.key() + "\"" + in_brackets(session.complaint()) +
                                          "; check how many sessions and which commands the "
                                          "account is allowed"};
}

std::string number_of_bytes(const Answer& answer) {
    return std::to_string(answer.bytes.size() + answer.errors.size()) + " bytes";
}

/// Why an answer is not whole; empty if it is.
std::string remark_on(const Channel& channel, bool due, const Limits& limits) {
    if (channel.too_long()) {
        return "the answer is longer than the limit of " + std::to_string(limits.longest_answer) +
               " bytes; raise longest-answer in the profile";
    }
    if (!channel.signal().empty()) {
        return "the command was ended by signal " + channel.signal() + " on the device";
    }
    const auto& answer = channel.answer();
    if (!answer.ended) {
        return due && !channel.closed()
                   ? "cut after " + units::to_text(limits.timeout) + " at " +
                         number_of_bytes(answer) +
                         "; raise timeout in the profile if the device needs longer"
                   : "the device closed the channel without an end of output, at " +
                         number_of_bytes(answer);
    }
    return answer.exit_status ? "" : "the device told no exit status";
}

} // namespace

asio::awaitable<tl::expected<Answer, LinkError>> exec(std::shared_ptr<Session> session,
                                                      ApprovedQuery query, Limits limits) {
    const auto deadline = std::chrono::steady_clock::now() + limits.timeout;
    if (session->channels_in_use() >= limits.parallel) {
        co_return tl::unexpected(
            LinkError{LinkError::Kind::misuse,
                      session->where() + ": more than " + std::to_string(limits.parallel) +
                          " queries at once, which the profile does not allow"});
    }
    const auto free = co_await find_place(session, limits.parallel, deadline);
    if (!free) {
        co_return tl::unexpected(free.error());
    }
    const Lease lease(session, limits.longest_answer);
    auto& channel = *lease.channel;

    std::function<int()> open = [&channel] { return channel.open(); };
    const auto opened = co_await session->until(deadline, "opening a channel", std::move(open));
    if (!opened) {
        co_return tl::unexpected(opened.error());
    }
    if (*opened != SSH_OK) {
        auto told = refused_channel(session->where(), session->refusals(), session->complaint());
        co_return tl::unexpected(told ? std::move(*told) : refused(*session, query, "a channel"));
    }
    std::function<int()> ask = [&channel, &query] { return channel.exec(query.bytes()); };
    const auto asked = co_await session->until(deadline, "sending a query", std::move(ask));
    if (!asked && !channel.complete()) {
        co_return tl::unexpected(asked.error());
    }
    // A quick device grants, answers and closes in one go: the grant is then not asked for any
    // more.
    if (asked && *asked != SSH_OK && !channel.ran()) {
        co_return tl::unexpected(refused(*session, query, "to run a command"));
    }
    bool due = false;
    while (!channel.complete() && !channel.too_long() && !due) {
        if (!session->alive()) {
            auto error = session->why();
            error.text += "; " + number_of_bytes(channel.answer()) + " of the answer to \"" +
                          query.key() + "\" had come";
            co_return tl::unexpected(std::move(error));
        }
        const auto heard = co_await hear_more(session, deadline);
        if (!heard) {
            co_return tl::unexpected(heard.error());
        }
        due = !*heard;
    }
    auto remark = remark_on(channel, due, limits);
    auto answer = channel.take();
    if (remark.empty() && answer.exit_status != 0) {
        remark = refused_answer(session->refusals(), answer.errors + answer.bytes);
    }
    answer.ended = answer.ended && !channel.too_long();
    answer.remark = std::move(remark);
    co_return answer;
}

} // namespace slotwitness::links
