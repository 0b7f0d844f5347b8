#pragma once

#include "conversation.hpp"

#include <slotwitness/shell/dialogue.hpp>

namespace slotwitness::links {

/// One login shell on a terminal. An answer's bytes are without echo and prompt. A shell tells no
/// exit status: that of a whole answer is 0, and 1 where it is a refusal by the profile's words.
class ShellDialogue final : public Conversation {
  public:
    /// `limits` have what the guard lets into a shell.
    ShellDialogue(std::shared_ptr<Session> session, Limits limits);

    /// Nothing came unasked since the last query.
    [[nodiscard]] bool is_usable() override;

  private:
    [[nodiscard]] boost::asio::awaitable<Done> open(Deadline deadline) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<Answer, LinkError>>
    exchange(ApprovedQuery query, Deadline deadline) override;
    /// Sends the bytes and hears until the shell is ready again; else why not, for a person.
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::string, LinkError>>
    converse(std::string bytes, Deadline deadline);
    [[nodiscard]] std::string take_silence();
    /// Why nothing more can come; empty if it can.
    [[nodiscard]] std::string why_over(bool due) const;

    shell::Dialogue dialogue_;
};

} // namespace slotwitness::links
