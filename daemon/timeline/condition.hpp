#pragma once

#include <slotwitness/witness/view.hpp>

#include <string>
#include <string_view>

namespace slotwitness::timeline {

/// What one answer says of a part, in one word of the trade.
enum class Condition { operational, degraded, starting, down, shut, absent, unknown };
[[nodiscard]] std::string_view to_word(Condition value);

struct Told {
    Condition condition = Condition::unknown;
    std::string why; ///< it is unknown; else empty
};

/// As a gate would judge it: what an answer that is not whole says is unknown, and a part is absent
/// only where a whole and wholly read answer lists all of its kind.
[[nodiscard]] Told told_by(const witness::View& view, const witness::Component& component);

} // namespace slotwitness::timeline
