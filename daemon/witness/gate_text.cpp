#include "gate.hpp"

namespace slotwitness::witness {

using namespace std::chrono_literals;

/// What a true look adds to the device's own report: how the hold stands, and what it rests on.
void Gate::say_holding(Look look, bool met, Broken broken, bool all_tell) {
    if (needs() == 0ms)
        return;
    Because& because = finding_.because;
    if (!met)
        because.reason = Reason::holding;
    switch (broken) {
    case Broken::no:
        break;
    case Broken::gap:
        because.reason = Reason::gap;
        because.text += " More than " + units::to_text(opening_.gap) +
                        " lay between two looks, so the hold starts again.";
        break;
    case Broken::rebased:
        because.reason = Reason::state_moved;
        because.text +=
            " The baseline is another than at the look before, so the hold starts again.";
        break;
    case Broken::moved:
        because.reason = Reason::state_moved;
        because.text += " Its state changed between two looks, so the hold starts again.";
        break;
    }
    because.text += " Held " + units::to_text(run_.held(look.asked, opening_.refresh)) + " of " +
                    units::to_text(needs()) + ".";
    if (!all_tell)
        because.text +=
            " The hold rests on looks alone: the device tells no uptime or count of changes.";
}

} // namespace slotwitness::witness
