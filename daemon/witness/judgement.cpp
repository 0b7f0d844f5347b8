#include "judgement.hpp"

#include "say.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {

Judgement unknown(Because because) {
    return {Truth::unknown, std::move(because)};
}

Judgement unknown(Reason reason, std::string text, std::vector<Cite> cites) {
    return {Truth::unknown, {reason, std::move(text), std::move(cites)}};
}

Judgement negate(Judgement judgement) {
    judgement.truth = negate(judgement.truth);
    return judgement;
}

void Fold::add(Judgement part) {
    if (part.truth == Truth::unknown) {
        doubt(std::move(part.because));
    } else if (part.truth == deciding_) {
        if (!decided_ || part.because.cites.size() < decided_->because.cites.size())
            decided_ = std::move(part);
    } else {
        all_.text +=
            (all_.text.empty() || part.because.text.empty() ? "" : " ") + part.because.text;
        add_cites(all_.cites, part.because.cites);
    }
}

void Fold::doubt(Because because) {
    if (!doubt_)
        doubt_ = std::move(because);
}

Judgement Fold::result() && {
    if (decided_)
        return std::move(*decided_);
    if (doubt_)
        return unknown(std::move(*doubt_));
    return {negate(deciding_), std::move(all_)};
}

Judgement both(Judgement left, Judgement right) {
    Fold fold(Truth::no);
    fold.add(std::move(left));
    fold.add(std::move(right));
    return std::move(fold).result();
}

std::vector<Judgement> smallest(std::vector<Judgement> judgements, std::size_t count) {
    const auto key = [](const Judgement& judgement) {
        const auto& cites = judgement.because.cites;
        return std::pair(cites.size(), !cites.empty() && cites.front().at != state::Position{});
    };
    std::stable_sort(
        judgements.begin(), judgements.end(),
        [&](const Judgement& left, const Judgement& right) { return key(left) < key(right); });
    if (judgements.size() > count)
        judgements.resize(count);
    return judgements;
}

void add_cites(std::vector<Cite>& cites, const std::vector<Judgement>& judgements) {
    for (const Judgement& one : judgements)
        add_cites(cites, one.because.cites);
}

} // namespace slotwitness::witness
