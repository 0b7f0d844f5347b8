#include "course.hpp"

#include <slotwitness/readback/spelling.hpp>

// Read-back codes. A decision has the same code at every look, and another one at every other step.
namespace slotwitness::witness {
namespace {

std::string_view word_of(Decision decision) {
    switch (decision) {
    case Decision::released:
        return "released";
    case Decision::stop:
        return "stop";
    case Decision::elsewhere:
        return "elsewhere";
    case Decision::call:
        return "call";
    case Decision::turn_back:
        return "turn back";
    case Decision::forced:
        return "forced";
    }
    return "stop";
}

/// No step has a point in its name.
std::string key_of(const std::string& step, Decision decision, const std::string& rule) {
    return step + "." + std::string(word_of(decision)) + (rule.empty() ? "" : "." + rule);
}

} // namespace

/// What must never be taken for something else comes first: those codes are two characters apart.
/// Empty: the step once all have ended.
std::vector<std::string> decisions_of(const ProcedureOpened& opening) {
    std::vector<std::string> steps;
    for (const auto* plans : {&opening.steps, &opening.back_out})
        for (const StepPlan& plan : *plans)
            steps.push_back(plan.name);
    std::vector<std::string> decisions;
    const auto add = [&](Decision decision, const std::string& rule = "") {
        for (const std::string& step : steps)
            decisions.push_back(key_of(step, decision, rule));
    };
    add(Decision::released);
    steps.emplace_back();
    for (const Decision decision : {Decision::stop, Decision::elsewhere, Decision::turn_back,
                                    Decision::call, Decision::forced})
        add(decision);
    for (const RulePlan& rule : opening.rules)
        if (rule.if_wrong)
            for (const Decision decision : {Decision::stop, Decision::call})
                add(decision, rule.name);
    return decisions;
}

readback::CodeBook code_book(const ProcedureOpened& opening) {
    return {opening.chassis + "\n" + opening.id, decisions_of(opening)};
}

std::map<std::string, std::string> release_codes(const ProcedureOpened& opening) {
    const readback::CodeBook book = code_book(opening);
    std::map<std::string, std::string> codes;
    for (const auto* plans : {&opening.steps, &opening.back_out})
        for (const StepPlan& plan : *plans)
            codes[plan.name] = book.code(key_of(plan.name, Decision::released, ""));
    return codes;
}

std::string Course::code(Decision decision, const std::string& rule) const {
    const Step* step = current();
    return codes_->code(key_of(step ? step->plan->name : "", decision, rule));
}

state::Problem Course::misread(const Step& step, const std::string& read_back) const {
    const std::string decision = codes_->decision(read_back);
    const std::string whose = decision.substr(0, decision.find('.'));
    const std::string said = readback::shown(read_back);
    // The right one is not told: it is to be heard, not repeated.
    return {
        "read_back",
        {},
        decision.empty()           ? said + ", no code of this procedure"
        : whose == step.plan->name ? said + ", the code of another decision at this step"
                                   : said + ", a code of step \"" + whose + "\"",
        "the code that was told with the release of step " + step.plan->name,
        "Stop the act. Let the technician read the code again; if it stays wrong, they have not "
        "heard this release: tell it to them again."};
}

} // namespace slotwitness::witness
