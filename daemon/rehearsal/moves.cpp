#include "rehearsal.hpp"

#include <array>
#include <sstream>

namespace slotwitness::rehearsal {

namespace {

using Of = witness::StopAnswered::Of;
using Kind = Move::Kind;

template <class Word, std::size_t Count>
std::optional<Word> word_in(const std::array<Word, Count>& words, const std::string& text) {
    for (const Word word : words)
        if (witness::to_word(word) == text)
            return word;
    return std::nullopt;
}

Move just(Kind kind) {
    Move move;
    move.kind = kind;
    return move;
}

std::optional<Move> answer(std::istringstream& words) {
    Move move;
    move.kind = Kind::answer;
    std::string of;
    words >> of >> move.name;
    const auto found =
        word_in(std::array{Of::rule, Of::step, Of::cooling, Of::chassis, Of::serial}, of);
    const bool has_name = found == Of::rule || found == Of::step;
    if (!found || has_name == move.name.empty())
        return std::nullopt;
    move.of = *found;
    return move;
}

std::optional<Move> at_chassis(std::istringstream& words) {
    Move move;
    move.kind = Kind::at_chassis;
    words >> move.name;
    return move.name.empty() ? std::nullopt : std::optional(std::move(move));
}

std::optional<Move> waive(std::istringstream& words) {
    Move move;
    move.kind = Kind::waive;
    std::string kind;
    words >> kind >> move.name;
    const auto component = component_in(kind + " " + move.name);
    if (!component)
        return std::nullopt;
    move.component = component->kind;
    return move;
}

std::optional<Move> close(std::istringstream& words) {
    Move move;
    move.kind = Kind::close;
    std::string outcome;
    words >> outcome >> move.ticket;
    const auto found = word_in(std::array{witness::Closing::done, witness::Closing::backed_out,
                                          witness::Closing::closed_degraded},
                               outcome);
    if (!found || (*found == witness::Closing::closed_degraded) == move.ticket.empty())
        return std::nullopt;
    move.outcome = *found;
    return move;
}

} // namespace

std::optional<witness::Component> component_in(const std::string& text) {
    std::istringstream words(text);
    std::string kind, name, rest;
    words >> kind >> name >> rest;
    const auto known = state::from_word<state::Kind>(kind);
    if (!known || name.empty() || !rest.empty())
        return std::nullopt;
    return witness::Component{*known, name};
}

std::optional<Move> parse_move(const std::string& text) {
    std::istringstream words(text);
    std::string first;
    words >> first;
    std::optional<Move> move;
    if (first == "answer")
        move = answer(words);
    else if (first == "at-chassis")
        move = at_chassis(words);
    else if (first == "waive")
        move = waive(words);
    else if (first == "close")
        move = close(words);
    else if (first == "back-out")
        move = just(Kind::back_out);
    else if (first == "try-again")
        move = just(Kind::try_again);
    else if (first == "force")
        move = just(Kind::force);
    else if (first == "skip")
        move = just(Kind::skip);
    std::string rest;
    words >> rest;
    return rest.empty() ? move : std::nullopt;
}

} // namespace slotwitness::rehearsal
