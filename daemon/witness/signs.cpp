#include "signs.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::witness {
namespace {

using namespace std::chrono_literals;
using state::Attribute;

/// No device has been in one state for longer: a hundred years.
constexpr Duration longest_uptime = std::chrono::hours{24 * 366 * 100};

/// Whole milliseconds of a number of seconds, cut off below them. Nothing if it is no uptime.
std::optional<Duration> milliseconds(const units::Decimal& seconds) {
    std::int64_t count = seconds.coefficient();
    if (count < 0)
        return std::nullopt;
    for (int exponent = seconds.exponent() + 3; exponent < 0; ++exponent)
        count /= 10;
    for (int exponent = seconds.exponent() + 3; exponent > 0 && count != 0; --exponent) {
        if (count > longest_uptime.count())
            return std::nullopt;
        count *= 10;
    }
    if (count > longest_uptime.count())
        return std::nullopt;
    return Duration(count);
}

std::optional<units::Quantity> quantity(const View& view, const Component& component,
                                        Attribute attribute) {
    const auto* value =
        std::get_if<units::Quantity>(view.value(component, attribute, Trust::as_read));
    return value != nullptr ? std::optional(*value) : std::nullopt;
}

Sign sign_of(const View& view, const Component& component, Look look) {
    Sign sign{{}, {}, look};
    if (const auto uptime = quantity(view, component, Attribute::uptime);
        uptime && uptime->unit == units::Unit::seconds)
        sign.uptime = milliseconds(uptime->value);
    if (const auto flaps = quantity(view, component, Attribute::flaps);
        flaps && flaps->unit == units::Unit::none)
        sign.flaps = flaps->value;
    return sign;
}

} // namespace

Duration printed_precision(Duration uptime) {
    constexpr auto spans = std::to_array<Duration>({7 * 24h, 24h, 1h, 1min});
    if (uptime > 0ms)
        for (const Duration span : spans)
            if (uptime % span == 0ms)
                return span;
    // Of 0 every unit is possible; the finest is taken, or a plane that flaps with every look would
    // pass.
    return 1s;
}

bool moved(const Sign& former, const Sign& latter, Duration refresh) {
    if (former.flaps && latter.flaps && *former.flaps != *latter.flaps)
        return true;
    if (!former.uptime || !latter.uptime)
        return false;
    if (*latter.uptime < *former.uptime)
        return true;
    const Instant former_began_by = former.look.answered - *former.uptime;
    const Instant latter_began_after =
        latter.look.asked - refresh - *latter.uptime - printed_precision(*latter.uptime);
    return latter_began_after >= former_began_by;
}

Signs::Step Signs::step(const View& view, const std::set<Component>& read, Look look,
                        Duration refresh) {
    Step step{std::nullopt, !read.empty()};
    std::map<Component, Sign> newest;
    for (const Component& component : read) {
        Sign sign = sign_of(view, component, look);
        step.all_tell = step.all_tell && (sign.uptime || sign.flaps);
        if (const auto found = signs_.find(component); found != signs_.end()) {
            const Sign& before = found->second;
            if (!step.moved && moved(before, sign, refresh))
                step.moved = component;
            // What this look does not tell is kept, so that a move across it is seen later.
            if (!sign.flaps)
                sign.flaps = before.flaps;
            if (!sign.uptime) {
                sign.uptime = before.uptime;
                sign.look = before.look;
            }
        }
        if (sign.uptime || sign.flaps) // of most there is nothing to keep
            newest.emplace(component, sign);
    }
    signs_ = std::move(newest);
    return step;
}

} // namespace slotwitness::witness
