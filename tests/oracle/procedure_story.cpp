#include "procedure_generator.hpp"
#include "story.hpp"

// How the oracle's procedures read to a person.
namespace slotwitness::oracle {

namespace {

constexpr const char* deeds[] = {"",
                                 "opened",
                                 "released",
                                 "confirmed",
                                 "unconfirmed",
                                 "tried again",
                                 "forced",
                                 "skipped",
                                 "rule answered",
                                 "step answered",
                                 "clock answered",
                                 "back-out",
                                 "shift taken",
                                 "forecast",
                                 "closed as done",
                                 "closed as backed out",
                                 "closed degraded",
                                 "chassis named",
                                 "chassis answered",
                                 "others' gate opened",
                                 "others' gate closed"};
constexpr const char* truths[] = {"false", "unknown", "true"};

std::string maybe(const char* what, std::optional<Time> at) {
    return at ? std::string(" ") + what + " " + std::to_string(*at) : "";
}

std::string gate_text(const char* which, const std::optional<Verdict>& verdict) {
    static constexpr const char* verdicts[] = {"pending", "pass", "fail", "cancelled"};
    return verdict ? std::string(" ") + which + " " + verdicts[static_cast<int>(*verdict)] : "";
}

std::string steps_text(const char* which, const std::vector<StepTold>& steps) {
    static constexpr const char* stages[] = {"waiting",   "fact", "released",
                                             "confirmed", "done", "skipped"};
    std::string text;
    for (std::size_t n = 0; n < steps.size(); ++n)
        text += std::string("; ") + which + std::to_string(n) + " " +
                stages[static_cast<int>(steps[n].stage)] + maybe("opened", steps[n].opened) +
                maybe("released", steps[n].released) + maybe("confirmed", steps[n].confirmed) +
                maybe("ended", steps[n].ended) + gate_text("fact", steps[n].fact) +
                gate_text("effect", steps[n].effect) + (steps[n].lost ? " lost" : "") +
                (steps[n].accepted ? " accepted" : "");
    return text;
}

std::string plan_text(StepAt at, const Step& step) {
    return name_of(at) + ": fact " + to_text(step.fact) +
           (step.effect ? "; effect " + to_text(*step.effect) : "") +
           (step.technician ? "; technician" : "") +
           (step.until ? "; until step-" + std::to_string(*step.until) : "") +
           (at.back ? "; undoes step-" + std::to_string(step.undoes) : "") +
           maybe("takes", step.takes) + "\n";
}

std::string lost_text(const Happened& happened) {
    std::string text;
    for (const std::size_t rule : happened.lost_rules)
        text += ", lost rule " + std::to_string(rule);
    for (const StepAt step : happened.lost_steps)
        text += ", lost " + name_of(step);
    return text;
}

std::string happened_text(const Happened& happened) {
    if (happened.deed == Deed::none) {
        const bool of_tray =
            happened.event.asking == tray_works && happened.event.what == Happening::answered;
        return to_text(happened.event) +
               (happened.event.serial ? ", serial " + std::to_string(*happened.event.serial) : "") +
               (of_tray ? std::string(", out ") + truths[static_cast<int>(happened.out)] : "") +
               lost_text(happened);
    }
    return std::to_string(happened.event.at) + "\t" + deeds[static_cast<int>(happened.deed)] + " " +
           name_of(happened.step) + (happened.effect ? " effect" : "") + " rule " +
           std::to_string(happened.rule) + " seen " + std::to_string(happened.ago) + " ago" +
           (happened.complete ? "" : ", incomplete") +
           (happened.deed == Deed::chassis_named ? " reads " + std::to_string(happened.serial)
                                                 : "") +
           (happened.read_back == Happened::ReadBack::wrong ? ", wrong code" : "") +
           (happened.deed == Deed::forecast ? maybe("at", happened.forecast) : "");
}

} // namespace

std::string name_of(StepAt step) {
    return (step.back ? "back-" : "step-") + std::to_string(step.number);
}

std::string to_text(const Told& told) {
    static constexpr const char* words[] = {"STATE MET", "WAIT", "CALL", "STOP"};
    static constexpr const char* phases[] = {"forward", "backing out", "closed"};
    static constexpr const char* closings[] = {"done", "backed out", "degraded"};
    std::string text = told.refused ? "refused; " : "";
    if (!told.open)
        return text + "not open";
    text += std::string(words[static_cast<int>(told.word)]) + maybe("until", told.valid_until) +
            ", " + phases[static_cast<int>(told.phase)] +
            (told.outcome ? std::string(" ") + closings[static_cast<int>(*told.outcome)] : "") +
            ", at " + (told.step ? name_of(*told.step) : "no step") + ", in charge " +
            std::to_string(told.in_charge) + steps_text("step-", told.steps) +
            steps_text("back-", told.back_out);
    for (std::size_t n = 0; n < told.rules.size(); ++n) {
        const RuleTold& rule = told.rules[n];
        text += "; rule " + std::to_string(n) + " " + (rule.active ? "active " : "") +
                truths[static_cast<int>(rule.truth)] + (rule.lost ? " lost" : "") +
                (rule.accepted ? " accepted" : "");
    }
    const CoolingTold& clock = told.cooling;
    return text + "; clock" + maybe("began", clock.began) + maybe("ended", clock.ended) +
           maybe("limit", clock.limit) + maybe("turn-back", clock.turn_back) +
           (clock.passed ? " passed" : "") + (clock.accepted ? " accepted" : "") +
           (clock.turning_back ? " turning back" : "") + "; chassis" +
           (told.chassis.read ? " read " + std::to_string(*told.chassis.read) : "") + " same " +
           truths[static_cast<int>(told.chassis.same)] + (told.chassis.lost ? " lost" : "") +
           (told.chassis.accepted ? " accepted" : "");
}

std::string to_text(const Course& course) {
    std::string text;
    const Procedure& procedure = course.procedure;
    for (std::size_t n = 0; n < procedure.steps.size(); ++n)
        text += plan_text({false, n}, procedure.steps[n]);
    for (std::size_t n = 0; n < procedure.back_out.size(); ++n)
        text += plan_text({true, n}, procedure.back_out[n]);
    for (const Rule& rule : procedure.rules)
        text += "rule: " + to_text(rule.holds) +
                (rule.from ? " from step-" + std::to_string(*rule.from) : "") +
                (rule.until ? " until step-" + std::to_string(*rule.until) : "") + "\n";
    if (const auto& clock = procedure.cooling)
        text += "clock: refresh " + std::to_string(clock->refresh) + " begins step-" +
                std::to_string(clock->begins) + " ends step-" + std::to_string(clock->ends) +
                (clock->out ? " out step-" + std::to_string(*clock->out) : "") + " limit " +
                std::to_string(clock->limit) + "\n";
    if (procedure.right_chassis)
        text += "at the right chassis\n";
    std::size_t n = 0;
    for (const Happened& happened : course.happened)
        text += std::to_string(n++) + "\t" + happened_text(happened) + "\n";
    return text;
}

} // namespace slotwitness::oracle
