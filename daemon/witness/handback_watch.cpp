#include "handback_watch.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {

HandbackWatch::HandbackWatch(const std::string& procedure, const HandbackPlan& plan,
                             std::string_view by)
    : plan_(plan), items_(std::make_shared<const Items>()) {
    HandbackFinding finding;
    finding.procedure = procedure;
    show(std::move(finding));
    for (const Exception& each : plan_.accepted)
        waivers_.push_back({each.component, std::string(by), each.reason, ""});
}

void HandbackWatch::keep(std::shared_ptr<const Baseline> baseline) {
    if (baseline_)
        return;
    baseline_ = std::move(baseline);
    HandbackFinding finding = *finding_;
    finding.baseline = baseline_->fixed.at;
    figures_then_ = std::make_shared<const AllFigures>(figures_of(baseline_->view));
    show(std::move(finding));
    // An alarm that was accepted beforehand is that of the baseline, and no later one of its name.
    for (Waiver& waiver : waivers_)
        waiver.says = words_of_alarm(baseline_->view, waiver.component);
}

void HandbackWatch::look(Look look, const View& now, std::optional<Instant> ended, Way way) {
    if (!baseline_)
        return;
    valid_until_ = look.answered + plan_.gap;
    const bool at_end = ended && look.asked - plan_.refresh >= *ended;
    Items items = compare_with_baseline(plan_.work, way, *baseline_, now);
    std::vector<Change> counts = counts_of(*figures_then_, figures_of(now));
    if (items == *items_ && counts == finding_->counts && finding_->seen &&
        finding_->at_end == at_end)
        return;
    items_ = std::make_shared<const Items>(std::move(items));
    show({finding_->procedure, finding_->baseline, true, at_end, waived(), std::move(counts)});
}

bool HandbackWatch::waive(const Component& component, std::string_view by,
                          std::string_view reason) {
    const auto item = std::find_if(items_->begin(), items_->end(), [&](const HandbackItem& each) {
        return each.component == component;
    });
    if (item == items_->end() || component.name.empty())
        return false;
    waivers_.push_back({component, std::string(by), std::string(reason), item->says});
    HandbackFinding finding = *finding_;
    finding.items = waived();
    show(std::move(finding));
    return true;
}

void HandbackWatch::show(HandbackFinding finding) {
    finding_ = std::make_shared<const HandbackFinding>(std::move(finding));
}

HandbackWatch::Items HandbackWatch::waived() const {
    Items items = *items_;
    witness::waive(items, waivers_);
    return items;
}

void HandbackWatch::restart() {
    if (finding_->seen || finding_->at_end) {
        HandbackFinding finding = *finding_;
        finding.seen = finding.at_end = false;
        show(std::move(finding));
    }
    valid_until_.reset();
}

std::optional<std::string> HandbackWatch::why_not(Instant at) const {
    if (!baseline_)
        return "There is no baseline from before the work, so nobody knows what it changed.";
    if (!finding_->seen || !finding_->at_end || *valid_until_ < at)
        return "The chassis was not looked at as a whole since the last step ended.";
    std::string text = differences();
    return text.empty() ? std::nullopt : std::optional(std::move(text));
}

bool HandbackWatch::differs() const {
    return compared_at_end() && std::any_of(finding_->items.begin(), finding_->items.end(),
                                            [](const HandbackItem& item) {
                                                return item.fate == Fate::not_meant_to_change;
                                            });
}

std::string HandbackWatch::differences() const {
    std::vector<std::string> differ, unknown;
    for (const HandbackItem& item : finding_->items) {
        const std::string said =
            item.component.name.empty()
                ? "the list of every " + spoken(item.component.kind)
                : std::string(state::to_word(item.component.kind)) + " " + item.component.name;
        if (item.fate == Fate::not_meant_to_change)
            differ.push_back(said);
        if (item.fate == Fate::not_known)
            unknown.push_back(said);
    }
    std::string text;
    if (!differ.empty())
        text = "Not as it was, and not meant to change: " + spoken_list(differ) + ".";
    if (!unknown.empty())
        text += std::string(text.empty() ? "" : " ") +
                "Not known to be as it was: " + spoken_list(unknown) + ".";
    return text;
}

std::optional<Instant> HandbackWatch::due() const {
    return valid_until_ ? std::optional(*valid_until_ + Duration(1)) : std::nullopt;
}

void HandbackWatch::reach(Instant now) {
    if (valid_until_ && *valid_until_ < now)
        restart();
}

} // namespace slotwitness::witness
