#include "remedies.hpp"

#include "said.hpp"

namespace slotwitness::ready {
namespace {

std::string where_untrue(const sentences::Condition& condition) {
    if (const auto* one = std::get_if<sentences::OneIs>(&condition.node);
        one != nullptr && one->predicate == sentences::Predicate{sentences::Trade::present})
        return "It is absent: find out why before the work begins.";
    if (compares_capacity(condition))
        return "See which planes are counted. Move traffic away, or choose a time with less of it; "
               "a smaller margin is for who stated it to decide.";
    if (std::holds_alternative<sentences::NoAlarm>(condition.node))
        return "Clear up what raised the alarm before the work begins.";
    return "Mend it before the work begins: that would stop at once, or never start.";
}

std::string where_unknown(witness::Reason reason) {
    using witness::Reason;
    switch (reason) {
    case Reason::unknown_word:
        return "Say in the profile what the device's word means, by its handbook.";
    case Reason::not_read:
    case Reason::not_whole:
    case Reason::no_answer:
        return "Get a whole answer that is read to its last line.";
    case Reason::contradiction:
        return "Look at the device: it says two things of one component.";
    case Reason::not_listed:
    case Reason::no_inventory:
    case Reason::nothing_to_range_over:
        return "Give names as the device prints them. If they are right, the part is absent: state "
               "it in [chassis.inventory], and find out why it is.";
    case Reason::fact_missing:
        return "See whether the device tells it at all; if not, the procedure must ask something "
               "else.";
    case Reason::no_baseline:
        return "Get a whole answer to every query: without that no baseline can be kept.";
    case Reason::nothing_earlier:
        return "One look cannot tell. Watch it for a while with \"slotwitness ask\".";
    case Reason::not_proven:
    case Reason::not_looked_yet:
    case Reason::true_now:
    case Reason::holding:
    case Reason::false_now:
    case Reason::state_moved:
    case Reason::missed_look:
    case Reason::gap:
    case Reason::deadline_passed:
    case Reason::time_unknown:
    case Reason::cancelled:
        return "Find out what the device reports, and look again.";
    }
    return "Look again.";
}

} // namespace

std::string remedy_for(const sentences::Condition& condition, const witness::Judgement& judgement) {
    return judgement.truth == witness::Truth::no ? where_untrue(condition)
                                                 : where_unknown(judgement.because.reason);
}

} // namespace slotwitness::ready
