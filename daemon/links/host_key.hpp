#pragma once

#include "known_hosts.hpp"
#include "session.hpp"

#include <string>
#include <vector>

namespace slotwitness::links {

class Bastion;

/// The host key that a device showed, as ssh-keygen(1) would tell of it.
struct HostKey {
    std::string type;        ///< "ssh-ed25519", as known_hosts has it
    std::string base64;      ///< the key, as known_hosts has it
    std::string fingerprint; ///< "SHA256:…"
    unsigned bits = 0;

    /// "256 SHA256:… COMMENT (ED25519)", as `ssh-keygen -lf` prints it.
    [[nodiscard]] std::string as_listed(const std::string& comment) const;
};

/// Of a session whose keys are exchanged.
[[nodiscard]] tl::expected<HostKey, LinkError> host_key_of(const Session& session);

/// The fingerprint of the key, if it is one that the target trusts; the error has it too.
[[nodiscard]] tl::expected<std::string, LinkError>
check_host_key(const Session& session, const Target& target, const KnownHosts& store);

/// What the target trusts: its file of known hosts, or nothing where fingerprints stand in its
/// place.
[[nodiscard]] tl::expected<KnownHosts, LinkError> trust_of(const Target& target);

/// Every host key that the device shows, one connection for each type of key, which ends before
/// anybody logs in: for a person to compare. Nothing is accepted and nothing else is asked. A
/// bastion on the way must be trusted as ever.
[[nodiscard]] boost::asio::awaitable<tl::expected<std::vector<HostKey>, LinkError>>
show_host_keys(boost::asio::any_io_executor executor, Target target,
               std::shared_ptr<Bastion> through);

} // namespace slotwitness::links
