#pragma once

#include <slotwitness/sentences/sentence.hpp>

#include <rapidcheck.h>

#include <span>

/// Random sentences of every form that the language can say.
namespace slotwitness::sentences {

inline rc::Gen<std::string> random_name() {
    return rc::gen::oneOf(
        rc::gen::element<std::string>("3", "FAB3", "eth1", "0/1:2", "up", "every", "for", "\"",
                                      "\\", "a \\\" b", " ", "Lüfter 1", "locked", "10", "s", "(",
                                      ","),
        rc::gen::nonEmpty(rc::gen::container<std::string>(rc::gen::inRange(' ', '\x7f'))));
}

template <class Word>
rc::Gen<Word> random_word() {
    const std::span<const Word> words = state::words_of<Word>();
    return rc::gen::elementOf(std::vector<Word>(words.begin(), words.end()));
}

inline rc::Gen<Trade> random_trade() {
    return rc::gen::element(Trade::up, Trade::operational, Trade::degraded, Trade::down,
                            Trade::shut, Trade::present, Trade::absent, Trade::starting);
}

inline Named a_named(state::Kind kind) {
    return {kind, *random_name()};
}

inline Group a_group(state::Kind kind) {
    Group group;
    group.kind = kind;
    group.except = *rc::gen::resize(3, rc::gen::container<std::vector<std::string>>(random_name()));
    if (group.kind == state::Kind::plane && *rc::gen::arbitrary<bool>())
        group.served_by = a_named(state::Kind::module);
    if (group.kind == state::Kind::module && *rc::gen::arbitrary<bool>())
        group.served_by = a_named(state::Kind::fan_tray);
    return group;
}

inline Group a_group() {
    return a_group(*random_word<state::Kind>());
}

inline std::variant<Named, Group> a_subject(bool of_capacity) {
    const auto kind = of_capacity ? *rc::gen::element(state::Kind::plane, state::Kind::module)
                                  : *random_word<state::Kind>();
    if (*rc::gen::arbitrary<bool>())
        return a_group(kind);
    return a_named(kind);
}

template <class Word>
Standard a_standard(state::Attribute attribute) {
    return {attribute, *random_word<Word>()};
}

inline units::Decimal a_decimal(std::int64_t least) {
    return *units::Decimal::of(*rc::gen::inRange<std::int64_t>(least, 100'000),
                               *rc::gen::inRange(-3, 4));
}

inline Predicate a_predicate() {
    switch (*rc::gen::inRange(0, 9)) {
    case 0:
        return a_standard<state::AdminState>(state::Attribute::admin);
    case 1:
        return a_standard<state::OperState>(state::Attribute::oper);
    case 2:
        return a_standard<state::UsageState>(state::Attribute::usage);
    case 3:
        return a_standard<state::StandbyState>(state::Attribute::standby);
    case 4:
        return a_standard<state::AlarmState>(state::Attribute::alarm);
    case 5:
        return a_standard<state::Severity>(state::Attribute::severity);
    case 6:
        return a_standard<state::SensorStatus>(state::Attribute::sensor_status);
    case 7:
        return Measured{
            *rc::gen::element(Comparison::below, Comparison::at_most, Comparison::above,
                              Comparison::at_least),
            {a_decimal(-100'000),
             *rc::gen::element(units::Unit::celsius, units::Unit::watts, units::Unit::volts,
                               units::Unit::amperes, units::Unit::hertz, units::Unit::percent,
                               units::Unit::rpm, units::Unit::cubic_metres_per_minute,
                               units::Unit::bits_per_second, units::Unit::newton_metres,
                               units::Unit::seconds)}};
    default:
        return *random_trade();
    }
}

inline std::optional<state::Severity> a_threshold() {
    const auto severity = *random_word<state::Severity>();
    return severity == state::Severity::cleared ? std::nullopt : std::optional{severity};
}

inline Earlier an_earlier() {
    switch (*rc::gen::inRange(0, 4)) {
    case 0:
        return {NoNewAlarm{a_threshold()}};
    case 1:
        return {TextCompared{
            a_subject(false),
            *rc::gen::element(state::Attribute::serial, state::Attribute::part,
                              state::Attribute::hardware_rev, state::Attribute::software_rev,
                              state::Attribute::system_name, state::Attribute::port_id),
            *rc::gen::arbitrary<bool>()}};
    case 2:
        return {StillIs{a_group(), *random_trade(), a_predicate()}};
    default:
        return {ErrorsNotRising{a_subject(false)}};
    }
}

inline Condition a_condition(int depth);

inline std::vector<Condition> some_conditions(int depth, int least, int most) {
    std::vector<Condition> conditions(static_cast<std::size_t>(*rc::gen::inRange(least, most + 1)));
    for (Condition& condition : conditions)
        condition = a_condition(depth);
    return conditions;
}

inline Condition a_condition(int depth) {
    switch (*rc::gen::inRange(0, depth > 0 ? 9 : 6)) {
    case 0:
        return {OneIs{a_named(*random_word<state::Kind>()), a_predicate()}};
    case 1:
        return {EveryIs{a_group(), a_predicate()}};
    case 2: {
        const bool at_least = *rc::gen::arbitrary<bool>();
        return {CountIs{at_least, *rc::gen::inRange<std::uint32_t>(at_least ? 1 : 0, 100),
                        a_group(), *rc::gen::arbitrary<bool>(), a_predicate()}};
    }
    case 3:
        return {NoAlarm{a_threshold()}};
    case 4:
        return {CapacityCovers{a_subject(true), a_decimal(0)}};
    case 5:
        return {an_earlier()};
    case 6:
        return {Not{some_conditions(depth - 1, 1, 1)}};
    case 7:
        return {And{some_conditions(depth - 1, 2, 3)}};
    default:
        return {Or{some_conditions(depth - 1, 2, 3)}};
    }
}

inline rc::Gen<Sentence> random_sentence() {
    return rc::gen::exec([] {
        Sentence sentence;
        sentence.condition = a_condition(3);
        const std::int64_t longest = longest_duration.count();
        if (*rc::gen::arbitrary<bool>())
            sentence.hold = units::Duration{*rc::gen::inRange<std::int64_t>(1, longest)};
        if (*rc::gen::arbitrary<bool>()) {
            const std::int64_t least = sentence.hold ? sentence.hold->count() + 1 : 1;
            sentence.within = units::Duration{*rc::gen::inRange<std::int64_t>(least, longest + 1)};
        }
        return sentence;
    });
}

} // namespace slotwitness::sentences
