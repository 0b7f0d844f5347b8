#include "desk.hpp"

namespace slotwitness::desk {

bool holds_at(const GateView& view, units::Instant now) {
    return view.finding.retired || now <= view.finding.valid_until;
}

bool holds_at(const ProcedureView& view, units::Instant now) {
    const witness::ProcedureFinding& finding = view.record.finding;
    return finding.word != witness::Word::state_met || !finding.valid_until ||
           now <= *finding.valid_until;
}

GateView as_of(GateView view, units::Instant now) {
    if (holds_at(view, now))
        return view;
    witness::GateFinding& finding = view.finding;
    if (finding.verdict == witness::Verdict::pending)
        finding.held = units::Duration(0); // what was held up to then no longer grows
    const bool already_unseen = finding.standing == witness::Standing::unseen;
    if (already_unseen || (!finding.standing && finding.truth == witness::Truth::unknown))
        return view;
    finding.truth = witness::Truth::unknown;
    // A lost gate that nobody sees any more is still lost: the alarm is not taken back by silence.
    if (finding.standing && *finding.standing != witness::Standing::lost)
        finding.standing = witness::Standing::unseen;
    if (finding.standing == witness::Standing::unseen)
        view.code.clear();
    finding.because = {witness::Reason::missed_look,
                       "not seen since " +
                           (finding.last_look ? units::to_rfc3339(finding.last_look->answered)
                                              : std::string("it was opened")) +
                           ": what was shown is no longer valid",
                       {}};
    view.revision |= 1; // published revisions are even
    return view;
}

ProcedureView as_of(ProcedureView view, units::Instant now) {
    if (holds_at(view, now))
        return view;
    witness::ProcedureFinding& finding = view.record.finding;
    finding.word = witness::Word::wait;
    finding.text = "Not seen since " + units::to_rfc3339(*finding.valid_until) +
                   ": what was shown is no longer valid.";
    finding.valid_until.reset();
    finding.code.clear();
    view.revision |= 1; // published revisions are even
    return view;
}

} // namespace slotwitness::desk
