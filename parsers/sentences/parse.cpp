#include "messages.hpp"
#include "sentence.hpp"

#include <tao/pegtl/contrib/limit_depth.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace slotwitness::sentences {
namespace {

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
    bool is_new = false;
    units::Decimal margin;

    [[nodiscard]] std::variant<Named, Group> whom() const {
        return is_group ? std::variant<Named, Group>{group} : subject;
    }
};

struct StatedDuration {
    units::Duration value{0};
    std::string text;
    std::size_t at = 0;
    std::size_t next_unit = 0; ///< index of the largest unit that may follow
};

struct Closed : Operands {
    StatedDuration duration;
    std::optional<StatedDuration> hold;
    std::optional<StatedDuration> within;
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

// `for` and `within`.
template <>
struct Action<g::amount> {
    template <class Input>
    static void apply(const Input& in, Closed& s) {
        if (s.duration.text.empty())
            s.duration.at = column_of(in);
        else
            s.duration.text += ' ';
        s.duration.text += in.string_view();
    }
};
template <>
struct Action<g::time_unit> {
    template <class Input>
    static void apply(const Input& in, Closed& s) {
        static constexpr std::array<std::string_view, 5> falling{"d", "h", "min", "s", "ms"};
        const auto index = static_cast<std::size_t>(
            std::find(falling.begin(), falling.end(), in.string_view()) - falling.begin());
        if (index < s.duration.next_unit)
            throw Refusal{column_of(in),
                          {"a smaller unit than the one before",
                           "write the larger unit first and each unit once, as in \"1 h 30 min\""}};
        s.duration.next_unit = index + 1;
        s.duration.text += ' ';
        s.duration.text += in.string_view();
    }
};
template <std::optional<StatedDuration> Closed::*member>
struct TakesDuration {
    static void apply0(Closed& s) {
        StatedDuration stated = std::exchange(s.duration, {});
        const auto value = units::parse_duration(stated.text);
        if (!value || *value > longest_duration)
            throw Refusal{stated.at, {"at most 366 d", "shorten the duration"}, stated.text};
        if (*value == units::Duration{0})
            throw Refusal{stated.at,
                          {"a duration above 0",
                           "leave \"for\" or \"within\" out, or give it time, as in \"10 s\""},
                          stated.text};
        stated.value = *value;
        s.*member = std::move(stated);
    }
};
template <>
struct Action<g::hold> : TakesDuration<&Closed::hold> {};
template <>
struct Action<g::deadline> : TakesDuration<&Closed::within> {};

template <class Rule>
struct Control : p::normal<Rule> {
    template <class Input, class... States>
    [[noreturn]] static void raise(const Input& in, States&&...) {
        if constexpr (std::is_base_of_v<p::raise<Rule>, Rule>)
            throw Refusal{column_of(in), message<Rule>};
        else
            throw p::parse_error("defect in the grammar", in);
    }
};

Sentence checked(Closed& closed) {
    Sentence sentence{std::move(closed.read.at(0)), {}, {}};
    if (closed.hold)
        sentence.hold = closed.hold->value;
    if (closed.within)
        sentence.within = closed.within->value;
    if (closed.hold && closed.within && closed.hold->value >= closed.within->value) {
        const bool hold_last = closed.hold->at > closed.within->at;
        const StatedDuration& last = hold_last ? *closed.hold : *closed.within;
        throw Refusal{
            last.at,
            {hold_last ? "a hold shorter than the deadline" : "a deadline longer than the hold",
             "leave time for the state to be reached before it is held, as in \"for 10 s within 5 "
             "min\""},
            last.text};
    }
    if (to_text(sentence).size() > longest_sentence)
        throw Refusal{1,
                      {"a sentence of at most 512 bytes in its canonical text",
                       "open several gates, each with a part of it"},
                      "a longer sentence"};
    return sentence;
}

} // namespace

tl::expected<Sentence, state::Problem> parse(std::string_view text) {
    try {
        if (text.size() > longest_sentence)
            throw Refusal{longest_sentence + 1,
                          {"at most 512 bytes", "open several gates, each with a part of it"},
                          "a sentence of " + std::to_string(text.size()) + " bytes"};
        p::memory_input in(text.data(), text.size(), "sentence");
        Closed closed;
        p::parse<g::sentence, Action, Control>(in, closed);
        return checked(closed);
    } catch (const Refusal& refusal) {
        return tl::unexpected(to_problem(text, refusal));
    } catch (const p::parse_error& error) {
        return tl::unexpected(
            to_problem(text, {error.positions().front().column,
                              {"at most 16 nested \"not\" and parentheses",
                               "say it with fewer parentheses, or open several gates"}}));
    }
}

} // namespace slotwitness::sentences
