#include "hearing.hpp"
#include "predicate.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using state::Attribute;

/// One text as one look tells it.
Told text_of(const View& view, Trust trust, const Component& component, Attribute attribute) {
    const auto untold = [](Because because) {
        return Told{std::nullopt, false, false, std::move(because)};
    };
    if (auto doubt = view.doubt(component))
        return untold(std::move(*doubt));
    if (Judgement presence = view.presence(component, trust); presence.truth != Truth::yes)
        return untold(std::move(presence.because));
    Told told = view.fact(component, attribute, trust);
    if (told.value && !std::holds_alternative<std::string>(*told.value))
        return untold({Reason::fact_missing,
                       "The device's " + std::string(state::to_word(attribute)) + " of " +
                           spoken(component) + " is no text.",
                       std::move(told.because.cites)});
    return told;
}

/// Of what was not there in one of the two looks neither is said: it is unknown.
Judgement text_compared(const Hearing& hearing, const Component& component, Attribute attribute,
                        bool differs) {
    hearing.seen.components.insert(component);
    if (hearing.on.baseline == nullptr)
        return without_baseline();
    const Baseline& baseline = *hearing.on.baseline;
    Told now = text_of(hearing.on.view, hearing.trust, component, attribute);
    if (!now.value)
        return unknown(std::move(now.because));
    Told then = text_of(baseline.view, Trust::whole_answers, component, attribute);
    if (!then.value) {
        then.because.text = "In " + baseline.spoken() + ": " + then.because.text;
        return unknown(std::move(then.because));
    }
    const bool same = *now.value == *then.value;
    Because because{Reason::true_now,
                    "The device reports " + spoken(component) + ": " +
                        std::string(state::to_word(attribute)) + " " + state::to_text(*now.value) +
                        (same ? ", as in " : ", and in ") + baseline.spoken() +
                        (same ? "." : " " + state::to_text(*then.value) + "."),
                    std::move(now.because.cites)};
    add_cites(because.cites, then.because.cites);
    return {same != differs ? Truth::yes : Truth::no, std::move(because)};
}

/// An earlier look is surely older if the tables behind this one were renewed since: else both may
/// show the same moment, in which nothing rises.
Judgement not_rising(const Hearing& hearing, const Component& component) {
    hearing.seen.components.insert(component);
    hearing.seen.counted.insert(component);
    Count now = errors_of(hearing.on.view, component, hearing.trust);
    if (!now.value)
        return unknown(std::move(now.because));
    const std::string said =
        "The device reports " + spoken(component) + ": errors " + now.value->to_text();
    const Counters::Steady* before =
        hearing.on.counters != nullptr ? hearing.on.counters->of(component) : nullptr;
    if (before == nullptr)
        return unknown(Reason::nothing_earlier,
                       said + "; no earlier look tells how many they were.",
                       std::move(now.because.cites));
    add_cites(now.because.cites, before->cites);
    const std::string then = before->value.to_text();
    if (*now.value > before->value)
        return {Truth::no,
                {Reason::false_now, said + ", before " + then + ".", std::move(now.because.cites)}};
    if (*now.value < before->value)
        return unknown(Reason::state_moved,
                       said + ", before " + then + ": the counter began again in between.",
                       std::move(now.because.cites));
    if (before->since > hearing.on.shown_since)
        return unknown(Reason::nothing_earlier,
                       said + ", as before, but the device may not have counted anew since.",
                       std::move(now.because.cites));
    return {Truth::yes, {Reason::true_now, said + ", as before.", std::move(now.because.cites)}};
}

/// The claim of one component, or of every one of a group.
Judgement of_subject(const Hearing& hearing,
                     const std::variant<sentences::Named, sentences::Group>& subject,
                     const Claim& claim, const std::string& said) {
    if (const auto* one = std::get_if<sentences::Named>(&subject))
        return claim({one->kind, one->name});
    return every(hearing, std::get<sentences::Group>(subject), claim, said);
}

} // namespace

Judgement without_baseline() {
    return unknown(Reason::no_baseline,
                   "There is no baseline of this chassis to compare with: nobody asked for one, or "
                   "no round was answered whole since.");
}

Judgement hear(const Hearing& hearing, const sentences::TextCompared& node) {
    const Baseline* baseline = hearing.on.baseline;
    return of_subject(
        hearing, node.subject,
        [&](const Component& each) {
            return text_compared(hearing, each, node.attribute, node.differs);
        },
        std::string(state::to_word(node.attribute)) +
            (node.differs ? " other than in " : " as in ") +
            (baseline != nullptr ? baseline->spoken() : "the baseline"));
}

/// Ranges over what was so in the baseline, by what the baseline lists. Where nothing surely was so
/// there is nothing to range over.
Judgement hear(const Hearing& hearing, const sentences::StillIs& node) {
    if (hearing.on.baseline == nullptr)
        return without_baseline();
    const Baseline& baseline = *hearing.on.baseline;
    const Inventory listed_then; // what the baseline does not list was nothing in it
    Members range = members_of(baseline.view, Trust::whole_answers, listed_then, node.group);
    std::vector<std::string> were;
    std::optional<Judgement> surely_was;
    Fold fold(Truth::no);
    for (const std::string& name : range.names) {
        const Component component{node.group.kind, name};
        Judgement was =
            judge(baseline.view, Trust::whole_answers, listed_then, component, node.was);
        Judgement is = hearing.member(component, node.is);
        if (was.truth == Truth::yes) {
            were.push_back(name);
            if (!surely_was || was.because.cites.size() < surely_was->because.cites.size())
                surely_was = was;
        }
        was.because.text = "In " + baseline.spoken() + ": " + was.because.text;
        fold.add(negate(both(std::move(was), negate(std::move(is)))));
    }
    if (range.open)
        fold.doubt(std::move(*range.open));
    Judgement judged = std::move(fold).result();
    const std::string was =
        "was " + std::string(sentences::to_word(node.was)) + " in " + baseline.spoken();
    if (judged.truth == Truth::yes && !surely_was)
        return unknown(Reason::nothing_to_range_over,
                       "No " + spoken(node.group.kind) + " surely " + was + ".");
    if (judged.truth != Truth::unknown)
        add_cites(judged.because.cites, range.membership);
    if (judged.truth == Truth::yes) {
        add_cites(judged.because.cites, surely_was->because.cites);
        add_cites(judged.because.cites, range.completeness);
        judged.because.text = "The device reports " + sentences::to_text(node.is) + " for every " +
                              spoken(node.group.kind) + " that " + was + ": " + spoken_list(were) +
                              ".";
    }
    return judged;
}

Judgement hear(const Hearing& hearing, const sentences::ErrorsNotRising& node) {
    return of_subject(
        hearing, node.subject, [&](const Component& each) { return not_rising(hearing, each); },
        "errors not rising");
}

} // namespace slotwitness::witness
