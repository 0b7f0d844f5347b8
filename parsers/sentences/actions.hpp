#pragma once

#include "messages.hpp"
#include "sentence.hpp"

#include <tao/pegtl/contrib/limit_depth.hpp>

#include <array>
#include <charconv>
#include <utility>

/// What the rules of a condition do; for parse.cpp alone. A rule writes to scratch that only its
/// enclosing rule commits, since an action that has fired is not undone when the parser steps back.
namespace slotwitness::sentences::actions {

namespace p = tao::pegtl;

/// Conditions of one level of `and`, `or`, `not` or parentheses.
struct Operands {
    std::vector<Condition> read;
};

/// One condition without connectives, while it is read.
struct Scratch {
    Condition condition;
    state::Kind kind = state::Kind::plane;
    std::string name;
    Named subject;
    Group group;
    bool is_group = false;
    bool negated = false;
    Comparison comparison = Comparison::below;
    std::string number;
    std::size_t number_at = 0;
    Predicate predicate;
    CountIs count;
    std::optional<state::Severity> severity;
    state::Attribute attribute = state::Attribute::serial;
    bool differs = false;
    std::optional<Trade> was;
    bool text_compared = false;
    units::Decimal margin;

    [[nodiscard]] std::variant<Named, Group> whom() const {
        return is_group ? std::variant<Named, Group>{group} : subject;
    }
};

template <class Input>
std::size_t column_of(const Input& in) {
    return in.position().column;
}

template <class Rule>
struct Action : p::nothing<Rule> {};

// Names and kinds.
struct TakesKind {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.kind = *state::from_word<state::Kind>(in.string_view());
    }
};
template <>
struct Action<g::plane_kind> : TakesKind {};
template <>
struct Action<g::module_kind> : TakesKind {};
template <>
struct Action<g::other_kind> : TakesKind {};

template <>
struct Action<g::open_quote> {
    static void apply0(Scratch& s) { s.name.clear(); }
};
struct TakesCharacter {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.name += in.string_view();
    }
};
template <>
struct Action<g::quoted_char> : TakesCharacter {};
template <>
struct Action<g::escaped_char> : TakesCharacter {};
template <>
struct Action<g::bare_name> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.name = in.string();
    }
};
template <>
struct Action<g::subject_name> {
    static void apply0(Scratch& s) { s.subject = {s.kind, s.name}; }
};
template <>
struct Action<g::except_name> {
    static void apply0(Scratch& s) { s.group.except.push_back(s.name); }
};
template <>
struct Action<g::server_module> {
    static void apply0(Scratch& s) { s.group.served_by = {state::Kind::module, {}}; }
};
template <>
struct Action<g::server_fan_tray> {
    static void apply0(Scratch& s) { s.group.served_by = {state::Kind::fan_tray, {}}; }
};
template <>
struct Action<g::server_name> {
    static void apply0(Scratch& s) { s.group.served_by->name = s.name; }
};
template <>
struct Action<g::whole_group> {
    static void apply0(Scratch& s) {
        s.group.kind = s.kind;
        s.is_group = true;
    }
};

// Predicates.
template <>
struct Action<g::trade> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        static constexpr std::array trades{Trade::up,     Trade::operational, Trade::degraded,
                                           Trade::down,   Trade::shut,        Trade::present,
                                           Trade::absent, Trade::starting};
        for (const Trade trade : trades)
            if (to_word(trade) == in.string_view())
                s.predicate = trade;
    }
};
template <class Word, state::Attribute attribute>
struct TakesStandard {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.predicate = Standard{attribute, *state::from_word<Word>(in.string_view())};
    }
};
template <>
struct Action<g::admin_state> : TakesStandard<state::AdminState, state::Attribute::admin> {};
template <>
struct Action<g::oper_state> : TakesStandard<state::OperState, state::Attribute::oper> {};
template <>
struct Action<g::usage_state> : TakesStandard<state::UsageState, state::Attribute::usage> {};
template <>
struct Action<g::standby_state> : TakesStandard<state::StandbyState, state::Attribute::standby> {};
template <>
struct Action<g::alarm_state> : TakesStandard<state::AlarmState, state::Attribute::alarm> {};
template <>
struct Action<g::severity_word> : TakesStandard<state::Severity, state::Attribute::severity> {};
template <>
struct Action<g::sensor_status>
    : TakesStandard<state::SensorStatus, state::Attribute::sensor_status> {};

template <Comparison comparison>
struct TakesComparison {
    static void apply0(Scratch& s) { s.comparison = comparison; }
};
template <>
struct Action<g::below> : TakesComparison<Comparison::below> {};
template <>
struct Action<g::above> : TakesComparison<Comparison::above> {};
template <>
struct Action<g::at_most> : TakesComparison<Comparison::at_most> {};
template <>
struct Action<g::at_least> : TakesComparison<Comparison::at_least> {};
template <>
struct Action<g::number> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.number = in.string();
        s.number_at = column_of(in);
    }
};
template <>
struct Action<g::unit> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        if (!units::Decimal::parse(s.number))
            throw Refusal{s.number_at,
                          {"a number of at most 18 digits", "round the limit, as in \"45 C\""}};
        std::string text = s.number;
        text.append(" ").append(in.string_view());
        const auto limit = units::parse_quantity(text);
        if (!limit)
            throw Refusal{column_of(in), message<g::no_unit>};
        s.predicate = Measured{s.comparison, *limit};
    }
};
template <>
struct Action<g::negated> {
    static void apply0(Scratch& s) { s.negated = true; }
};

// What was seen earlier.
template <>
struct Action<g::text_attribute> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.attribute = *state::from_word<state::Attribute>(in.string_view());
    }
};
template <>
struct Action<g::differs> {
    static void apply0(Scratch& s) { s.differs = true; }
};
template <>
struct Action<g::text_compared> {
    static void apply0(Scratch& s) { s.text_compared = true; }
};
template <>
struct Action<g::was> {
    static void apply0(Scratch& s) { s.was = std::get<Trade>(s.predicate); }
};
template <>
struct Action<g::least_severity> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        s.severity = state::from_word<state::Severity>(in.string_view());
    }
};

// Each form commits what it gathered.
template <>
struct Action<g::one_is> {
    static void apply0(Scratch& s) {
        const Condition plain =
            s.text_compared ? Condition{Earlier{TextCompared{s.subject, s.attribute, s.differs}}}
                            : Condition{OneIs{s.subject, s.predicate}};
        s.condition = s.negated ? Condition{Not{{plain}}} : plain;
    }
};
template <>
struct Action<g::every_is> {
    static void apply0(Scratch& s) {
        if (s.text_compared)
            s.condition.node = Earlier{TextCompared{s.group, s.attribute, s.differs}};
        else if (s.was)
            s.condition.node = Earlier{StillIs{s.group, *s.was, s.predicate}};
        else
            s.condition.node = EveryIs{s.group, s.predicate};
    }
};
template <>
struct Action<g::count_least> {
    static void apply0(Scratch& s) { s.count.at_least = true; }
};
template <>
struct Action<g::limit> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        const auto read = std::from_chars(in.begin(), in.end(), s.count.limit);
        if (read.ec != std::errc{})
            throw Refusal{column_of(in),
                          {"a whole number below 4294967296", message<g::no_count>.remedy}};
        if (s.count.at_least && s.count.limit == 0)
            throw Refusal{
                column_of(in),
                {"a number above 0", "\"at least 0\" is always so: say how many are needed"}};
    }
};
template <>
struct Action<g::count_is> {
    static void apply0(Scratch& s) {
        s.condition.node =
            CountIs{s.count.at_least, s.count.limit, s.group, s.negated, s.predicate};
    }
};
template <>
struct Action<g::alarm_listed> {
    static void apply0(Scratch& s) { s.condition.node = NoAlarm{s.severity}; }
};
template <>
struct Action<g::alarm_new> {
    static void apply0(Scratch& s) { s.condition.node = Earlier{NoNewAlarm{s.severity}}; }
};
template <>
struct Action<g::percentage> {
    template <class Input>
    static void apply(const Input& in, Scratch& s) {
        const auto margin = units::Decimal::parse(in.string_view());
        if (!margin)
            throw Refusal{column_of(in),
                          {"a number of at most 18 digits", message<g::no_percentage>.remedy}};
        s.margin = *margin;
    }
};
template <>
struct Action<g::capacity_covers> {
    static void apply0(Scratch& s) { s.condition.node = CapacityCovers{s.whom(), s.margin}; }
};
template <>
struct Action<g::errors_not_rising> {
    static void apply0(Scratch& s) { s.condition.node = Earlier{ErrorsNotRising{s.whom()}}; }
};
template <>
struct Action<g::simple> : p::change_states<Scratch> {
    template <class Input>
    static void success(const Input&, Scratch& s, Operands& level) {
        level.read.push_back(std::move(s.condition));
    }
};

// Connectives.
template <>
struct Action<g::negation> : p::change_states<Operands> {
    template <class Input>
    static void success(const Input&, Operands& inner, Operands& level) {
        level.read.push_back({Not{std::move(inner.read)}});
    }
};
template <class Joined>
struct Joins : p::change_states<Operands> {
    template <class Input>
    static void success(const Input&, Operands& inner, Operands& level) {
        if (inner.read.size() == 1)
            level.read.push_back(std::move(inner.read.front()));
        else
            level.read.push_back({Joined{std::move(inner.read)}});
    }
};
template <>
struct Action<g::conjunction> : Joins<And> {};
template <>
struct Action<g::disjunction> : Joins<Or> {};
// The sentence itself is an operand at depth 1.
template <>
struct Action<g::operand> : p::limit_depth<deepest_nesting + 1> {};

} // namespace slotwitness::sentences::actions
