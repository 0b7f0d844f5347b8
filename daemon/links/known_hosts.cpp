#include "known_hosts.hpp"

#include <openssl/evp.h>
#include <openssl/hmac.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <optional>
#include <sstream>

namespace slotwitness::links {

namespace {

using state::Problem;

constexpr std::string_view blanks = " \t";

std::string lower(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return result;
}

/// As sshd(8), "SSH_KNOWN_HOSTS FILE FORMAT": a port other than 22 puts the host in brackets.
std::string name_in_file(std::string_view host, std::uint16_t port) {
    if (port == 22) {
        return lower(host);
    }
    std::string name("[");
    name.append(lower(host)).append("]:").append(std::to_string(port));
    return name;
}

/// The algorithm name with which a key blob begins (RFC 4253, section 6.6).
std::string_view type_in_blob(std::string_view blob) {
    if (blob.size() < 4) {
        return {};
    }
    std::size_t length = 0;
    for (int byte = 0; byte < 4; ++byte) {
        length = length << 8 | static_cast<unsigned char>(blob[static_cast<std::size_t>(byte)]);
    }
    return length <= blob.size() - 4 ? blob.substr(4, length) : std::string_view{};
}

struct Hashed {
    std::string salt;
    std::string hash;
};

/// "|1|salt|hash", both base64; the hash is HMAC-SHA1 over the name, keyed with the salt.
std::optional<Hashed> read_hashed(std::string_view name) {
    constexpr std::string_view magic = "|1|";
    if (!name.starts_with(magic)) {
        return std::nullopt;
    }
    name.remove_prefix(magic.size());
    const auto bar = name.find('|');
    if (bar == std::string_view::npos) {
        return std::nullopt;
    }
    auto salt = decode_base64(name.substr(0, bar));
    auto hash = decode_base64(name.substr(bar + 1));
    constexpr std::size_t sha1_bytes = 20;
    if (!salt || !hash || hash->size() != sha1_bytes) {
        return std::nullopt;
    }
    return Hashed{std::move(*salt), std::move(*hash)};
}

bool hash_is_of(const Hashed& hashed, const std::string& name) {
    unsigned char mac[EVP_MAX_MD_SIZE];
    unsigned length = 0;
    if (!HMAC(EVP_sha1(), hashed.salt.data(), static_cast<int>(hashed.salt.size()),
              reinterpret_cast<const unsigned char*>(name.data()), name.size(), mac, &length)) {
        return false;
    }
    return std::string_view(reinterpret_cast<const char*>(mac), length) == hashed.hash;
}

bool names(const std::vector<std::string>& hosts, const std::string& name) {
    return std::any_of(hosts.begin(), hosts.end(), [&name](const std::string& host) {
        const auto hashed = read_hashed(host);
        return hashed ? hash_is_of(*hashed, name) : host == name;
    });
}

/// One field after the other of a line, with the column where it stands.
class Fields {
  public:
    explicit Fields(std::string_view line) : line_(line) { skip(); }
    [[nodiscard]] bool at_end() const { return at_ == line_.size(); }
    [[nodiscard]] std::size_t column() const { return at_ + 1; }
    [[nodiscard]] std::string_view next() {
        const auto end = std::min(line_.find_first_of(blanks, at_), line_.size());
        const auto field = line_.substr(at_, end - at_);
        at_ = end;
        skip();
        return field;
    }

  private:
    void skip() { at_ = std::min(line_.find_first_not_of(blanks, at_), line_.size()); }
    std::string_view line_;
    std::size_t at_ = 0;
};

/// Why a host name cannot stand in our store; empty if it can.
struct Complaint {
    std::string expected;
    std::string remedy;
};
std::optional<Complaint> complain_about_host(std::string_view host) {
    if (host.empty()) {
        return Complaint{"a host name between commas", "remove the extra comma"};
    }
    if (host.front() == '|') {
        if (!read_hashed(host)) {
            return Complaint{"|1|salt|hash in base64", "write the line anew with ssh-keygen -H"};
        }
        return std::nullopt;
    }
    if (host.find_first_of("*?!") != std::string_view::npos) {
        return Complaint{"a host name or address without a pattern",
                         "name each host; patterns are not accepted in this store"};
    }
    if (host.front() == '[' && host.find("]:") == std::string_view::npos) {
        return Complaint{"[host]:port", "add the port after the bracket"};
    }
    return std::nullopt;
}

} // namespace

std::optional<std::string> decode_base64(std::string_view text) {
    if (text.empty() || text.size() % 4 != 0) {
        return std::nullopt;
    }
    std::string bytes(text.size() / 4 * 3, '\0');
    const int length = EVP_DecodeBlock(reinterpret_cast<unsigned char*>(bytes.data()),
                                       reinterpret_cast<const unsigned char*>(text.data()),
                                       static_cast<int>(text.size()));
    if (length < 0) {
        return std::nullopt;
    }
    const auto padding = text.size() - (text.find_last_not_of('=') + 1);
    if (padding > 2) {
        return std::nullopt;
    }
    bytes.resize(static_cast<std::size_t>(length) - padding);
    return bytes;
}

tl::expected<KnownHosts, Problem> KnownHosts::parse(std::string_view text, std::string_view file) {
    KnownHosts store;
    std::size_t number = 0;
    auto problem = [&](std::size_t column, std::string_view found, std::string expected,
                       std::string remedy) {
        return tl::unexpected(Problem{std::string(file),
                                      {number, column},
                                      found.empty() ? "end of line" : std::string(found),
                                      std::move(expected),
                                      std::move(remedy)});
    };
    while (!text.empty()) {
        ++number;
        const auto end = std::min(text.find('\n'), text.size());
        auto content = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (content.ends_with('\r')) {
            content.remove_suffix(1);
        }
        Fields fields(content);
        if (fields.at_end() || content[fields.column() - 1] == '#') {
            continue;
        }
        Line line;
        auto column = fields.column();
        auto field = fields.next();
        if (field.starts_with('@')) {
            if (field != "@revoked") {
                return problem(column, field, "@revoked or a host name",
                               "list each device's own key; host certificates are not supported");
            }
            line.revoked = true;
            column = fields.column();
            field = fields.next();
        }
        for (std::size_t at = 0; at <= field.size();) {
            const auto comma = std::min(field.find(',', at), field.size());
            const auto host = field.substr(at, comma - at);
            if (const auto complaint = complain_about_host(host)) {
                return problem(column + at, host, complaint->expected, complaint->remedy);
            }
            line.hosts.push_back(host.front() == '|' ? std::string(host) : lower(host));
            at = comma + 1;
        }
        column = fields.column();
        line.type = fields.next();
        const auto key_column = fields.column();
        line.key = fields.next();
        const auto blob = decode_base64(line.key);
        if (!blob) {
            return problem(key_column, line.key, "a host key in base64",
                           "copy the line again, for example from ssh-keyscan, and compare the "
                           "fingerprint at the device");
        }
        if (type_in_blob(*blob) != line.type) {
            return problem(column, line.type, "the type that the key itself names",
                           "copy the whole line again; type and key do not belong together");
        }
        store.lines_.push_back(std::move(line));
    }
    return store;
}

tl::expected<KnownHosts, Problem> KnownHosts::load(const std::string& file) {
    errno = 0;
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    if (stream.peek() != std::ifstream::traits_type::eof()) {
        text << stream.rdbuf();
    }
    if (!stream.is_open() || stream.bad() || text.bad() || errno == EISDIR) {
        return tl::unexpected(Problem{file,
                                      {},
                                      std::strerror(errno != 0 ? errno : EIO),
                                      "a readable file of host keys",
                                      "create it with one line for each device, as ssh-keyscan "
                                      "prints it, and compare the fingerprint at the device"});
    }
    return parse(text.str(), file);
}

KnownHosts::Answer KnownHosts::look_up(std::string_view host, std::uint16_t port,
                                       std::string_view type, std::string_view key) const {
    const auto name = name_in_file(host, port);
    auto answer = Answer::unknown;
    for (const auto& line : lines_) {
        if (!names(line.hosts, name)) {
            continue;
        }
        const bool same = line.type == type && line.key == key;
        if (line.revoked) {
            if (same) {
                return Answer::revoked;
            }
            continue;
        }
        if (same) {
            answer = Answer::known;
        } else if (answer == Answer::unknown) {
            answer = Answer::changed;
        }
    }
    return answer;
}

std::vector<std::string> KnownHosts::types_of(std::string_view host, std::uint16_t port) const {
    const auto name = name_in_file(host, port);
    std::vector<std::string> types;
    for (const auto& line : lines_) {
        if (!line.revoked && names(line.hosts, name) &&
            std::find(types.begin(), types.end(), line.type) == types.end()) {
            types.push_back(line.type);
        }
    }
    return types;
}

} // namespace slotwitness::links
