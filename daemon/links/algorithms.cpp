#include "algorithms.hpp"

#include <libssh/libssh.h>

#include <algorithm>

namespace slotwitness::links {

namespace algorithms {

const Algorithms& ours() {
    // Curves first: a handshake costs about 1 ms of the event loop, with group 16 about 18 ms.
    static const Algorithms lists{
        {"curve25519-sha256", "curve25519-sha256@libssh.org", "ecdh-sha2-nistp256",
         "ecdh-sha2-nistp384", "ecdh-sha2-nistp521", "diffie-hellman-group14-sha256",
         "diffie-hellman-group16-sha512"},
        {"ssh-ed25519", "ecdsa-sha2-nistp256", "ecdsa-sha2-nistp384", "ecdsa-sha2-nistp521",
         "rsa-sha2-512", "rsa-sha2-256"},
        {"chacha20-poly1305@openssh.com", "aes256-ctr", "aes192-ctr", "aes128-ctr"},
        {"hmac-sha2-256-etm@openssh.com", "hmac-sha2-512-etm@openssh.com", "hmac-sha2-256",
         "hmac-sha2-512"}};
    return lists;
}

const Algorithms& by_name_alone() {
    static const Algorithms lists{
        {"diffie-hellman-group14-sha1", "diffie-hellman-group-exchange-sha1",
         "diffie-hellman-group1-sha1", "diffie-hellman-group-exchange-sha256",
         "diffie-hellman-group18-sha512"},
        {"ssh-rsa"},
        {"aes256-cbc", "aes192-cbc", "aes128-cbc", "3des-cbc"},
        {"hmac-sha1-etm@openssh.com", "hmac-sha1"}};
    return lists;
}

Algorithms offered(const Algorithms& wanted) {
    const auto either = [](const Names& list, const Names& otherwise) {
        return list.empty() ? otherwise : list;
    };
    return {either(wanted.key_exchange, ours().key_exchange),
            either(wanted.host_keys, ours().host_keys), either(wanted.ciphers, ours().ciphers),
            either(wanted.macs, ours().macs)};
}

bool is_weak(std::string_view name) {
    return name == "ssh-rsa" || name.ends_with("-cbc") || name.ends_with("-sha1") ||
           name.find("hmac-sha1") != std::string_view::npos;
}

} // namespace algorithms

std::vector<std::string> Agreed::weak() const {
    std::vector<std::string> found;
    for (const std::string& name :
         {key_exchange, host_key, cipher_to, cipher_from, mac_to, mac_from})
        if (algorithms::is_weak(name) && std::find(found.begin(), found.end(), name) == found.end())
            found.push_back(name);
    return found;
}

tl::expected<Agreed, LinkError> agreed_in(ssh_session ssh, const std::string& where,
                                          const Algorithms& wanted) {
    const auto text = [](const char* name) { return std::string(name != nullptr ? name : ""); };
    const Algorithms lists = algorithms::offered(wanted);
    Agreed agreed{text(ssh_get_kex_algo(ssh)),   "",
                  text(ssh_get_cipher_out(ssh)), text(ssh_get_cipher_in(ssh)),
                  text(ssh_get_hmac_out(ssh)),   text(ssh_get_hmac_in(ssh))};
    ssh_key key = nullptr;
    if (ssh_get_server_publickey(ssh, &key) == SSH_OK)
        agreed.host_key = text(ssh_key_type_to_char(ssh_key_type(key)));
    ssh_key_free(key);
    // Which signature an RSA key gave is not told: if the weak one was offered, it counts.
    const auto has = [](const algorithms::Names& list, const std::string& name) {
        return std::find(list.begin(), list.end(), name) != list.end();
    };
    if (agreed.host_key == "ssh-rsa" && !has(lists.host_keys, "ssh-rsa"))
        agreed.host_key = has(lists.host_keys, "rsa-sha2-512") ? "rsa-sha2-512" : "rsa-sha2-256";
    const auto not_offered = [&]() -> std::string {
        if (!has(lists.key_exchange, agreed.key_exchange))
            return agreed.key_exchange;
        if (!has(lists.host_keys, agreed.host_key))
            return agreed.host_key;
        for (const auto& [cipher, mac] : {std::pair{agreed.cipher_to, agreed.mac_to},
                                          std::pair{agreed.cipher_from, agreed.mac_from}}) {
            if (!has(lists.ciphers, cipher))
                return cipher;
            // A cipher that authenticates by itself has no MAC beside it.
            if (!mac.starts_with("aead-") && !has(lists.macs, mac))
                return mac;
        }
        return "";
    }();
    if (!not_offered.empty())
        return tl::unexpected(
            LinkError{LinkError::Kind::misuse,
                      where + ": the session would use " + not_offered +
                          ", which was not offered; report this as a defect of slotwitness"});
    return agreed;
}

} // namespace slotwitness::links
