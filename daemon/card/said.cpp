#include "said.hpp"

#include <slotwitness/witness/say.hpp>

#include <algorithm>

namespace slotwitness::card {

using namespace witness;

namespace {

std::string by(const std::string& person, const std::string& voice) {
    return " by " + (voice.empty() ? person : voice + " by voice, taken down by " + person);
}

std::string reason_of(const std::string& reason) {
    return reason.empty() ? "" : ": " + reason;
}

std::string of(const Loss& loss) {
    switch (loss.of) {
    case StopAnswered::Of::rule:
        return "rule " + loss.name;
    case StopAnswered::Of::step:
        return "what step " + loss.name + " rests on";
    case StopAnswered::Of::cooling:
        return "cooling clock";
    case StopAnswered::Of::chassis:
        return "right chassis";
    case StopAnswered::Of::serial:
        return "part in the work slot";
    }
    return loss.name;
}

std::string whole_seconds(units::Duration duration) {
    return units::to_text(std::chrono::duration_cast<std::chrono::seconds>(duration));
}

} // namespace

std::string title_of(const Card& card) {
    return card.is_closed() ? "CLOSE-OUT CARD" : "SHIFT HANDOVER";
}

std::string clock_of(const Card& card, Instant at) {
    const std::string all = units::to_rfc3339(at);
    const std::string day = units::to_rfc3339(card.finding.opened).substr(0, 10);
    const std::string time = all.substr(11, 8);
    return all.substr(0, 10) == day ? time : all.substr(0, 10) + " " + time;
}

std::string said(const Card& card, const Deed& deed) {
    const std::string who = by(deed.by, deed.on_behalf_of);
    const auto told = [&](const std::string& what) {
        return clock_of(card, deed.at) + "  " + what + who;
    };
    switch (deed.kind) {
    case Deed::Kind::shift_taken:
        return told("shift taken");
    case Deed::Kind::chassis_named:
        return told("end of the chassis serial read from the rack, \"" + deed.reason + "\",");
    case Deed::Kind::unconfirmed:
        return told("step " + deed.of + ": the confirmation taken back");
    case Deed::Kind::tried_again:
        return told("step " + deed.of + " tried again");
    case Deed::Kind::forced:
        return told("step " + deed.of + ": what it waited for PASSED OVER") +
               reason_of(deed.reason);
    case Deed::Kind::skipped:
        return told("step " + deed.of + " SKIPPED") + reason_of(deed.reason);
    case Deed::Kind::stop_answered:
        return told("stop answered, " + deed.of + ",") + reason_of(deed.reason);
    case Deed::Kind::waived:
        return told("difference waived, " + deed.of + ",") + reason_of(deed.reason);
    case Deed::Kind::backed_out:
        return told("way back begun") + reason_of(deed.reason);
    case Deed::Kind::closed:
        return told("closed" + (deed.of.empty() ? "" : ", goes on under " + deed.of + ",")) +
               reason_of(deed.reason);
    }
    return "";
}

std::string said(const Card& card, const Alert& alert) {
    return clock_of(card, alert.began) + " to " +
           (alert.ended ? clock_of(card, *alert.ended) : "now") + "  " +
           std::string(to_word(alert.word)) + (alert.step.empty() ? "" : " at step " + alert.step) +
           ": " + alert.text;
}

std::string said(const Card& card, const Loss& loss) {
    return clock_of(card, loss.at) + "  " + of(loss) + ": " + loss.text;
}

std::string said(const Card& card, const CoolingRun& run) {
    std::string text = "reduced from " + clock_of(card, run.began);
    if (run.ended)
        text +=
            " to " + clock_of(card, *run.ended) + ", for " + whole_seconds(*run.ended - run.began);
    else if (card.is_closed())
        text += "; not seen restored when this was closed";
    else
        text += ", for " + whole_seconds(card.as_of - run.began) + " so far";
    if (run.limit)
        text += "; limit " + clock_of(card, *run.limit);
    else if (card.opened.cooling)
        text += "; limit " + units::to_text(card.opened.cooling->limit);
    if (!run.shortened.empty())
        text += ", shortened: " + run.shortened;
    return text + (run.passed ? "; THE LIMIT WAS PASSED" : "");
}

std::string said(const Card& card, const std::optional<GateFinding>& gate) {
    if (!gate)
        return "not looked for";
    switch (gate->verdict) {
    case Verdict::pending:
        return "not seen yet";
    case Verdict::pass:
        return "seen " + (gate->decided ? clock_of(card, *gate->decided) : std::string());
    case Verdict::fail:
        return gate->failure == Failure::seen_false ? "SEEN FALSE" : "NOT SEEN in time";
    case Verdict::cancelled:
        return "not seen; cancelled";
    }
    return "";
}

std::string said(const Card& card, const Seen& seen) {
    if (seen.listing == Seen::Listing::unknown || !seen.answered)
        return "no whole answer tells";
    const std::string at = " (answer of " + clock_of(card, *seen.answered) + ")";
    if (seen.listing == Seen::Listing::not_listed)
        return "the device does not list it" + at;
    if (seen.disagree)
        return "answers contradict each other" + at;
    const auto told = [](const char* what, const std::optional<std::string>& text) {
        return std::string(what) + (text ? *text : "not told");
    };
    return told("serial ", seen.serial) + told(", part ", seen.part) +
           told(", revision ", seen.revision) + at;
}

std::string people_of(const Card& card, const StepLine& line) {
    const StepFinding& finding = line.finding;
    std::string text;
    if (finding.released)
        text = "released " + clock_of(card, *finding.released) + by(finding.released_by, "");
    if (finding.confirmed)
        text += "; done " + clock_of(card, *finding.confirmed) +
                by(finding.confirmed_by, finding.on_behalf_of) +
                (finding.read_back ? ", code read back" : "");
    else if (finding.released && finding.stage == Stage::released)
        text += "; not confirmed";
    return text;
}

std::string left_of(const Card& card, Instant limit) {
    const auto left = limit - card.as_of;
    return left >= units::Duration(0) ? whole_seconds(left) + " left"
                                      : "OVER by " + whole_seconds(-left);
}

std::string rack_of(const Card& card) {
    const auto& rack = card.at_the_rack;
    if (!rack || !rack->named)
        return card.opened.right_chassis ? "nobody read the serial there" : "";
    const std::string same = rack->same == Truth::yes  ? ", the same"
                             : rack->same == Truth::no ? ", ANOTHER CHASSIS"
                                                       : ", not known whether it is the same";
    return "\"" + rack->read + "\" read at " + clock_of(card, *rack->named) + same;
}

std::vector<std::string> beside_the_steps(const Card& card) {
    std::vector<std::string> all;
    for (const Deed& deed : card.deeds)
        all.push_back(said(card, deed));
    for (const Instant at : card.restarts)
        all.push_back(clock_of(card, at) + "  the daemon began anew: holds started again");
    for (const Switchover& each : card.switchovers)
        all.push_back(clock_of(card, each.at) + "  switchover of the " +
                      std::string(to_word(each.what.of)) + ": " + each.what.from + " before, " +
                      each.what.to + " now");
    for (const std::string& warning : card.opened.warnings)
        all.push_back("warned at the opening: " + warning);
    return all;
}

std::vector<std::string> accepted_in(const Card& card) {
    std::vector<std::string> lines;
    for (const Exception& each : card.opened.handback.accepted)
        lines.push_back(spoken(each.component) + " accepted as it was before the work" +
                        by(card.opened.by, "") + reason_of(each.reason));
    return lines;
}

std::vector<std::string> handed_back(const Card& card) {
    std::vector<std::string> lines;
    if (!card.handback)
        return lines;
    for (const HandbackItem& item : card.handback->items) {
        if (item.fate == Fate::as_it_was)
            continue;
        std::string fate(to_word(item.fate));
        std::replace(fate.begin(), fate.end(), '_', ' ');
        std::string line = item.component.name.empty()
                               ? "the list of every " + spoken(item.component.kind)
                               : spoken(item.component);
        line += ": " + fate;
        if (item.fate == Fate::waived)
            line += by(item.waived_by, "") + reason_of(item.reason);
        for (const Change& change : item.changes)
            line += "; " + change.what + " " + change.was + " before, " + change.is + " last";
        if (!item.why.empty())
            line += "; " + item.why;
        lines.push_back(std::move(line));
    }
    return lines;
}

std::vector<std::string> counted(const Card& card) {
    std::vector<std::string> lines;
    if (card.handback)
        for (const Change& count : card.handback->counts)
            lines.push_back(count.what + ": " + count.was + " before, " + count.is + " last" +
                            (count.was == count.is ? "" : " (another)"));
    return lines;
}

std::string handback_of(const Card& card) {
    if (!card.handback || !card.handback->baseline)
        return "no baseline from before the work was kept: nobody knows what it changed";
    if (!card.handback->seen)
        return "no look at the whole chassis is young enough to count";
    return card.handback->at_end
               ? "the chassis was looked at as a whole after the last step had ended"
               : "by the newest look at the whole chassis; the last step has not ended";
}

std::string outcome_of(const Card& card) {
    const ProcedureFinding& finding = card.finding;
    if (!card.is_closed())
        return "under way";
    std::string outcome(finding.outcome ? to_word(*finding.outcome) : "closed");
    std::replace(outcome.begin(), outcome.end(), '_', ' ');
    return outcome + (finding.closed ? " at " + clock_of(card, *finding.closed) + ", after " +
                                           whole_seconds(*finding.closed - finding.opened)
                                     : "");
}

std::string foot_of(const Card& card) {
    return std::string("What people did is as they said it; what the device reported is as it was "
                       "read. Neither says that anything is safe. ") +
           (card.is_closed() ? ""
                             : "It may have changed since: look at the chassis and ask again "
                               "before you act. ") +
           "The manufacturer's instructions, this site's rules and local codes come first.";
}

} // namespace slotwitness::card
