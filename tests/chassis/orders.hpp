#pragma once

#include "faults.hpp"
#include "words.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace slotwitness::chassis {

struct MoveDrive {
    bool engage = false;
    Part part = Part::plane;
    std::string name;
};
struct Lead {
    std::string controller;
};
struct Pull {
    Part part = Part::tray;
    std::string name;
};
struct Seat {
    Part part = Part::tray;
    std::string name;
    std::optional<std::string> serial;
    std::optional<std::string> build;
};
struct Flap {
    std::string port;
};
struct Cross {
    std::string port;
    std::string other;
};
struct Wear {
    enum class What { sensor, feed, neighbour };
    bool broken = false; ///< else mended
    What what = What::sensor;
    std::string name; ///< of the sensor, the supply, the port
};
struct Stick {
    std::string sensor;
    double value = 0; ///< that it tells until it is mended
};
struct OfferLoad {
    std::int64_t gbps = 0;
};
struct SetRoom {
    double celsius = 0;
};
struct Remark {}; ///< it says something unasked
struct ClearFaults {};
struct DropSessions {}; ///< all of them, now
struct TellState {};

/// What a line of the control socket asks for.
using Order = std::variant<MoveDrive, Lead, Pull, Seat, Cross, Flap, Wear, Stick, OfferLoad,
                           SetRoom, Remark, Fault, ClearFaults, DropSessions, TellState>;

/// Where a line could not be read, and what may stand there.
struct Misread {
    std::size_t column = 1;
    std::string found;
    std::string expected;
};

/// The forms are listed in DEVELOPERS.md. Words are parted by blanks.
[[nodiscard]] tl::expected<Order, Misread> parse_order(std::string_view line);

} // namespace slotwitness::chassis
