#pragma once

#include "procedure_finding.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::witness {

/// So many characters of a serial must be read from the rack, at least.
inline constexpr std::size_t shortest_serial_end = 4;

/// Whether `end` are the last characters of `serial`. Case, blanks and punctuation do not count:
/// labels have them, devices leave them out.
[[nodiscard]] bool is_end_of(std::string_view serial, std::string_view end);

/// Whether the technician stands at the chassis under witness: what they read from the rack beside
/// what the device reports. Another one stays lost until somebody answers for it.
class RightChassis {
  public:
    explicit RightChassis(const std::string& procedure) { finding_.procedure = procedure; }

    [[nodiscard]] const ChassisFinding& finding() const { return finding_; }
    /// It is this one, or somebody has answered for it.
    [[nodiscard]] bool is_settled() const {
        return !finding_.lost && (finding_.same == Truth::yes || finding_.accepted);
    }
    /// Why it is not, and what to do.
    [[nodiscard]] state::Problem unsettled() const;

    /// The serial by the newest whole answer that tells it; nothing: it is not known.
    void report(std::optional<std::string> serial);
    /// The problem is what is wrong with the characters.
    [[nodiscard]] std::optional<state::Problem> name(Instant at, const ChassisNamed& named);
    /// A named person takes it upon them. False: there is nothing to answer.
    [[nodiscard]] bool answer(std::string_view by, std::string_view reason);

    /// What both ends say: a sentence without its full stop.
    [[nodiscard]] std::string said() const;

  private:
    void compare();

    std::optional<std::string> serial_;
    ChassisFinding finding_;
};

} // namespace slotwitness::witness
