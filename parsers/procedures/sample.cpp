#include "sample.hpp"

#include <algorithm>

namespace slotwitness::procedures {
namespace {

using sentences::And;
using sentences::Condition;
using sentences::EveryIs;
using sentences::OneIs;
using sentences::Trade;

bool is_up(const sentences::Predicate& predicate) {
    const auto* trade = std::get_if<Trade>(&predicate);
    return trade != nullptr && (*trade == Trade::up || *trade == Trade::operational);
}

/// A single condition, or any of those that all must hold.
template <class Test>
bool any_of(const Condition& condition, const Test& test) {
    if (const auto* all = std::get_if<And>(&condition.node))
        return std::any_of(all->operands.begin(), all->operands.end(),
                           [&](const Condition& each) { return any_of(each, test); });
    return test(condition);
}

} // namespace

Samples::Samples(const std::map<std::string, Parameter>& parameters) : parameters_(parameters) {
    std::size_t number = 1;
    for (const auto& [name, parameter] : parameters) {
        std::string value;
        if (const auto* component = std::get_if<ComponentOf>(&parameter.is)) {
            value = "X" + std::to_string(number++);
            if (component->several)
                value += ", X" + std::to_string(number++);
        } else if (const auto* figure = std::get_if<Figure>(&parameter.is))
            value = "1 " + std::string{units::to_text(figure->unit)};
        else if (std::holds_alternative<TimeLimit>(parameter.is))
            value = "7 min";
        values_[name] = std::move(value);
    }
}

bool Samples::may_stand_in_sentences(std::string_view parameter) const {
    const auto found = parameters_.find(std::string{parameter});
    return found == parameters_.end() || !std::holds_alternative<Words>(found->second.is);
}

FilledText Samples::fill(std::string_view text) const {
    return procedures::fill(text, [&](std::string_view name) {
        const auto value = values_.find(name);
        return value == values_.end() ? std::string{} : value->second;
    });
}

std::optional<sentences::Named> Samples::component(std::string_view parameter) const {
    const auto found = parameters_.find(std::string{parameter});
    if (found == parameters_.end())
        return std::nullopt;
    const auto* component = std::get_if<ComponentOf>(&found->second.is);
    if (component == nullptr || component->several)
        return std::nullopt;
    return sentences::Named{component->kind, values_.find(parameter)->second};
}

bool says(const Condition& condition, const sentences::Named& subject, Trade predicate) {
    return any_of(condition, [&](const Condition& each) {
        const auto* one = std::get_if<OneIs>(&each.node);
        return one != nullptr && one->subject == subject &&
               one->predicate == sentences::Predicate{predicate};
    });
}

bool waits_for_a_plane(const Condition& condition) {
    return any_of(condition, [](const Condition& each) {
        if (const auto* one = std::get_if<OneIs>(&each.node))
            return one->subject.kind == state::Kind::plane && is_up(one->predicate);
        const auto* every = std::get_if<EveryIs>(&each.node);
        return every != nullptr && every->group.kind == state::Kind::plane &&
               every->group.except.empty() && is_up(every->predicate);
    });
}

} // namespace slotwitness::procedures
