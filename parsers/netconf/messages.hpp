#pragma once

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

/// The only messages that a device is ever sent: hello, get with a subtree filter, close-session
/// (RFC 6241, sections 8.1, 7.7, 7.8). There is no way to make another one.
namespace slotwitness::netconf {

/// Announces :base:1.0 and :base:1.1.
[[nodiscard]] std::string hello();
/// `filter`: the one element inside of `filter type="subtree"` (RFC 6241, section 6).
[[nodiscard]] std::string get(std::uint64_t message_id, std::string_view filter);
[[nodiscard]] std::string close_session(std::uint64_t message_id);

/// The device's hello.
struct Hello {
    bool chunks = false; ///< it announces :base:1.1
    std::vector<std::string> capabilities;
};
/// The error: no hello of NETCONF, without session-id, or of a version that we do not speak.
[[nodiscard]] tl::expected<Hello, state::Problem> read_hello(std::string_view message);

/// What a rpc-reply says of itself; its data are read by a layout.
struct Reply {
    bool has_data = false;
    std::vector<std::string> errors; ///< each rpc-error in words: tag, message, path
};
/// The error: no rpc-reply, or not one to this message.
[[nodiscard]] tl::expected<Reply, state::Problem> read_reply(std::string_view message,
                                                             std::uint64_t message_id);

} // namespace slotwitness::netconf
