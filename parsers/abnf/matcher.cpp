#include "matcher.hpp"

#include "compile.hpp"
#include "explain.hpp"
#include "run.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::abnf {

std::string_view simpler_grammar(Outcome outcome) {
    switch (outcome) {
    case Outcome::matched:
    case Outcome::not_matched:
        return "";
    case Outcome::out_of_steps:
        return "a simpler grammar: this one has too many ways to read this text";
    case Outcome::out_of_depth:
        return "a simpler grammar: this one nests its rules too deep in this text";
    case Outcome::out_of_room:
        return "a simpler grammar: this one keeps too many ways to read this text in mind";
    }
    return "";
}

Scratch::Scratch() : stacks_(std::make_unique<Stacks>()) {}
Scratch::~Scratch() = default;
Scratch::Scratch(Scratch&&) noexcept = default;
Scratch& Scratch::operator=(Scratch&&) noexcept = default;

tl::expected<Matcher, std::vector<state::Problem>>
Matcher::compile(const Grammar& grammar, std::span<const std::string> rules,
                 std::span<const std::string> captured) {
    auto program = abnf::compile(grammar, rules, captured);
    if (!program)
        return tl::unexpected(std::move(program.error()));
    return Matcher{std::make_shared<const Program>(std::move(*program))};
}

Match Matcher::match(std::string_view text, Scratch& scratch, Budget budget) const {
    if (text.size() > longest_text)
        return {Outcome::out_of_room, 0, {}, longest_text, 0};
    const Ran ran = run(*program_, text, *scratch.stacks_, budget);
    Match match{ran.outcome, 0, {}, ran.furthest, ran.steps};
    if (ran.outcome != Outcome::matched)
        return match;
    match.furthest = text.size();
    scratch.captures_.clear();
    scratch.open_.clear();
    for (const Event& event : scratch.stacks_->events) {
        switch (event.what) {
        case Event::What::chosen:
            match.rule = event.index;
            break;
        case Event::What::begin:
            scratch.open_.push_back(scratch.captures_.size());
            scratch.captures_.push_back({event.index, event.at, event.at});
            break;
        case Event::What::end:
            scratch.captures_[scratch.open_.back()].end = event.at;
            scratch.open_.pop_back();
            break;
        }
    }
    match.captures = scratch.captures_;
    return match;
}

std::string Matcher::expected(std::string_view text, const Match& match, Scratch& scratch,
                              Budget budget) const {
    if (match.outcome == Outcome::matched)
        return "";
    if (is_spent(match.outcome))
        return std::string{simpler_grammar(match.outcome)};
    // Where much was tried at the furthest place, the first of it is told.
    budget.steps = std::min(budget.steps, 2 * match.steps + most_steps_to_explain);
    return explain(*program_, text, match.furthest, *scratch.stacks_, budget);
}

} // namespace slotwitness::abnf
