#pragma once

#include <slotwitness/journal/utf8.hpp>
#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <rapidcheck.h>

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

/// Any event and any finding that the journal may be given, for properties.
namespace slotwitness::journal::test {

inline std::string text() {
    return as_utf8(*rc::gen::arbitrary<std::string>());
}

inline std::vector<std::string> texts() {
    std::vector<std::string> out(*rc::gen::inRange<std::size_t>(0, 4));
    for (std::string& one : out)
        one = text();
    return out;
}

inline bool flag() {
    return *rc::gen::arbitrary<bool>();
}
inline std::int64_t any_integer() {
    return *rc::gen::arbitrary<std::int64_t>();
}
inline std::uint64_t any_count() {
    return *rc::gen::arbitrary<std::uint64_t>();
}

/// Events keep every instant and duration.
inline units::Instant any_instant() {
    return units::Instant{units::Duration{any_integer()}};
}
inline units::Duration any_duration() {
    return units::Duration{any_integer()};
}

/// Findings keep those that RFC 3339 can write, and durations that a double holds to the
/// millisecond.
inline units::Instant instant() {
    return units::Instant{units::Duration{*rc::gen::inRange<std::int64_t>(0, 253402300800000)}};
}
inline units::Duration duration() {
    return units::Duration{*rc::gen::inRange<std::int64_t>(0, std::int64_t{1} << 52)};
}

inline state::Position position() {
    return {*rc::gen::inRange<std::size_t>(0, 1'000'000), *rc::gen::inRange<std::size_t>(0, 1000)};
}

/// Any of an enumeration whose values run from 0 to `last`.
template <class Enum>
Enum any_up_to(Enum last) {
    return static_cast<Enum>(*rc::gen::inRange(0, static_cast<int>(last) + 1));
}

template <class Make>
auto perhaps(Make make) {
    return flag() ? std::optional(make()) : std::nullopt;
}

inline witness::RunStarted run_started() {
    witness::RunStarted out;
    out.boot_id = text();
    out.boottime_ms = any_integer();
    out.wall_ms = any_integer();
    out.wall_synchronised = flag();
    out.offset_ms = any_integer();
    out.elapsed_known = flag();
    out.profile = text();
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
        out.inventory[any_up_to(state::Kind::alarm)] = texts();
    out.peak_load = perhaps([] {
        return *units::Decimal::of(*rc::gen::inRange<std::int64_t>(-1'000'000, 1'000'000),
                                   *rc::gen::inRange(-12, 13));
    });
    return out;
}

inline witness::Answered answered() {
    witness::Answered out;
    out.round = any_count();
    out.asking = text();
    out.asked = any_instant();
    out.capture = text();
    out.ending.ended = flag();
    out.ending.exit_status = perhaps([] { return *rc::gen::arbitrary<int>(); });
    out.ending.remark = text();
    out.ending.proven = flag();
    return out;
}

inline witness::GateOpened gate_opened() {
    return {text(),         text(),         texts(), any_duration(),
            any_duration(), any_duration(), text(),  text()};
}

inline witness::Event event() {
    witness::Event out;
    out.at = any_instant();
    switch (*rc::gen::inRange(0, 8)) {
    case 0:
        out.what = run_started();
        break;
    case 1:
        out.what = witness::RoundStarted{any_count(), texts()};
        break;
    case 2:
        out.what = answered();
        break;
    case 3:
        out.what = witness::Failed{any_count(), text(), any_instant(),
                                   any_up_to(witness::NoAnswer::internal), text()};
        break;
    case 4:
        out.what = gate_opened();
        break;
    case 5:
        out.what = witness::GateClosed{text(), text()};
        break;
    case 6:
        out.what = witness::BaselineWanted{texts(), text()};
        break;
    default:
        out.what = witness::Tick{};
    }
    return out;
}

inline witness::Cite cite() {
    return {text(), text(), position(), text()};
}

inline witness::GateFinding gate_finding() {
    witness::GateFinding out;
    out.id = text();
    out.sentence = text();
    out.verdict = any_up_to(witness::Verdict::cancelled);
    out.failure = perhaps([] { return any_up_to(witness::Failure::not_seen); });
    out.standing = perhaps([] { return any_up_to(witness::Standing::unseen); });
    out.truth = any_up_to(witness::Truth::yes);
    out.because = {any_up_to(witness::Reason::cancelled), text(), {}};
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
        out.because.cites.push_back(cite());
    out.opened = instant();
    out.deadline = perhaps(instant);
    out.decided = perhaps(instant);
    out.last_look = perhaps([] { return witness::Look{instant(), instant()}; });
    out.held = duration();
    out.needs = duration();
    out.guarded = flag();
    out.retired = flag();
    out.valid_until = flag() ? instant() : units::Instant::max();
    return out;
}

inline witness::Finding finding() {
    switch (*rc::gen::inRange(0, 6)) {
    case 0:
        return witness::RoundMissed{any_count(), texts(), text()};
    case 1:
        return witness::GateRefused{text(), {text(), position(), text(), text(), text()}};
    case 2:
        return witness::InventoryFixed{any_up_to(state::Kind::alarm), texts()};
    case 3: {
        witness::BaselineFixed fixed{any_count(), instant(), {}, text()};
        for (const std::string& asking : texts())
            fixed.captures[asking] = text();
        return fixed;
    }
    default:
        return gate_finding();
    }
}

inline std::vector<witness::Finding> findings() {
    std::vector<witness::Finding> out;
    for (int i = *rc::gen::inRange(0, 4); i > 0; --i)
        out.push_back(finding());
    return out;
}

} // namespace slotwitness::journal::test
