#pragma once

#include "conversation.hpp"

#include <slotwitness/shell/dialogue.hpp>

namespace slotwitness::links {

/// One login shell on a terminal, over a channel of its own: opened with the first query, kept for
/// those that follow.
class ShellDialogue : private Conversation {
  public:
    /// `session` is serving; `limits` have what the guard lets into a shell.
    ShellDialogue(std::shared_ptr<Session> session, Limits limits);

    /// Another query may be asked in it: nothing came unasked since the last one.
    [[nodiscard]] bool is_usable();
    /// The answer's bytes are without echo and prompt. A shell tells no exit status: that of a
    /// whole answer is 0, and 1 where it is a refusal by the profile's words.
    [[nodiscard]] static boost::asio::awaitable<tl::expected<Answer, LinkError>>
    ask(std::shared_ptr<ShellDialogue> self, ApprovedQuery query);
    void close();

  private:
    using Done = tl::expected<void, LinkError>;

    [[nodiscard]] boost::asio::awaitable<Done> open(Deadline deadline);
    /// Sends the bytes and hears until the shell is ready again; else why not, for a person.
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::string, LinkError>>
    converse(std::string bytes, Deadline deadline);
    [[nodiscard]] std::string take_silence();
    /// Why nothing more can come; empty if it can.
    [[nodiscard]] std::string why_over(bool due) const;
    [[nodiscard]] LinkError refused(const std::string& what) const;

    shell::Dialogue dialogue_;
};

} // namespace slotwitness::links
