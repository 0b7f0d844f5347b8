#include "sentence.hpp"

namespace slotwitness::sentences {
namespace {

const Condition* first_later(const Condition& condition);

const Condition* first_later(const std::vector<Condition>& operands) {
    for (const Condition& operand : operands)
        if (const Condition* later = first_later(operand))
            return later;
    return nullptr;
}

const Condition* first_later(const Condition& condition) {
    if (std::holds_alternative<CapacityCovers>(condition.node) ||
        std::holds_alternative<Earlier>(condition.node))
        return &condition;
    if (const auto* negation = std::get_if<Not>(&condition.node))
        return first_later(negation->operand);
    if (const auto* all = std::get_if<And>(&condition.node))
        return first_later(all->operands);
    if (const auto* any = std::get_if<Or>(&condition.node))
        return first_later(any->operands);
    return nullptr;
}

} // namespace

std::optional<state::Problem> not_evaluated_yet(const Sentence& sentence) {
    const Condition* later = first_later(sentence.condition);
    if (later == nullptr)
        return std::nullopt;
    const std::string part = to_text(*later);
    const bool capacity = std::holds_alternative<CapacityCovers>(later->node);
    return state::Problem{
        .where = "sentence",
        .at = {.line = 1, .column = to_text(sentence).find(part) + 1},
        .found = part,
        .expected = "a condition that this version can judge",
        .remedy =
            capacity
                ? "capacity against load is read but not judged yet: ask for the planes that "
                  "carry it instead, as in \"every plane except 3 up\""
                : "comparisons with what was seen earlier are read but not judged yet: name the "
                  "state that you expect instead, as in \"module FAB3 operational\""};
}

} // namespace slotwitness::sentences
