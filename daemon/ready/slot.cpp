#include "findings.hpp"

#include <slotwitness/witness/members.hpp>
#include <slotwitness/witness/say.hpp>

#include <algorithm>

namespace slotwitness::ready {
namespace {

using witness::Component;
using witness::Trust;

/// What stands on its label, as far as the device tells it.
std::string described(const Component& component, const witness::View& view) {
    using state::Attribute;
    std::string text = "the device reports " + witness::spoken(component);
    for (const Attribute attribute :
         {Attribute::label, Attribute::part, Attribute::serial, Attribute::hardware_rev})
        if (const auto told = view.fact(component, attribute, Trust::whole_answers); told.value)
            text.append(", ")
                .append(state::to_word(attribute))
                .append(" ")
                .append(state::to_text(*told.value));
    return text;
}

/// Planes that were given together, of which the module serves some and some not: a slip of the
/// pen, as a rule.
std::optional<Finding> of_mixed(const std::string& parameter,
                                const std::vector<sentences::Named>& planes,
                                const Component& module, const std::set<std::string>& served) {
    std::vector<std::string> its;
    std::vector<std::string> others;
    for (const sentences::Named& plane : planes)
        (served.contains(plane.name) ? its : others).push_back(plane.name);
    if (its.empty() || others.empty())
        return std::nullopt;
    return Finding{Weight::advice, "parameter " + parameter,
                   "of these fabric planes " + witness::spoken(module) + " serves " +
                       witness::spoken_list(its) + ", and not " + witness::spoken_list(others),
                   "Compare them with what the device says the module serves: " +
                       witness::spoken_list(served) + "."};
}

} // namespace

Findings of_work_slot(const Work& work, const witness::View& view) {
    if (!work.procedure.work_slot)
        return {};
    const Component slot{work.procedure.work_slot->kind, work.procedure.work_slot->name};
    if (!view.lists(slot))
        return {}; // that it is not there is told of its parameter
    Findings findings{{Weight::as_needed, "work slot", described(slot, view), {}}};
    if (slot.kind != state::Kind::module)
        return findings;
    const witness::Members served =
        witness::served_by(view, Trust::whole_answers, slot, state::Kind::plane);
    for (const auto& [parameter, components] : work.procedure.components)
        if (components.front().kind == state::Kind::plane && !served.open)
            if (auto mixed = of_mixed(parameter, components, slot, served.names))
                findings.push_back(std::move(*mixed));
    return findings;
}

} // namespace slotwitness::ready
