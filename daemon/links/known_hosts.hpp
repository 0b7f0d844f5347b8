#pragma once

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::links {

/// Nothing if it is no base64 of RFC 4648 with its padding.
[[nodiscard]] std::optional<std::string> decode_base64(std::string_view text);

/// Our own store of host keys, in OpenSSH's known_hosts format. Strict: hashed names and `@revoked`
/// are understood, `@cert-authority` and patterns are problems that name the line, never skipped in
/// silence.
class KnownHosts {
  public:
    /// `changed`: the host is in the store, this key is not. `revoked` outranks `known`.
    enum class Answer { known, changed, unknown, revoked };

    [[nodiscard]] static tl::expected<KnownHosts, state::Problem> parse(std::string_view text,
                                                                        std::string_view file);
    [[nodiscard]] static tl::expected<KnownHosts, state::Problem> load(const std::string& file);

    /// `host` without brackets; `type` as "ssh-ed25519"; `key` base64 as in the file.
    [[nodiscard]] Answer look_up(std::string_view host, std::uint16_t port, std::string_view type,
                                 std::string_view key) const;

    /// The types of the keys that are known for a host, in the file's order: what to ask the server
    /// for.
    [[nodiscard]] std::vector<std::string> types_of(std::string_view host,
                                                    std::uint16_t port) const;

  private:
    struct Line {
        bool revoked = false;
        std::vector<std::string> hosts; ///< "host", "[host]:port" or "|1|salt|hash"
        std::string type;
        std::string key;
    };
    std::vector<Line> lines_;
};

} // namespace slotwitness::links
