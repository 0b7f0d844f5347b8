#include "evaluate.hpp"

#include "hearing.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

Judgement hear(const Hearing& hearing, const sentences::Condition& condition);

Judgement hear(const Hearing& hearing, const sentences::Earlier& node) {
    return std::visit([&](const auto& form) { return hear(hearing, form); }, node.comparison);
}

Judgement hear(const Hearing& hearing, const sentences::Not& node) {
    return negate(hear(hearing, node.operand.front()));
}

/// Both and either differ only in which truth decides: one false operand an `and`, one true an
/// `or`.
Judgement fold(const Hearing& hearing, const std::vector<sentences::Condition>& operands,
               Truth deciding) {
    Fold fold(deciding);
    for (const sentences::Condition& operand : operands)
        fold.add(hear(hearing, operand));
    return std::move(fold).result();
}
Judgement hear(const Hearing& hearing, const sentences::And& node) {
    return fold(hearing, node.operands, Truth::no);
}
Judgement hear(const Hearing& hearing, const sentences::Or& node) {
    return fold(hearing, node.operands, Truth::yes);
}

Judgement hear(const Hearing& hearing, const sentences::Condition& condition) {
    Judgement judgement =
        std::visit([&](const auto& node) { return hear(hearing, node); }, condition.node);
    switch (judgement.truth) {
    case Truth::yes:
        judgement.because.reason = Reason::true_now;
        break;
    case Truth::no:
        judgement.because.reason = Reason::false_now;
        break;
    case Truth::unknown:
        break; // keeps why
    }
    return judgement;
}

} // namespace

Evaluation evaluate(const sentences::Condition& condition, const Grounds& grounds) {
    Seen seen;
    Judgement judged = hear({grounds, Trust::whole_answers, seen}, condition);
    if (judged.truth == Truth::unknown && !grounds.view.all_whole()) {
        Seen again;
        Judgement refuting = hear({grounds, Trust::as_read, again}, condition);
        if (refuting.truth == Truth::no)
            judged = std::move(refuting);
    }
    return {std::move(judged), std::move(seen.components), std::move(seen.counted)};
}

} // namespace slotwitness::witness
