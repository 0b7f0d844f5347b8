#pragma once

#include <slotwitness/state/reading.hpp>
#include <slotwitness/units/time.hpp>
#include <slotwitness/witness/view.hpp>

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace slotwitness::ready {

struct Answer {
    witness::Ending ending;
    std::shared_ptr<const state::Reading> reading; ///< never null
};

/// One query, asked once.
struct Tried {
    std::string asking;  ///< its key
    std::string request; ///< the bytes that ask it
    units::Duration took{0};
    std::variant<Answer, witness::Silent> came;
};

/// Every query asked once, one after the other, in a session of its own.
struct Look {
    units::Instant at;
    units::Duration to_open{0};            ///< how long it took to have a session
    std::optional<std::string> no_session; ///< why there was none, with the remedy
    std::vector<Tried> tried;              ///< in order; what a lost session left out is not there

    [[nodiscard]] const Tried* of(std::string_view asking) const;
    /// What its answer read; null without one.
    [[nodiscard]] const state::Reading* reading_of(std::string_view asking) const;
    [[nodiscard]] units::Duration took() const;
};

} // namespace slotwitness::ready
