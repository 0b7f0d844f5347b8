#include "keys.hpp"

#include <libssh/libssh.h>

#include <fstream>
#include <sstream>

namespace slotwitness::chassis {

void FreeKey::operator()(ssh_key_struct* key) const {
    ssh_key_free(key);
}

Key new_key() {
    ssh_key key = nullptr;
    if (ssh_pki_generate(SSH_KEYTYPE_ED25519, 0, &key) != SSH_OK)
        return nullptr;
    return Key(key);
}

tl::expected<Key, std::string> host_key(const std::filesystem::path& file) {
    std::error_code ignored;
    if (std::filesystem::exists(file, ignored)) {
        ssh_key key = nullptr;
        if (ssh_pki_import_privkey_file(file.c_str(), nullptr, nullptr, nullptr, &key) != SSH_OK)
            return tl::unexpected(
                file.string() +
                ": no private key without a passphrase; remove the file to have one made");
        return Key(key);
    }
    Key made = new_key();
    if (!made)
        return tl::unexpected(std::string("no host key could be made"));
    if (ssh_pki_export_privkey_file(made.get(), nullptr, nullptr, nullptr, file.c_str()) != SSH_OK)
        return tl::unexpected(file.string() +
                              ": cannot be written; name a file in a folder that can");
    return made;
}

tl::expected<std::vector<Key>, std::string> authorized_keys(const std::filesystem::path& file) {
    std::ifstream lines(file);
    if (!lines)
        return tl::unexpected(file.string() + ": cannot be read; name a file of public keys");
    std::vector<Key> keys;
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        ++number;
        std::istringstream words(line);
        std::string type;
        std::string base64;
        if (!(words >> type) || type.front() == '#')
            continue;
        words >> base64;
        ssh_key key = nullptr;
        const auto known = ssh_key_type_from_name(type.c_str());
        if (known == SSH_KEYTYPE_UNKNOWN ||
            ssh_pki_import_pubkey_base64(base64.c_str(), known, &key) != SSH_OK)
            return tl::unexpected(
                file.string() + ":" + std::to_string(number) +
                ": no public key, expected \"type base64 comment\" without options");
        keys.emplace_back(key);
    }
    if (keys.empty())
        return tl::unexpected(file.string() + ": no key in it, so nobody could log in");
    return keys;
}

std::string public_text(const ssh_key_struct* key) {
    char* base64 = nullptr;
    // The library takes a non-const pointer, and does not change the key.
    auto* const given = const_cast<ssh_key>(key);
    if (ssh_pki_export_pubkey_base64(given, &base64) != SSH_OK)
        return {};
    std::string text = ssh_key_type_to_char(ssh_key_type(given));
    text.append(" ").append(base64);
    ssh_string_free_char(base64);
    return text;
}

bool same_public(const ssh_key_struct* left, const ssh_key_struct* right) {
    return ssh_key_cmp(const_cast<ssh_key>(left), const_cast<ssh_key>(right), SSH_KEY_CMP_PUBLIC) ==
           0;
}

} // namespace slotwitness::chassis
