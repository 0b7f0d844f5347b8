#include "newest.hpp"

#include <slotwitness/replay/reread.hpp>

#include <algorithm>

namespace slotwitness::desk {

const std::shared_ptr<const state::Reading>& Newest::read(const std::string& asking,
                                                          const Kept& kept) const {
    if (!kept.reading)
        kept.reading = std::make_shared<const state::Reading>(
            replay::read_answer(profile_, asking, *kept.answer.bytes, kept.answer.ending));
    return kept.reading;
}

void Newest::summarise(ChassisSummary& summary) const {
    for (const auto& [asking, kept] : kept_) {
        const units::Instant answered = kept.answer.answered;
        summary.last_answer = std::max(summary.last_answer.value_or(answered), answered);
        summary.unread_lines += kept.answer.unread_lines;
    }
}

void Newest::fill(ChassisView& view) const {
    for (const auto& [asking, kept] : kept_) {
        const Answer& answer = kept.answer;
        const state::Reading& reading = *read(asking, kept);
        for (const state::Row& row : reading.rows)
            view.components.push_back(
                {row, asking, answer.capture, answer.answered, answer.ending.whole()});
        view.unread.insert(view.unread.end(), reading.unread.begin(), reading.unread.end());
        view.remarks.insert(view.remarks.end(), reading.remarks.begin(), reading.remarks.end());
    }
}

std::vector<AnswerView> Newest::answers() const {
    std::vector<AnswerView> answers;
    for (const auto& [asking, kept] : kept_) {
        const Answer& answer = kept.answer;
        answers.push_back({asking, answer.capture, answer.asked, answer.answered, answer.ending,
                           answer.bytes, read(asking, kept)});
    }
    return answers;
}

} // namespace slotwitness::desk
