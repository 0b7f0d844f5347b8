#include "right_chassis.hpp"

#include "serial.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {
namespace {

std::string last(const std::string& text, std::size_t count) {
    return text.substr(text.size() - std::min(text.size(), count));
}

} // namespace

bool is_end_of(std::string_view serial, std::string_view end) {
    return bare_serial(serial).ends_with(bare_serial(end));
}

state::Problem RightChassis::unsettled() const {
    if (finding_.read.empty())
        return {"chassis",
                {},
                "nobody has read the chassis serial from the rack",
                "the technician at the right chassis",
                "Let the technician read the last characters of the chassis serial from the rack, "
                "and give them."};
    return {"chassis",
            {},
            said(),
            "the serial read from the rack, as the device reports it",
            "Answer for it with your name and the reason, or let the technician read it again."};
}

void RightChassis::report(std::optional<std::string> serial) {
    if (serial == serial_)
        return;
    serial_ = std::move(serial);
    if (serial_)
        compare();
}

std::optional<state::Problem> RightChassis::name(Instant at, const ChassisNamed& named) {
    std::string end = bare_serial(named.serial_end);
    if (end.size() < shortest_serial_end)
        return state::Problem{"chassis",
                              {},
                              end.empty() ? "no letter and no digit" : end,
                              "at least the last " + std::to_string(shortest_serial_end) +
                                  " characters of the chassis serial",
                              "Read them from the rack, not from a list."};
    finding_.read = std::move(end);
    finding_.named = at;
    finding_.by = named.by;
    finding_.on_behalf_of = named.on_behalf_of;
    finding_.accepted = false; // that was answered for what was read before
    compare();
    return std::nullopt;
}

void RightChassis::compare() {
    if (finding_.read.empty())
        return;
    finding_.reported = serial_ ? last(bare_serial(*serial_), finding_.read.size()) : "";
    const Truth before = finding_.same;
    finding_.same = finding_.reported.empty()            ? Truth::unknown
                    : is_end_of(*serial_, finding_.read) ? Truth::yes
                                                         : Truth::no;
    // Who answered for a serial that was not known has not answered for another one.
    if (finding_.same == Truth::yes || (finding_.same == Truth::no && before != Truth::no))
        finding_.accepted = false;
    if (finding_.same == Truth::no && !finding_.accepted)
        finding_.lost = true;
}

bool RightChassis::answer(std::string_view by, std::string_view reason) {
    const bool is_unknown = !finding_.read.empty() && finding_.same == Truth::unknown;
    if (!finding_.lost && (!is_unknown || finding_.accepted))
        return false;
    finding_.lost = false;
    finding_.accepted = finding_.same != Truth::yes;
    finding_.answered_by = by;
    finding_.answer = reason;
    return true;
}

std::string RightChassis::said() const {
    return "The serial read from the rack ends in " + finding_.read + ", and the device reports " +
           (finding_.reported.empty() ? "none" : finding_.reported);
}

} // namespace slotwitness::witness
