#pragma once

#include "support.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace slotwitness::links::test {

/// One way of asking: what the server runs, what is asked, and what the right answer is.
struct Asking {
    twins::Sshd::Setup server;
    Limits limits;
    std::string query;
    Answer right;
};

[[nodiscard]] std::string numbers_to(int last, const std::string& line_end);

/// A command that answers the numbers up to `last`, its errors, and a status of its own.
[[nodiscard]] Asking by_command(int last = 3000);
/// The same numbers, typed into a general-purpose shell.
[[nodiscard]] Asking by_shell(int last = 3000);
/// The same over NETCONF: a peer in `folder`, which waits for exactly what may be said, and then
/// says its reply; without numbers only a beginning of one. Behind it comes the output of `more`.
[[nodiscard]] Asking by_netconf(const std::filesystem::path& folder, int last = 3000,
                                const std::string& more = "true");

/// What each of those peers heard, once all of them have ended: they end with their sessions.
[[nodiscard]] std::vector<std::string> heard_over_netconf(const std::filesystem::path& folder);

/// One whole session: connect, ask, close.
[[nodiscard]] asio::awaitable<tl::expected<Answer, LinkError>> session(Link& link,
                                                                       const Asking& asking);
void expect_right(const tl::expected<Answer, LinkError>& answer, const Asking& asking);

} // namespace slotwitness::links::test
