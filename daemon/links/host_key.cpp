#include "host_key.hpp"

#include "algorithms.hpp"
#include "bastion.hpp"
#include "handshake.hpp"

#include <libssh/libssh.h>

#include <algorithm>
#include <bit>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;
using Kind = LinkError::Kind;

namespace {

struct FreeText {
    void operator()(char* text) const { ssh_string_free_char(text); }
};
using Text = std::unique_ptr<char, FreeText>;

/// "SHA256:…", as ssh-keygen -l prints it.
std::string fingerprint_of(ssh_key key) {
    unsigned char* hash = nullptr;
    std::size_t length = 0;
    if (ssh_get_publickey_hash(key, SSH_PUBLICKEY_HASH_SHA256, &hash, &length) != 0)
        return "no fingerprint";
    const Text text(ssh_get_fingerprint_hash(SSH_PUBLICKEY_HASH_SHA256, hash, length));
    ssh_clean_pubkey_hash(&hash);
    return text ? text.get() : "no fingerprint";
}

/// The last number of an RSA key is its modulus (RFC 4253, section 6.6), as an mpint (RFC 4251).
unsigned bits_of_rsa(std::string_view blob) {
    std::string_view last;
    while (blob.size() >= 4) {
        std::size_t length = 0;
        for (const char byte : blob.substr(0, 4))
            length = length << 8 | static_cast<unsigned char>(byte);
        blob.remove_prefix(4);
        last = blob.substr(0, length);
        blob.remove_prefix(last.size());
    }
    last.remove_prefix(std::min(last.find_first_not_of('\0'), last.size()));
    if (last.empty())
        return 0;
    const auto first = static_cast<unsigned char>(last.front());
    return static_cast<unsigned>((last.size() - 1) * 8) +
           static_cast<unsigned>(std::bit_width(first));
}

unsigned bits_of(const std::string& type, const std::string& base64) {
    if (type == "ssh-ed25519" || type == "ecdsa-sha2-nistp256")
        return 256;
    if (type == "ecdsa-sha2-nistp384")
        return 384;
    if (type == "ecdsa-sha2-nistp521")
        return 521;
    return bits_of_rsa(decode_base64(base64).value_or(""));
}

/// Names of algorithms whose keys are of one type.
std::vector<algorithms::Names> by_type_of_key(const Target& target) {
    std::vector<algorithms::Names> groups;
    algorithms::Names rsa;
    for (const std::string& name : algorithms::offered(target.algorithms).host_keys)
        if (name.starts_with("rsa-") || name == "ssh-rsa")
            rsa.push_back(name);
        else
            groups.push_back({name});
    if (!rsa.empty())
        groups.push_back(std::move(rsa));
    return groups;
}

} // namespace

std::string HostKey::as_listed(const std::string& comment) const {
    const std::string family = type == "ssh-ed25519"        ? "ED25519"
                               : type.starts_with("ecdsa-") ? "ECDSA"
                                                            : "RSA";
    return std::to_string(bits) + " " + fingerprint + " " + comment + " (" + family + ")";
}

tl::expected<HostKey, LinkError> host_key_of(const Session& session) {
    ssh_key raw = nullptr;
    const int got = ssh_get_server_publickey(session.ssh(), &raw);
    const std::unique_ptr<ssh_key_struct, decltype(&ssh_key_free)> key(raw, ssh_key_free);
    char* encoded = nullptr;
    if (got != SSH_OK || ssh_pki_export_pubkey_base64(raw, &encoded) != SSH_OK)
        return tl::unexpected(
            LinkError{Kind::host_key, session.where() + ": the device showed no usable host key"});
    const Text base64(encoded);
    HostKey shown{ssh_key_type_to_char(ssh_key_type(raw)), base64.get(), fingerprint_of(raw), 0};
    shown.bits = bits_of(shown.type, shown.base64);
    return shown;
}

tl::expected<std::string, LinkError> check_host_key(const Session& session, const Target& target,
                                                    const KnownHosts& store) {
    const auto key = host_key_of(session);
    if (!key)
        return tl::unexpected(key.error());
    const auto shown =
        session.where() + " shows the host key " + key->fingerprint + " (" + key->type + ")";
    const auto refuse = [](std::string text) {
        return tl::unexpected(LinkError{Kind::host_key, std::move(text)});
    };
    if (!target.host_keys.empty()) {
        const auto& pinned = target.host_keys;
        if (std::find(pinned.begin(), pinned.end(), key->fingerprint) != pinned.end())
            return key->fingerprint;
        return refuse(shown + ", which is none of host-keys in the configuration; compare it at "
                              "the device before you add it");
    }
    switch (store.look_up(target.host, target.port, key->type, key->base64)) {
    case KnownHosts::Answer::known:
        return key->fingerprint;
    case KnownHosts::Answer::unknown:
        return refuse(shown + ", which is not in " + target.known_hosts +
                      "; compare it at the device and add its line");
    case KnownHosts::Answer::changed:
        return refuse(shown + ", but " + target.known_hosts +
                      " lists another one: the key has changed or this is not the device; compare "
                      "it at the device before you replace the line");
    case KnownHosts::Answer::revoked:
        return refuse(shown + ", which " + target.known_hosts +
                      " marks as revoked; give the device a new host key");
    }
    return refuse(shown);
}

tl::expected<KnownHosts, LinkError> trust_of(const Target& target) {
    auto store = target.host_keys.empty() ? KnownHosts::load(target.known_hosts)
                                          : KnownHosts::parse("", "host-keys");
    if (!store)
        return tl::unexpected(LinkError{Kind::host_key, state::to_text(store.error())});
    return std::move(*store);
}

asio::awaitable<tl::expected<std::vector<HostKey>, LinkError>>
show_host_keys(asio::any_io_executor executor, Target target, std::shared_ptr<Bastion> through) {
    std::vector<HostKey> keys;
    std::optional<LinkError> trouble;
    const auto use = through ? through->use() : nullptr;
    for (const algorithms::Names& names : by_type_of_key(target)) {
        const auto session = std::make_shared<Session>(
            executor, place_of(target) + ways_of(through), target.keep_alive);
        Target asked = target;
        asked.algorithms.host_keys = names;
        const auto greeted = co_await exchange_keys(session, asked, {}, through);
        if (greeted) {
            if (auto key = host_key_of(*session))
                keys.push_back(std::move(*key));
        } else if (!trouble) {
            trouble = greeted.error();
        }
        session->end({Kind::session_lost, session->where() + ": closed by us"});
        // A device that has no key of this type takes leave in the exchange; one that is not there
        // need not be asked again.
        if (!greeted && greeted.error().kind != Kind::session_lost)
            break;
    }
    if (keys.empty())
        co_return tl::unexpected(trouble.value_or(
            LinkError{Kind::host_key, place_of(target) + ": the device showed no host key"}));
    co_return keys;
}

} // namespace slotwitness::links
