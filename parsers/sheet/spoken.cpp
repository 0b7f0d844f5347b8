#include "spoken.hpp"

#include <string_view>
#include <variant>

namespace slotwitness::sheet {
namespace {

using namespace sentences;

std::string_view kind_word(state::Kind kind) {
    switch (kind) {
    case state::Kind::plane:
        return "fabric plane";
    case state::Kind::fan_tray:
        return "fan tray";
    case state::Kind::power_supply:
        return "power supply";
    case state::Kind::chassis:
    case state::Kind::controller:
    case state::Kind::module:
    case state::Kind::port:
    case state::Kind::neighbour:
    case state::Kind::sensor:
    case state::Kind::alarm:
        return state::to_word(kind);
    }
    __builtin_unreachable();
}

std::string named(const Named& named) {
    return std::string{kind_word(named.kind)} + ' ' + named.name;
}

std::string group(const Group& group) {
    std::string text{kind_word(group.kind)};
    for (std::size_t i = 0; i < group.except.size(); ++i)
        text += (i == 0 ? " except " : ", ") + group.except[i];
    if (group.served_by)
        text += (group.kind == state::Kind::module ? " behind " : " served by ") +
                named(*group.served_by);
    return text;
}

std::string whom(const std::variant<Named, Group>& subject) {
    if (const auto* one = std::get_if<Named>(&subject))
        return named(*one);
    return "every " + group(std::get<Group>(subject));
}

/// Behind "is" or "is not".
std::string said(const Predicate& predicate) {
    const auto* trade = std::get_if<Trade>(&predicate);
    return trade != nullptr && *trade == Trade::shut ? "shut down by the engineer"
                                                     : to_text(predicate);
}

std::string from_severity(const std::optional<state::Severity>& severity) {
    return severity ? " at or above " + std::string{state::to_word(*severity)} : std::string{};
}

std::string clause(const Condition& condition);

std::string joined(const std::vector<Condition>& operands, std::string_view between) {
    std::string text;
    for (const Condition& operand : operands) {
        const std::string part = clause(operand);
        const bool is_open = std::holds_alternative<Or>(operand.node);
        text.append(text.empty() ? std::string_view{} : between);
        text += is_open ? '(' + part + ')' : part;
    }
    return text;
}

struct Speaker {
    std::string operator()(const OneIs& one) const {
        return named(one.subject) + " is " + said(one.predicate);
    }
    std::string operator()(const EveryIs& every) const {
        return "every " + group(every.group) + " is " + said(every.predicate);
    }
    std::string operator()(const CountIs& count) const {
        std::string text = count.at_least ? "at least " : "at most ";
        if (!count.at_least && count.limit == 0)
            text = "no ";
        else
            text += std::to_string(count.limit) + ' ';
        return text + group(count.group) + (count.negated ? " is not " : " is ") +
               said(count.predicate);
    }
    std::string operator()(const NoAlarm& none) const {
        return "no alarm" + from_severity(none.at_or_above);
    }
    std::string operator()(const CapacityCovers& capacity) const {
        return "the capacity without " + whom(capacity.without) + " covers the load with " +
               capacity.margin_percent.to_text() + " % margin";
    }
    std::string operator()(const NoNewAlarm& none) const {
        return "no new alarm" + from_severity(none.at_or_above) + " since the baseline";
    }
    std::string operator()(const TextCompared& compared) const {
        return "the " + std::string{state::to_word(compared.attribute)} + " of " +
               whom(compared.subject) +
               (compared.differs ? " differs from the baseline" : " is as in the baseline");
    }
    std::string operator()(const StillIs& still) const {
        return "every " + group(still.group) + " that was " + std::string{to_word(still.was)} +
               " in the baseline is " + said(still.is);
    }
    std::string operator()(const ErrorsNotRising& errors) const {
        return "the errors of " + whom(errors.subject) + " do not rise";
    }
    std::string operator()(const Earlier& earlier) const {
        return std::visit(*this, earlier.comparison);
    }
    std::string operator()(const Not& negation) const {
        const Condition& operand = negation.operand.at(0);
        if (const auto* one = std::get_if<OneIs>(&operand.node))
            return named(one->subject) + " is not " + said(one->predicate);
        return "it is not so that (" + clause(operand) + ')';
    }
    std::string operator()(const And& all) const {
        return '(' + joined(all.operands, ", and ") + ')';
    }
    std::string operator()(const Or& any) const { return joined(any.operands, ", or "); }
};

std::string clause(const Condition& condition) {
    return std::visit(Speaker{}, condition.node);
}

} // namespace

Spoken spoken(const Sentence& sentence) {
    Spoken result;
    if (const auto* all = std::get_if<And>(&sentence.condition.node))
        for (const Condition& operand : all->operands)
            result.clauses.push_back(clause(operand));
    else
        result.clauses.push_back(clause(sentence.condition));
    if (sentence.hold)
        result.times = "for " + units::to_text(*sentence.hold);
    if (sentence.within)
        result.times +=
            (result.times.empty() ? "within " : ", within ") + units::to_text(*sentence.within);
    return result;
}

} // namespace slotwitness::sheet
