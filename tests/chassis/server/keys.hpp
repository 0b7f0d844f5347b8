#pragma once

#include <tl/expected.hpp>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

struct ssh_key_struct;

namespace slotwitness::chassis {

struct FreeKey {
    void operator()(ssh_key_struct* key) const;
};
using Key = std::unique_ptr<ssh_key_struct, FreeKey>;

/// A new Ed25519 key; null if the library cannot make one.
[[nodiscard]] Key new_key();

/// The private key in `file`, which is made, with a new key, if it does not exist. Errors name the
/// file.
[[nodiscard]] tl::expected<Key, std::string> host_key(const std::filesystem::path& file);

/// The keys of a file with one `type base64 comment` a line, without options; blank lines and `#`
/// lines are passed over. Errors name file and line.
[[nodiscard]] tl::expected<std::vector<Key>, std::string>
authorized_keys(const std::filesystem::path& file);

/// "ssh-ed25519 AAAA…", as a known_hosts line ends.
[[nodiscard]] std::string public_text(const ssh_key_struct* key);

[[nodiscard]] bool same_public(const ssh_key_struct* left, const ssh_key_struct* right);

} // namespace slotwitness::chassis
