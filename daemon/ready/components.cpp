#include "findings.hpp"

#include <slotwitness/witness/say.hpp>

#include <utility>

namespace slotwitness::ready {
namespace {

Finding of_component(const std::string& about, const witness::Component& component,
                     const witness::View& view) {
    witness::Judgement there = view.presence(component, witness::Trust::whole_answers);
    Finding finding{Weight::as_needed, about, {}, {}, {}, std::move(there.because.cites)};
    if (const auto doubt = view.doubt(component)) {
        finding = {Weight::holds_up,
                   about,
                   doubt->text,
                   "Look at the device: nothing is known of it before that is cleared up.",
                   {},
                   doubt->cites};
        return finding;
    }
    finding.says = there.because.text;
    switch (there.truth) {
    case witness::Truth::yes:
        break;
    case witness::Truth::no:
        finding.weight = Weight::holds_up;
        finding.remedy = "Give a name as the device prints it: " +
                         witness::spoken_list(view.listed(component.kind)) +
                         ". If the name is right, it is absent: find out why.";
        break;
    case witness::Truth::unknown:
        finding.weight = Weight::holds_up;
        finding.says = "not known whether it is there. " + finding.says;
        finding.remedy = "Get a whole answer that lists every " + witness::spoken(component.kind) +
                         " and is read to its last line.";
        break;
    }
    return finding;
}

} // namespace

Findings of_components(const Work& work, const Judge& judge) {
    Findings findings;
    for (const auto& [parameter, components] : work.procedure.components)
        for (const sentences::Named& named : components)
            findings.push_back(of_component("parameter " + parameter + ", " +
                                                witness::spoken({named.kind, named.name}),
                                            {named.kind, named.name}, judge.whole()));
    return findings;
}

} // namespace slotwitness::ready
