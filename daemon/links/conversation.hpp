#pragma once

#include "session.hpp"

#include <functional>
#include <vector>

namespace slotwitness::links {

// What every way of asking has in common: waiting for a place on the device, opening, saying,
// hearing.

/// A channel that is kept for one query after the other, whatever is spoken there: opened with the
/// first query, one query at a time. After whatever is odd or late it is closed, so that a late
/// answer can never be taken for that of a later query.
class Conversation {
  public:
    virtual ~Conversation() { end(); }
    Conversation(const Conversation&) = delete;
    Conversation& operator=(const Conversation&) = delete;

    /// Another query may be asked in it.
    [[nodiscard]] virtual bool is_usable() { return !is_over_ && session_->alive(); }
    [[nodiscard]] static boost::asio::awaitable<tl::expected<Answer, LinkError>>
    ask(std::shared_ptr<Conversation> self, ApprovedQuery query);
    /// No further query; whoever asks still needs the channel, and gives it back.
    void close();

  protected:
    /// What people call it, and what they look after where the device refuses it.
    struct Manner {
        std::string_view name;
        std::string_view remedy;
    };
    /// `session` is serving.
    Conversation(std::shared_ptr<Session> session, Limits limits, Manner manner);

    using Done = tl::expected<void, LinkError>;
    /// Until a query may be asked.
    [[nodiscard]] virtual boost::asio::awaitable<Done> open(Deadline deadline) = 0;
    /// Only an answer that has ended keeps the channel.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<Answer, LinkError>>
    exchange(ApprovedQuery query, Deadline deadline) = 0;
    /// The last word in the channel; nobody waits for what comes of it.
    virtual void take_leave() {}

    /// One request of the channel: libssh's call, to be repeated while it is SSH_AGAIN.
    struct Request {
        std::string_view doing;
        std::string_view refusal; ///< what to tell where the device refuses it
        std::function<int(Channel& channel)> call;
    };
    /// Opens the channel, and makes the requests one after the other.
    [[nodiscard]] boost::asio::awaitable<Done> open_channel(std::vector<Request> requests,
                                                            Deadline deadline);
    [[nodiscard]] LinkError refused(const std::string& what) const;
    /// Gives the channel back, to be closed.
    void end();

    std::shared_ptr<Session> session_;
    Limits limits_;
    std::shared_ptr<Channel> channel_; ///< null until opened, and when over
    bool is_asking_ = false;
    bool is_over_ = false;

  private:
    class Turn;

    Manner manner_;
};

/// Waits until the device has closed so many channels that another one fits into `parallel`.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
find_place(std::shared_ptr<Session> session, std::size_t parallel, Deadline deadline);

/// Sends all of the bytes. The result is libssh's: SSH_OK, or the device closed the channel. A
/// device whose window stays shut (RFC 4254, section 5.2) loses the session at the deadline: the
/// channel alone could be closed (5.3), but where a query's few bytes are not taken in the time of
/// a whole answer, nothing speaks for the next channel.
[[nodiscard]] boost::asio::awaitable<tl::expected<int, LinkError>>
say(std::shared_ptr<Session> session, std::shared_ptr<Channel> channel, std::string bytes,
    Deadline deadline);

/// Waits until something has come. False: the deadline has; what arrived in time has been read.
[[nodiscard]] boost::asio::awaitable<tl::expected<bool, LinkError>>
hear_more(std::shared_ptr<Session> session, Deadline deadline);

} // namespace slotwitness::links
