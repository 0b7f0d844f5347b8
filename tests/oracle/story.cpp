#include "story.hpp"

#include <utility>

namespace slotwitness::oracle {
namespace {

std::string words_of(const Condition& condition) {
    const auto part = [&](std::size_t n) {
        const Condition& inner = condition.parts.at(n);
        const bool bare = inner.shape != Condition::Shape::conjunction &&
                          inner.shape != Condition::Shape::disjunction;
        return bare ? words_of(inner) : std::string("(").append(words_of(inner)).append(")");
    };
    const Subject& subject = subjects[condition.asking];
    const std::string whom = std::string(subject.kind) + " " + subject.name;
    switch (condition.shape) {
    case Condition::Shape::fact:
        return whom + " " + subject.predicate;
    case Condition::Shape::as_in_baseline:
        return whom + " serial as in baseline";
    case Condition::Shape::not_rising:
        return "errors of " + whom + " not rising";
    case Condition::Shape::negation:
        return "not " + part(0);
    case Condition::Shape::conjunction:
        return part(0) + " and " + part(1);
    case Condition::Shape::disjunction:
        return part(0) + " or " + part(1);
    }
    return "";
}

const char* word(Truth truth) {
    static constexpr const char* words[] = {"false", "unknown", "true"};
    return words[static_cast<int>(truth)];
}

} // namespace

Condition fact(Asking asking) {
    return {Condition::Shape::fact, asking, {}};
}
Condition as_in_baseline(Asking asking) {
    return {Condition::Shape::as_in_baseline, asking, {}};
}
Condition not_rising(Asking asking) {
    return {Condition::Shape::not_rising, asking, {}};
}
Condition negation(Condition part) {
    return {Condition::Shape::negation, 0, {std::move(part)}};
}
Condition conjunction(Condition left, Condition right) {
    return {Condition::Shape::conjunction, 0, {std::move(left), std::move(right)}};
}
Condition disjunction(Condition left, Condition right) {
    return {Condition::Shape::disjunction, 0, {std::move(left), std::move(right)}};
}

std::string sentence_of(const Gate& gate) {
    std::string text = words_of(gate.condition);
    if (gate.hold > 0)
        text += " for " + std::to_string(gate.hold) + " ms";
    if (gate.within)
        text += " within " + std::to_string(*gate.within) + " ms";
    return text;
}

std::string to_text(const Gate& gate) {
    std::string needs;
    for (const Asking asking : gate.needs)
        needs += std::string(needs.empty() ? "" : "+") + subjects[asking].asking;
    return std::string("\"").append(sentence_of(gate)) + "\" gap " + std::to_string(gate.gap) +
           " refresh " + std::to_string(gate.refresh) + " guard " + std::to_string(gate.guard) +
           " needs " + needs;
}

std::string to_text(const Said& said) {
    if (!said.open)
        return "not open";
    std::string text;
    const std::string when = said.decided ? " at " + std::to_string(*said.decided) : "";
    switch (said.verdict) {
    case Verdict::pending:
        text = "pending";
        break;
    case Verdict::pass:
        text = "pass";
        break;
    case Verdict::fail:
        text = said.failure == Failure::not_seen ? "fail not-seen" : "fail seen-false";
        break;
    case Verdict::cancelled:
        text = "cancelled";
        break;
    }
    text += when;
    static constexpr const char* standings[] = {"met", "settling", "lost", "unseen"};
    if (said.standing)
        text += std::string(", ") + standings[static_cast<int>(*said.standing)];
    if (said.verdict == Verdict::pass && said.retired)
        text += ", retired";
    return text + ", " + word(said.truth) + ", held " + std::to_string(said.held);
}

std::string to_text(const Event& event) {
    std::string text = std::to_string(event.at) + "\t";
    const auto of_round = [&] {
        return " round " + std::to_string(event.round) + " " + subjects[event.asking].asking +
               " asked " + std::to_string(event.asked);
    };
    switch (event.what) {
    case Happening::run_started:
        return text + "run started" + (event.elapsed_known ? "" : ", elapsed time unknown");
    case Happening::round_started: {
        text += "round " + std::to_string(event.round) + " started:";
        for (const Asking asking : event.askings)
            text += std::string(" ") + subjects[asking].asking;
        return text;
    }
    case Happening::answered:
        text +=
            "answered" + of_round() + ": " + word(event.fact) + (event.whole ? "" : ", not whole");
        for (const auto& [name, number] :
             {std::pair{", flaps ", event.flaps}, std::pair{", serial ", event.identity},
              std::pair{", errors ", event.count}})
            if (number)
                text += name + std::to_string(*number);
        return text;
    case Happening::failed:
        return text + "failed" + of_round();
    case Happening::opened:
        return text + "gate " + std::to_string(event.gate) + " opened";
    case Happening::closed:
        return text + "gate " + std::to_string(event.gate) + " closed";
    case Happening::baseline_wanted:
        text += "baseline wanted:";
        for (const Asking asking : event.askings)
            text += std::string(" ") + subjects[asking].asking;
        return text;
    case Happening::tick:
        return text + "tick";
    }
    return text;
}

} // namespace slotwitness::oracle
