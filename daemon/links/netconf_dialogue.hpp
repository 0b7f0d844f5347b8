#pragma once

#include "conversation.hpp"

#include <slotwitness/netconf/framing.hpp>

namespace slotwitness::links {

/// One NETCONF session over a channel of its own (RFC 6242): opened with the first query, kept for
/// those that follow.
class NetconfDialogue : private Conversation {
  public:
    /// `session` is serving.
    NetconfDialogue(std::shared_ptr<Session> session, Limits limits);

    /// Another query may be asked in it.
    [[nodiscard]] bool is_usable() const { return !is_over_ && session_->alive(); }
    /// The reply is the answer's bytes, without its frame. An rpc-error makes it an answer with
    /// exit status 1 and the device's words in `errors`.
    [[nodiscard]] static boost::asio::awaitable<tl::expected<Answer, LinkError>>
    get(std::shared_ptr<NetconfDialogue> self, ApprovedQuery query);
    /// Says close-session, as far as that goes without waiting.
    void close();

  private:
    struct Received {
        std::string bytes;
        std::string remark; ///< why it is not a whole message; empty if it is
    };
    using Done = tl::expected<void, LinkError>;

    [[nodiscard]] boost::asio::awaitable<Done> open(Deadline deadline);
    [[nodiscard]] boost::asio::awaitable<Done> send(std::string bytes, Deadline deadline);
    [[nodiscard]] boost::asio::awaitable<tl::expected<Received, LinkError>>
    receive(Deadline deadline);
    [[nodiscard]] boost::asio::awaitable<tl::expected<Answer, LinkError>>
    exchange(ApprovedQuery query, Deadline deadline);
    [[nodiscard]] LinkError refused(const std::string& what) const;

    netconf::Deframer deframer_;
    netconf::Framing framing_ = netconf::Framing::end_of_message;
    std::uint64_t last_message_ = 0;
};

} // namespace slotwitness::links
