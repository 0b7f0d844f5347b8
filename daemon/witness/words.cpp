#include "event.hpp"
#include "finding.hpp"

namespace slotwitness::witness {

std::string_view to_word(NoAnswer value) {
    switch (value) {
    case NoAnswer::unreachable:
        return "unreachable";
    case NoAnswer::host_key:
        return "host_key";
    case NoAnswer::credential:
        return "credential";
    case NoAnswer::locked:
        return "account_locked";
    case NoAnswer::aaa:
        return "aaa_unreachable";
    case NoAnswer::no_line:
        return "no_free_line";
    case NoAnswer::wrong_chassis:
        return "wrong_chassis";
    case NoAnswer::session_lost:
        return "session_lost";
    case NoAnswer::timed_out:
        return "timed_out";
    case NoAnswer::refused:
        return "refused";
    case NoAnswer::guarded:
        return "guarded";
    case NoAnswer::internal:
        return "internal";
    }
    return "internal";
}

std::string_view to_word(SwitchedOver::Of value) {
    switch (value) {
    case SwitchedOver::Of::controller:
        return "controller";
    case SwitchedOver::Of::address:
        return "address";
    }
    return "controller";
}

std::string_view to_word(Verdict value) {
    switch (value) {
    case Verdict::pending:
        return "pending";
    case Verdict::pass:
        return "pass";
    case Verdict::fail:
        return "fail";
    case Verdict::cancelled:
        return "cancelled";
    }
    return "pending";
}

std::string_view to_word(Failure value) {
    switch (value) {
    case Failure::seen_false:
        return "seen_false";
    case Failure::not_seen:
        return "not_seen";
    }
    return "not_seen";
}

std::string_view to_word(Standing value) {
    switch (value) {
    case Standing::met:
        return "met";
    case Standing::settling:
        return "settling";
    case Standing::lost:
        return "lost";
    case Standing::unseen:
        return "unseen";
    }
    return "unseen";
}

std::string_view to_word(Reason value) {
    switch (value) {
    case Reason::not_looked_yet:
        return "not_looked_yet";
    case Reason::true_now:
        return "true_now";
    case Reason::holding:
        return "holding";
    case Reason::false_now:
        return "false_now";
    case Reason::unknown_word:
        return "unknown_word";
    case Reason::not_read:
        return "not_read";
    case Reason::not_whole:
        return "not_whole";
    case Reason::not_proven:
        return "not_proven";
    case Reason::contradiction:
        return "contradiction";
    case Reason::not_listed:
        return "not_listed";
    case Reason::no_inventory:
        return "no_inventory";
    case Reason::nothing_to_range_over:
        return "nothing_to_range_over";
    case Reason::fact_missing:
        return "fact_missing";
    case Reason::no_baseline:
        return "no_baseline";
    case Reason::nothing_earlier:
        return "nothing_earlier";
    case Reason::no_answer:
        return "no_answer";
    case Reason::state_moved:
        return "state_moved";
    case Reason::missed_look:
        return "missed_look";
    case Reason::gap:
        return "gap";
    case Reason::deadline_passed:
        return "deadline_passed";
    case Reason::time_unknown:
        return "time_unknown";
    case Reason::cancelled:
        return "cancelled";
    }
    return "not_looked_yet";
}

} // namespace slotwitness::witness
