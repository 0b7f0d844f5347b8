#include "hearing.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using state::Attribute;
using state::Kind;
using state::Severity;

/// Is an alarm of this severity one that the sentence speaks of?
Truth grave(const Told& severity, const std::optional<Severity>& at_or_above) {
    if (!severity.value)
        // A device that grades no alarm lists an alarm all the same.
        return severity.missing && !severity.may_be_elsewhere && !at_or_above ? Truth::yes
                                                                              : Truth::unknown;
    const auto* grade = std::get_if<Severity>(&*severity.value);
    if (grade == nullptr)
        return Truth::unknown;
    if (*grade == Severity::cleared)
        return Truth::no;
    if (!at_or_above)
        return Truth::yes;
    // X.733: the severity level of such an alarm cannot be determined.
    if (*grade == Severity::indeterminate && *at_or_above != Severity::indeterminate)
        return Truth::unknown;
    return *grade <= *at_or_above ? Truth::yes : Truth::no;
}

/// Does this listed alarm count, by its severity?
Judgement counts(const View& view, Trust trust, const Component& alarm,
                 const std::optional<Severity>& at_or_above) {
    if (auto doubt = view.doubt(alarm))
        return unknown(std::move(*doubt));
    Judgement presence = view.presence(alarm, trust);
    if (presence.truth == Truth::unknown)
        return presence;
    Told severity = view.fact(alarm, Attribute::severity, trust);
    const Truth truth = grave(severity, at_or_above);
    if (truth == Truth::unknown && !severity.value)
        return unknown(std::move(severity.because));
    if (!severity.value)
        return {truth, std::move(presence.because)};
    const std::string grade = "severity " + state::to_text(*severity.value);
    if (truth == Truth::unknown)
        return unknown(Reason::unknown_word,
                       "The device reports " + spoken(alarm) + ": " + grade +
                           ", which has no place in the order.",
                       std::move(severity.because.cites));
    presence.because.text.pop_back();
    presence.because.text += ": " + grade + ".";
    presence.because.cites = std::move(severity.because.cites);
    return {truth, std::move(presence.because)};
}

/// Do two looks say the same of an alarm of one name? A device may give the name of an alarm that
/// is gone to another one.
Judgement same_words(const View& now, Trust trust, const Baseline& baseline,
                     const Component& alarm) {
    for (const View* view : {&now, &baseline.view})
        if (auto doubt = view->doubt(alarm))
            return unknown(std::move(*doubt));
    Judgement same{Truth::yes, {}};
    for (const Attribute attribute : {Attribute::about, Attribute::text}) {
        Told here = now.fact(alarm, attribute, trust);
        const Told then = baseline.view.fact(alarm, attribute, Trust::whole_answers);
        if (here.missing && !here.may_be_elsewhere && then.missing && !then.may_be_elsewhere)
            continue;
        if (!here.value && !here.missing)
            return unknown(std::move(here.because));
        add_cites(here.because.cites, then.because.cites);
        if (!here.value || !then.value || *here.value != *then.value) {
            const bool other = attribute == Attribute::about && here.value && then.value;
            return {other ? Truth::no : Truth::unknown,
                    {Reason::fact_missing,
                     "The device lists " + spoken(alarm) + " with another " +
                         std::string(state::to_word(attribute)) + " than " + baseline.spoken() +
                         (other ? ": it is another alarm." : ", so it may be another alarm."),
                     std::move(here.because.cites)}};
        }
        add_cites(same.because.cites, here.because.cites);
    }
    if (same.because.cites.empty()) // both tell nothing but the name
        return now.presence(alarm, trust);
    return same;
}

/// Was it there already, and did it count then?
Judgement counted_then(const View& now, Trust trust, const Baseline& baseline,
                       const Component& alarm, const std::optional<Severity>& at_or_above) {
    Judgement then = baseline.view.lists(alarm)
                         ? counts(baseline.view, Trust::whole_answers, alarm, at_or_above)
                         : baseline.view.presence(alarm, Trust::whole_answers);
    then.because.text = "In " + baseline.spoken() + ": " + then.because.text;
    if (!baseline.view.lists(alarm))
        return then;
    return both(std::move(then), same_words(now, trust, baseline, alarm));
}

std::string above(const std::optional<Severity>& severity) {
    return severity ? " at or above " + std::string(state::to_word(*severity)) : "";
}

/// True if no listed alarm is one of which `claim` is true; false by one that is.
Judgement none(const Hearing& hearing, const Claim& claim, const std::string& said) {
    const View& view = hearing.on.view;
    Fold fold(Truth::no);
    for (const std::string& name : view.listed(Kind::alarm))
        fold.add(negate(claim({Kind::alarm, name})));
    if (auto more = view.may_have_more(Kind::alarm))
        fold.doubt(std::move(*more));
    Judgement judged = std::move(fold).result();
    if (judged.truth == Truth::yes) {
        add_cites(judged.because.cites, view.lists_of(Kind::alarm));
        judged.because.text = "The device lists no " + said + ".";
    }
    return judged;
}

} // namespace

Judgement hear(const Hearing& hearing, const sentences::NoAlarm& node) {
    return none(
        hearing,
        [&](const Component& alarm) {
            return counts(hearing.on.view, hearing.trust, alarm, node.at_or_above);
        },
        "alarm" + above(node.at_or_above));
}

/// New is what counts now and did not then: an alarm that has become graver counts too.
Judgement hear(const Hearing& hearing, const sentences::NoNewAlarm& node) {
    const Baseline* baseline = hearing.on.baseline;
    if (baseline == nullptr)
        return without_baseline();
    const View& view = hearing.on.view;
    return none(
        hearing,
        [&](const Component& alarm) {
            Judgement then = counted_then(view, hearing.trust, *baseline, alarm, node.at_or_above);
            return both(counts(view, hearing.trust, alarm, node.at_or_above),
                        negate(std::move(then)));
        },
        "alarm" + above(node.at_or_above) + " that was not in " + baseline->spoken());
}

} // namespace slotwitness::witness
