#include "credential.hpp"

#include "secret.hpp"

#include <libssh/libssh.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <optional>
#include <utility>

namespace slotwitness::links {

namespace {

LinkError bad_key(const std::string& file, const std::string& what) {
    return {LinkError::Kind::own_files, "key file " + file + ": " + what};
}

/// libssh calls it for a passphrase. Without it OpenSSL would prompt on the terminal.
int refuse_passphrase(const char*, char*, std::size_t, int, int, void* asked) {
    *static_cast<bool*>(asked) = true;
    return -1;
}

} // namespace

void FreeKey::operator()(ssh_key_struct* key) const {
    ssh_key_free(key);
}

tl::expected<Key, LinkError> read_private_key(const Target& target) {
    const std::string& file = target.key_file;
    if (file.empty()) {
        return Key();
    }
    std::optional<Secret> passphrase;
    if (!target.passphrase_file.empty()) {
        auto read = Secret::read(target.passphrase_file);
        if (!read) {
            return tl::unexpected(read.error());
        }
        passphrase.emplace(std::move(*read));
    }
    errno = 0;
    std::ifstream stream(file, std::ios::binary);
    // A key is a few kilobytes; a wrong file may be anything.
    constexpr std::size_t most_bytes = 64 * 1024;
    std::string text(most_bytes, '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(stream.gcount()));
    if (!stream.is_open() || text.empty()) {
        return tl::unexpected(
            bad_key(file, std::string(errno != 0 ? std::strerror(errno) : "the file is empty") +
                              "; give the daemon's account a readable private key"));
    }
    bool asked = false;
    ssh_key raw = nullptr;
    const int result = ssh_pki_import_privkey_base64(
        text.c_str(), passphrase ? passphrase->c_str() : nullptr, refuse_passphrase, &asked, &raw);
    std::fill(text.begin(), text.end(), '\0');
    Key key(raw);
    if (asked) {
        return tl::unexpected(
            bad_key(file, "it has a passphrase, which nobody is there to type; name the file that "
                          "holds it as key-passphrase, or use a key without one, readable by the "
                          "daemon only"));
    }
    if ((result != SSH_OK || !key) && passphrase) {
        return tl::unexpected(bad_key(
            file, "the passphrase in " + target.passphrase_file +
                      " does not open it, or it is not a private key in OpenSSH or PEM form"));
    }
    if (result != SSH_OK || !key) {
        return tl::unexpected(bad_key(
            file, "it is not a private key in OpenSSH or PEM form; make one with ssh-keygen"));
    }
    return key;
}

} // namespace slotwitness::links
