#pragma once

#include <slotwitness/journal/utf8.hpp>
#include <slotwitness/witness/event.hpp>

#include <rapidcheck.h>

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

/// Any event that the journal may be given, for properties.
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
    out.cut = perhaps([] { return witness::RoundStarted{any_count(), texts()}; });
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
        out.lost.push_back({text(), any_up_to(witness::StopAnswered::Of::cooling), text()});
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

inline witness::SentencePlan sentence_plan() {
    return {text(), texts(), any_duration(), any_duration()};
}

inline witness::Advice advice() {
    return {text(), text()};
}

inline witness::StepPlan step_plan() {
    witness::StepPlan out;
    out.name = text();
    out.technician = flag();
    out.act = text();
    out.confirm = perhaps(text);
    out.cautions = texts();
    out.if_wrong = advice();
    out.fact = sentence_plan();
    out.effect = perhaps(sentence_plan);
    out.until = text();
    out.undoes = text();
    out.takes = perhaps(any_duration);
    return out;
}

template <class Make>
auto some(Make make) {
    std::vector<decltype(make())> out;
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
        out.push_back(make());
    return out;
}

inline witness::Component component() {
    return {any_up_to(state::Kind::alarm), text()};
}

inline witness::HandbackPlan handback_plan() {
    return {{any_up_to(witness::Work::look_only), perhaps(component), text()},
            some([] {
                return witness::Exception{component(), text()};
            }),
            any_duration(),
            any_duration()};
}

inline witness::ProcedureOpened procedure_opened() {
    witness::ProcedureOpened out;
    out.id = text();
    out.title = text();
    out.text = text();
    for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
        out.arguments[text()] = text();
    out.whole = texts();
    out.handback = handback_plan();
    out.steps = some(step_plan);
    out.back_out = some(step_plan);
    out.rules = some([] {
        return witness::RulePlan{text(), text(), sentence_plan(), text(), text(), perhaps(advice)};
    });
    out.cooling = perhaps([] {
        return witness::CoolingPlan{text(),
                                    sentence_plan(),
                                    text(),
                                    text(),
                                    text(),
                                    any_duration(),
                                    {{text(), perhaps([] { return *units::Decimal::of(855, -1); }),
                                      texts(), any_duration()}},
                                    perhaps(any_duration)};
    });
    out.by = text();
    out.ticket = text();
    out.window = text();
    out.approver = text();
    out.idempotency_key = text();
    out.undo = any_duration();
    out.warnings = texts();
    return out;
}

inline witness::StepAct step_act() {
    return {text(), text(), any_count(), text()};
}

/// What happens in a procedure.
inline decltype(witness::Event::what) work() {
    switch (*rc::gen::inRange(0, 13)) {
    case 0:
        return procedure_opened();
    case 10:
        return witness::DifferenceWaived{text(), component(), text(), text()};
    case 11:
        return witness::StepUnconfirmed{step_act()};
    case 1:
        return witness::StepReleased{step_act()};
    case 2:
        return witness::StepConfirmed{step_act(), text(), text()};
    case 3:
        return witness::StepTriedAgain{step_act()};
    case 4:
        return witness::StepForced{step_act(), flag(), text()};
    case 5:
        return witness::StopAnswered{text(), any_up_to(witness::StopAnswered::Of::serial), text(),
                                     text(), text()};
    case 6:
        return witness::BackOutBegun{text(), text(), text()};
    case 7:
        return witness::ShiftTaken{text(), text()};
    case 8:
        return witness::ForecastMade{text(), text(),      perhaps(any_instant),
                                     text(), any_count(), any_count()};
    case 9:
        return witness::ChassisNamed{text(), text(), text(), text()};
    default:
        return witness::ProcedureClosed{text(), any_up_to(witness::Closing::closed_degraded),
                                        text(), text(), text()};
    }
}

inline witness::Event event() {
    witness::Event out;
    out.at = any_instant();
    switch (*rc::gen::inRange(0, 16)) {
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
    case 7:
        out.what = witness::Tick{};
        break;
    case 8:
        out.what = witness::SessionOpened{text(), text(), text(), text(), text(),
                                          text(), text(), text(), text(), texts()};
        break;
    default:
        out.what = work();
    }
    return out;
}

} // namespace slotwitness::journal::test
