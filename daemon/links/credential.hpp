#pragma once

#include "link.hpp"

#include <memory>

struct ssh_key_struct;

namespace slotwitness::links {

struct FreeKey {
    void operator()(ssh_key_struct* key) const;
};
using Key = std::unique_ptr<ssh_key_struct, FreeKey>;

/// Reads the target's private key in OpenSSH or PEM form, with the passphrase that its file holds.
/// Nobody is ever asked for one: a key that has a passphrase, where none is given, is an error of
/// kind `own_files`. Null where the target has no key.
[[nodiscard]] tl::expected<Key, LinkError> read_private_key(const Target& target);

} // namespace slotwitness::links
