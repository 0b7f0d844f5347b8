#pragma once

#include <string_view>
#include <vector>

/// What we offer a server, best first. Nothing with SHA-1, CBC or a group under 2048 bits. No
/// AES-GCM: whether the libssh at hand checks its tag rightly cannot be seen from the version that
/// it tells.
namespace slotwitness::links::algorithms {

using Names = std::vector<std::string_view>;

/// Curves first: a handshake costs about 1 ms of the event loop, with group 16 about 18 ms.
inline const Names key_exchange{"curve25519-sha256",
                                "curve25519-sha256@libssh.org",
                                "ecdh-sha2-nistp256",
                                "ecdh-sha2-nistp384",
                                "ecdh-sha2-nistp521",
                                "diffie-hellman-group14-sha256",
                                "diffie-hellman-group16-sha512"};
inline const Names host_keys{"ssh-ed25519",         "ecdsa-sha2-nistp256", "ecdsa-sha2-nistp384",
                             "ecdsa-sha2-nistp521", "rsa-sha2-512",        "rsa-sha2-256"};
inline const Names ciphers{"chacha20-poly1305@openssh.com", "aes256-ctr", "aes192-ctr",
                           "aes128-ctr"};
inline const Names macs{"hmac-sha2-256-etm@openssh.com", "hmac-sha2-512-etm@openssh.com",
                        "hmac-sha2-256", "hmac-sha2-512"};

} // namespace slotwitness::links::algorithms
