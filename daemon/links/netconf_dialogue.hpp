#pragma once

#include "conversation.hpp"

#include <slotwitness/netconf/framing.hpp>

namespace slotwitness::links {

/// One NETCONF session (RFC 6242). The reply is the answer's bytes, without its frame. An rpc-error
/// makes it an answer with exit status 1 and the device's words in `errors`.
class NetconfDialogue final : public Conversation {
  public:
    NetconfDialogue(std::shared_ptr<Session> session, Limits limits);

  private:
    struct Received {
        std::string bytes;
        std::string remark; ///< why it is not a whole message; empty if it is
    };

    [[nodiscard]] boost::asio::awaitable<Done> open(Deadline deadline) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<Answer, LinkError>>
    exchange(ApprovedQuery query, Deadline deadline) override;
    /// Says close-session, as far as that goes without waiting.
    void take_leave() override;
    [[nodiscard]] boost::asio::awaitable<Done> send(std::string bytes, Deadline deadline);
    [[nodiscard]] boost::asio::awaitable<tl::expected<Received, LinkError>>
    receive(Deadline deadline);

    netconf::Deframer deframer_;
    netconf::Framing framing_ = netconf::Framing::end_of_message;
    std::uint64_t last_message_ = 0;
};

} // namespace slotwitness::links
