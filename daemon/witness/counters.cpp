#include "counters.hpp"

#include <utility>

namespace slotwitness::witness {

const Counters::Steady* Counters::of(const Component& component) const {
    const auto found = steady_.find(component);
    return found == steady_.end() ? nullptr : &found->second;
}

void Counters::keep(const View& view, const std::set<Component>& components, Instant answered) {
    for (const Component& component : components) {
        Count told = errors_of(view, component, Trust::whole_answers);
        if (!told.value)
            continue;
        const auto before = steady_.find(component);
        if (before == steady_.end() || before->second.value != *told.value)
            steady_.insert_or_assign(component,
                                     Steady{*told.value, answered, std::move(told.because.cites)});
    }
}

Count errors_of(const View& view, const Component& component, Trust trust) {
    if (auto doubt = view.doubt(component))
        return {std::nullopt, std::move(*doubt)};
    if (Judgement presence = view.presence(component, trust); presence.truth != Truth::yes)
        return {std::nullopt, std::move(presence.because)};
    Told told = view.fact(component, state::Attribute::errors, trust);
    if (!told.value)
        return {std::nullopt, std::move(told.because)};
    const auto* quantity = std::get_if<units::Quantity>(&*told.value);
    if (quantity == nullptr || quantity->unit != units::Unit::none)
        return {std::nullopt,
                {Reason::fact_missing,
                 "The device's errors of " + spoken(component) + " are no bare number.",
                 std::move(told.because.cites)}};
    return {quantity->value, std::move(told.because)};
}

} // namespace slotwitness::witness
