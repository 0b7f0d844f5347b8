#include "sentence.hpp"
#include "sentence_grammar.hpp"

namespace slotwitness::sentences {

namespace p = tao::pegtl;

bool is_name(std::string_view text) {
    p::memory_input<p::tracking_mode::lazy> in(text.data(), text.size(), "name");
    return p::parse<p::seq<p::plus<p::sor<grammar::quoted_char, grammar::escaped_char>>, p::eof>>(
        in);
}

std::string name_text(std::string_view name) {
    p::memory_input<p::tracking_mode::lazy> in(name.data(), name.size(), "name");
    if (p::parse<p::seq<grammar::bare_name, p::eof>>(in))
        return std::string{name};
    std::string quoted{'"'};
    for (const char byte : name) {
        if (byte == '"' || byte == '\\')
            quoted += '\\';
        quoted += byte;
    }
    return quoted + '"';
}

namespace {

template <class... Cases>
struct Match : Cases... {
    using Cases::operator()...;
};
// clang 14, whose tools read this, deduces no aggregates by itself.
template <class... Cases>
Match(Cases...) -> Match<Cases...>;

std::string named_text(const Named& named) {
    return std::string{state::to_word(named.kind)} + ' ' + name_text(named.name);
}

std::string group_text(const Group& group) {
    std::string text{state::to_word(group.kind)};
    for (std::size_t i = 0; i < group.except.size(); ++i)
        text += (i == 0 ? " except " : ", ") + name_text(group.except[i]);
    if (group.served_by)
        text += (group.kind == state::Kind::module ? " covered by " : " served by ") +
                named_text(*group.served_by);
    return text;
}

std::string whom_text(const std::variant<Named, Group>& whom) {
    return std::visit(Match{[](const Named& named) { return named_text(named); },
                            [](const Group& group) { return "every " + group_text(group); }},
                      whom);
}

std::string_view comparison_text(Comparison comparison) {
    switch (comparison) {
    case Comparison::below:
        return "below ";
    case Comparison::at_most:
        return "at most ";
    case Comparison::above:
        return "above ";
    case Comparison::at_least:
        return "at least ";
    }
    __builtin_unreachable();
}

std::string from_severity(const std::optional<state::Severity>& severity) {
    return severity ? " at or above " + std::string{state::to_word(*severity)} : std::string{};
}

std::string to_text(const Earlier& earlier) {
    return std::visit(
        Match{[](const NoNewAlarm& alarm) {
                  return "no new alarm" + from_severity(alarm.at_or_above) + " since baseline";
              },
              [](const TextCompared& compared) {
                  return whom_text(compared.subject) + ' ' +
                         std::string{state::to_word(compared.attribute)} +
                         (compared.differs ? " differs from baseline" : " as in baseline");
              },
              [](const StillIs& still) {
                  return "every " + group_text(still.group) + ' ' +
                         std::string{to_word(still.was)} + " in baseline is " + to_text(still.is);
              },
              [](const ErrorsNotRising& errors) {
                  return "errors of " + whom_text(errors.subject) + " not rising";
              }},
        earlier.comparison);
}

/// How tightly a condition binds: an operand in a tighter place stands in parentheses.
enum class Binding { disjunction, conjunction, operand };

Binding binding_of(const Condition& condition) {
    if (std::holds_alternative<Or>(condition.node))
        return Binding::disjunction;
    return std::holds_alternative<And>(condition.node) ? Binding::conjunction : Binding::operand;
}

std::string operand_text(const Condition& condition, Binding place) {
    const std::string text = to_text(condition);
    return binding_of(condition) < place ? '(' + text + ')' : text;
}

std::string joined(const std::vector<Condition>& operands, std::string_view word, Binding place) {
    std::string text;
    for (const Condition& operand : operands)
        text += (text.empty() ? "" : std::string{word}) + operand_text(operand, place);
    return text;
}

} // namespace

bool operator==(const Not& left, const Not& right) {
    return left.operand == right.operand;
}
bool operator==(const And& left, const And& right) {
    return left.operands == right.operands;
}
bool operator==(const Or& left, const Or& right) {
    return left.operands == right.operands;
}

std::string_view to_word(Trade value) {
    switch (value) {
    case Trade::up:
        return "up";
    case Trade::operational:
        return "operational";
    case Trade::degraded:
        return "degraded";
    case Trade::down:
        return "down";
    case Trade::shut:
        return "shut";
    case Trade::present:
        return "present";
    case Trade::absent:
        return "absent";
    case Trade::starting:
        return "starting";
    }
    __builtin_unreachable();
}

std::string to_text(const Predicate& predicate) {
    return std::visit(Match{[](Trade trade) { return std::string{to_word(trade)}; },
                            [](const Standard& standard) {
                                return std::string{state::to_word(standard.attribute)} + ' ' +
                                       state::to_text(standard.word);
                            },
                            [](const Measured& measured) {
                                return std::string{comparison_text(measured.comparison)} +
                                       units::to_text(measured.limit);
                            }},
                      predicate);
}

std::string to_text(const Condition& condition) {
    return std::visit(
        Match{
            [](const OneIs& one) { return named_text(one.subject) + ' ' + to_text(one.predicate); },
            [](const EveryIs& every) {
                return "every " + group_text(every.group) + ' ' + to_text(every.predicate);
            },
            [](const CountIs& count) {
                return (count.at_least ? "at least " : "at most ") + std::to_string(count.limit) +
                       ' ' + group_text(count.group) + (count.negated ? " not " : " ") +
                       to_text(count.predicate);
            },
            [](const NoAlarm& alarm) { return "no alarm" + from_severity(alarm.at_or_above); },
            [](const CapacityCovers& capacity) {
                return "capacity without " + whom_text(capacity.without) + " covers load with " +
                       capacity.margin_percent.to_text() + " % margin";
            },
            [](const Earlier& earlier) { return to_text(earlier); },
            [](const Not& negation) {
                return "not " + operand_text(negation.operand.at(0), Binding::operand);
            },
            // `and` within `and` is another sentence than one `and` of three: the grouping stays.
            [](const And& all) { return joined(all.operands, " and ", Binding::operand); },
            [](const Or& any) { return joined(any.operands, " or ", Binding::conjunction); }},
        condition.node);
}

std::string to_text(const Sentence& sentence) {
    std::string text = to_text(sentence.condition);
    if (sentence.hold)
        text += " for " + units::to_text(*sentence.hold);
    if (sentence.within)
        text += " within " + units::to_text(*sentence.within);
    return text;
}

} // namespace slotwitness::sentences
