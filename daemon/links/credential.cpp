#include "credential.hpp"

#include <libssh/libssh.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>

namespace slotwitness::links {

namespace {

LinkError bad_key(const std::string& file, const std::string& what) {
    return {LinkError::Kind::credential, "key file " + file + ": " + what};
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

tl::expected<Key, LinkError> read_private_key(const std::string& file) {
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
    const int result =
        ssh_pki_import_privkey_base64(text.c_str(), nullptr, refuse_passphrase, &asked, &raw);
    std::fill(text.begin(), text.end(), '\0');
    Key key(raw);
    if (asked) {
        return tl::unexpected(
            bad_key(file, "it has a passphrase, which nobody is there to type; use a key of its "
                          "own without one, readable by the daemon only"));
    }
    if (result != SSH_OK || !key) {
        return tl::unexpected(bad_key(
            file, "it is not a private key in OpenSSH or PEM form; make one with ssh-keygen"));
    }
    return key;
}

} // namespace slotwitness::links
