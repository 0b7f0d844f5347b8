#include "procedure_finding.hpp"

namespace slotwitness::witness {

std::string_view to_word(Stage value) {
    switch (value) {
    case Stage::waiting:
        return "waiting";
    case Stage::fact:
        return "fact";
    case Stage::released:
        return "released";
    case Stage::confirmed:
        return "confirmed";
    case Stage::done:
        return "done";
    case Stage::skipped:
        return "skipped";
    }
    return "waiting";
}

std::string_view to_word(Word value) {
    switch (value) {
    case Word::state_met:
        return "STATE MET";
    case Word::wait:
        return "WAIT";
    case Word::call:
        return "CALL";
    case Word::stop:
        return "STOP";
    }
    return "STOP";
}

std::string_view to_word(Phase value) {
    switch (value) {
    case Phase::forward:
        return "forward";
    case Phase::backing_out:
        return "backing_out";
    case Phase::closed:
        return "closed";
    }
    return "forward";
}

std::string_view to_word(Closing value) {
    switch (value) {
    case Closing::done:
        return "done";
    case Closing::backed_out:
        return "backed_out";
    case Closing::closed_degraded:
        return "closed_degraded";
    }
    return "closed_degraded";
}

std::string_view to_word(StopAnswered::Of value) {
    switch (value) {
    case StopAnswered::Of::rule:
        return "rule";
    case StopAnswered::Of::step:
        return "step";
    case StopAnswered::Of::cooling:
        return "cooling";
    case StopAnswered::Of::chassis:
        return "chassis";
    case StopAnswered::Of::serial:
        return "serial";
    }
    return "rule";
}

} // namespace slotwitness::witness
