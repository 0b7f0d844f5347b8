#pragma once

#include "link.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

struct ssh_session_struct;

/// What we offer a server, best first. By itself nothing with SHA-1, CBC or a group under 2048
/// bits. No AES-GCM: whether the libssh at hand checks its tag rightly cannot be seen from the
/// version that it tells.
namespace slotwitness::links::algorithms {

using Names = std::vector<std::string>;

/// What is offered where the configuration names nothing.
[[nodiscard]] const Algorithms& ours();
/// What libssh can do beside that, and is only offered by name: for devices that know nothing
/// better. All of it but the last two of the key exchanges is weak.
[[nodiscard]] const Algorithms& by_name_alone();
/// The lists of the configuration, each where it is empty ours.
[[nodiscard]] Algorithms offered(const Algorithms& wanted);
/// SHA-1, CBC, or a group that is too small today (RFC 9142; RFC 8332 for ssh-rsa).
[[nodiscard]] bool is_weak(std::string_view name);

} // namespace slotwitness::links::algorithms

namespace slotwitness::links {

/// What both sides agreed upon, of a session whose keys are exchanged. The error, of kind `misuse`,
/// names what was not offered.
[[nodiscard]] tl::expected<Agreed, LinkError>
agreed_in(ssh_session_struct* ssh, const std::string& where, const Algorithms& wanted);

} // namespace slotwitness::links
