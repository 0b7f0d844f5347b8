#pragma once

#include "session.hpp"

namespace slotwitness::links {

// What every way of asking has in common: waiting for a place on the device, opening, saying,
// hearing.

/// A channel that is kept for one query after the other, whatever is spoken there. One query at a
/// time; after whatever is odd or late it is closed, so that a late answer can never be taken for
/// that of a later query.
class Conversation {
  public:
    Conversation(std::shared_ptr<Session> session, Limits limits);
    ~Conversation() { end(); }
    Conversation(const Conversation&) = delete;
    Conversation& operator=(const Conversation&) = delete;

  protected:
    /// While it lives nobody else may ask. A cancelled coroutine leaves by its destruction: what it
    /// had asked may still be answered, so only a whole answer keeps the channel.
    class Turn {
      public:
        explicit Turn(Conversation& of) : of_(of) { of_.is_asking_ = true; }
        ~Turn();
        Turn(const Turn&) = delete;
        Turn& operator=(const Turn&) = delete;
        void was_whole(bool is_whole) { is_whole_ = is_whole; }

      private:
        Conversation& of_;
        bool is_whole_ = false;
    };
    void end();

    std::shared_ptr<Session> session_;
    Limits limits_;
    std::shared_ptr<Channel> channel_; ///< null until opened, and when over
    bool is_asking_ = false;
    bool is_over_ = false;
};

/// Waits until the device has closed so many channels that another one fits into `parallel`.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
find_place(std::shared_ptr<Session> session, std::size_t parallel, Deadline deadline);

/// Sends all of the bytes. The result is libssh's: SSH_OK, or the device closed the channel.
[[nodiscard]] boost::asio::awaitable<tl::expected<int, LinkError>>
say(std::shared_ptr<Session> session, std::shared_ptr<Channel> channel, std::string bytes,
    Deadline deadline);

/// Waits until something has come. False: the deadline has; what arrived in time has been read.
[[nodiscard]] boost::asio::awaitable<tl::expected<bool, LinkError>>
hear_more(std::shared_ptr<Session> session, Deadline deadline);

} // namespace slotwitness::links
