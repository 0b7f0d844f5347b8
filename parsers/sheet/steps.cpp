#include "parts.hpp"
#include "spoken.hpp"

#include <slotwitness/readback/spelling.hpp>

#include <algorithm>
#include <array>

namespace slotwitness::sheet {
namespace {

using procedures::Actor;
using procedures::IfWrong;
using procedures::Step;

std::string_view advice_word(IfWrong::First first) {
    switch (first) {
    case IfWrong::First::freeze:
        return "FREEZE.";
    case IfWrong::First::finish_seating:
        return "FINISH SEATING.";
    case IfWrong::First::put_back:
        return "PUT BACK.";
    case IfWrong::First::call:
        return "CALL.";
    }
    __builtin_unreachable();
}

/// What the device must report, each clause set apart. `sentence` is canonical.
Markup reported(const std::string& sentence) {
    const Spoken words = spoken(*sentences::parse(sentence));
    Markup all;
    for (std::size_t i = 0; i < words.clauses.size(); ++i)
        all += element("span", "clause",
                       words.clauses[i] + (i + 1 < words.clauses.size() ? "; " : " "));
    if (!words.times.empty())
        all += element("span", "times", "(" + words.times + ")");
    return all;
}

/// With the signal word of ANSI Z535 set apart, if it begins with one.
Markup caution(const std::string& said) {
    struct Signal {
        std::string_view word;
        std::string_view looks;
    };
    static constexpr std::array<Signal, 4> signals{{{"DANGER", "signal danger"},
                                                    {"WARNING", "signal warning"},
                                                    {"CAUTION", "signal caution"},
                                                    {"NOTICE", "signal notice"}}};
    const std::string_view all = said;
    for (const Signal& signal : signals)
        if (all.starts_with(signal.word) && all.substr(signal.word.size()).starts_with(": "))
            return element("p", "caution",
                           element("span", signal.looks, signal.word) +
                               text(all.substr(signal.word.size() + 1)));
    return element("p", "caution", said);
}

Markup cautions(const Step& step) {
    Markup all;
    for (const std::string& each : step.cautions)
        all += caution(each);
    return all;
}

Markup asked(const Step& step) {
    if (step.actor == Actor::engineer)
        return {};
    // Open questions alone: to "is it off?" everybody says yes.
    return element("p", "ask",
                   element("span", "lead", "Ask:") +
                       text(" " + step.confirm.value_or("What do you see at the work slot?")));
}

Markup advice(const Step& step) {
    return element("b", "", advice_word(step.if_wrong.first)) + text(" " + step.if_wrong.say);
}

/// What is written down by hand: the three characters read back, and the time. The first two of a
/// code that is known stand there already.
Markup code_and_time(const Step& step, const Codes& codes) {
    const auto known = codes.find(step.name);
    Markup boxes;
    for (std::size_t i = 0; i < readback::length; ++i)
        boxes += element("i", "",
                         known != codes.end() && i + 1 < readback::length
                             ? std::string_view(known->second).substr(i, 1)
                             : std::string_view());
    return element("div", "code", boxes + element("span", "line", ""));
}

/// And what was read, seen or told.
Markup code_time_and_reading(const Step& step, const Codes& codes) {
    return code_and_time(step, codes) + element("div", "reading", "seen:");
}

std::string number_of(std::size_t index) {
    return std::to_string(index + 1);
}

/// `then`: what the device must report after the act; nothing where it need not be said.
Markup row(const std::string& number, const Step& step, const std::optional<std::string>& then,
           const Markup& written) {
    const std::string_view actor = procedures::to_word(step.actor);
    Markup waiting = reported(step.fact);
    Markup doing = cautions(step) + element("p", "act", step.act);
    // Where there is room: a technician has more to do, an engineer more to wait for.
    if (then)
        (step.actor == Actor::technician ? waiting : doing) += element(
            "p", "", element("span", "lead", "Then it must report:") + text(" ") + reported(*then));
    return element(
        "tr", actor,
        element("th", "", element("span", "number", number) + element("span", "actor", actor)) +
            element("td", "waiting", waiting) + element("td", "", doing + asked(step)) +
            element("td", "wrong", advice(step)) + element("td", "", written));
}

Markup table(std::string_view classes, std::string_view doing, const Markup& rows) {
    const Markup heading = element("th", "", "") +
                           element("th", "", "Wait until the device reports") +
                           element("th", "", doing) + element("th", "", "If it goes wrong here") +
                           element("th", "", "Code, time");
    return element("table", classes,
                   element("thead", "", element("tr", "", heading)) + element("tbody", "", rows));
}

} // namespace

Markup steps(const procedures::Procedure& procedure, const Codes& codes) {
    Markup rows;
    for (std::size_t i = 0; i < procedure.steps.size(); ++i) {
        const Step& step = procedure.steps[i];
        // What the next step waits for is not said twice.
        const bool is_said =
            i + 1 < procedure.steps.size() && step.effect == procedure.steps[i + 1].fact;
        rows += row(number_of(i), step, is_said ? std::nullopt : step.effect,
                    code_time_and_reading(step, codes));
    }
    return table("steps", "Hear the engineer's release and its code, read it back, then", rows);
}

Markup way_back(const procedures::Procedure& procedure, const Codes& codes) {
    if (procedure.back_out.empty())
        return {};
    Markup rows;
    for (const procedures::BackOutStep& back : procedure.back_out) {
        const auto undone =
            std::find_if(procedure.steps.begin(), procedure.steps.end(),
                         [&](const Step& step) { return step.name == back.undoes; });
        const auto index = static_cast<std::size_t>(undone - procedure.steps.begin());
        rows += row("↶" + number_of(index), back.step, back.step.effect,
                    code_and_time(back.step, codes));
    }
    return table("steps back", "The way back, once begun: what undoes (↶) a released step", rows);
}

Markup spelling(const Codes& codes) {
    std::string words;
    for (const char& letter : readback::letters)
        words += (words.empty() ? "" : ", ") + std::string(1, letter) + " " +
                 readback::spelled({&letter, 1});
    const std::string printed =
        codes.empty() ? ""
                      : " Two characters of each release's code are printed: if you hear others, "
                        "it is no release of that step, in this procedure, on this chassis. Do not "
                        "act, and ask. Write the third as you hear it.";
    return element("p", "spelling",
                   element("span", "lead", "Codes, character by character:") +
                       text(" " + words + "." + printed));
}

} // namespace slotwitness::sheet
