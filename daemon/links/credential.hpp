#pragma once

#include "link.hpp"

#include <memory>

struct ssh_key_struct;

namespace slotwitness::links {

struct FreeKey {
    void operator()(ssh_key_struct* key) const;
};
using Key = std::unique_ptr<ssh_key_struct, FreeKey>;

/// Reads a private key in OpenSSH or PEM form. Nobody is ever asked for a passphrase: a key that
/// has one is an error of kind `credential`.
[[nodiscard]] tl::expected<Key, LinkError> read_private_key(const std::string& file);

} // namespace slotwitness::links
