#pragma once

#include "trail.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::card {

/// A line of an answer, as the device printed it; where a row was printed over several, all of
/// them, joined by LF.
struct Line {
    std::string asking;
    std::string capture;
    std::size_t line = 0;
    std::string text;
    friend bool operator==(const Line&, const Line&) = default;
};

/// What whole answers say of one component.
struct Seen {
    enum class Listing {
        listed,
        not_listed, ///< an answer that names every present one of its kind does not name it
        unknown,    ///< no whole answer tells
    };
    Listing listing = Listing::unknown;
    std::optional<Instant> answered; ///< when the newest answer that it rests on came
    std::optional<std::string> serial, part, revision;
    bool disagree = false;    ///< two answers give different serials: none is shown
    std::vector<Line> rows;   ///< that it was read from
    std::vector<Line> faults; ///< of alarms that name it, and lines nobody read that do
    bool alarms_known =
        false; ///< some whole answer lists alarms: none here means that none names it
};
[[nodiscard]] std::string_view to_word(Seen::Listing value);

[[nodiscard]] Seen seen(const std::map<std::string, Heard>& answers, state::Kind kind,
                        std::string_view name);

/// The serial that the device reports of the chassis itself, with the instant of that answer.
struct Serial {
    std::string text;
    Instant answered;
};
[[nodiscard]] std::optional<Serial> chassis_serial(const std::map<std::string, Heard>& answers);

} // namespace slotwitness::card
