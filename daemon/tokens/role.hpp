#pragma once

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::tokens {

/// What a person does here; api/README.md, "Who may do what".
enum class Role : std::uint8_t {
    viewer,   ///< looks
    rack,     ///< at the rack of one procedure: sees it, and confirms what the technician does
    engineer, ///< gates, procedures, releases, acts
    auditor,  ///< looks, and takes the evidence
};
[[nodiscard]] std::string_view to_word(Role role);
[[nodiscard]] std::optional<Role> role_of(std::string_view word);
[[nodiscard]] std::vector<std::string> role_words();

/// A set of roles; a value that can stand in a table.
class Roles {
  public:
    constexpr Roles(std::initializer_list<Role> roles) {
        for (const Role role : roles)
            bits_ |= bit(role);
    }
    [[nodiscard]] constexpr bool contains(Role role) const { return (bits_ & bit(role)) != 0; }

  private:
    static constexpr unsigned bit(Role role) { return 1U << static_cast<unsigned>(role); }
    unsigned bits_ = 0;
};
/// "engineer, auditor"
[[nodiscard]] std::string to_text(Roles roles);

} // namespace slotwitness::tokens
