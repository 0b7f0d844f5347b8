#include "evaluate.hpp"

#include "members.hpp"
#include "predicate.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using state::Kind;
using state::Severity;

/// Adds what another part of the condition rests on.
void join(Because& because, Because&& more) {
    because.text += (because.text.empty() ? "" : " ") + more.text;
    add_cites(because.cites, more.cites);
}

/// One reading of the condition, under one trust.
class Reader {
  public:
    Reader(const View& view, const Inventory& inventory, Trust trust)
        : view_(view), inventory_(inventory), trust_(trust) {}

    [[nodiscard]] Judgement read(const sentences::Condition& condition) {
        Judgement judgement =
            std::visit([this](const auto& node) { return read(node); }, condition.node);
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

    [[nodiscard]] std::set<Component> components() && { return std::move(components_); }

  private:
    Judgement member(const Component& component, const sentences::Predicate& predicate) {
        components_.insert(component);
        return judge(view_, trust_, inventory_, component, predicate);
    }

    Judgement read(const sentences::OneIs& node) {
        return member({node.subject.kind, node.subject.name}, node.predicate);
    }

    Members range(const sentences::Group& group) {
        if (group.served_by)
            components_.insert({group.served_by->kind, group.served_by->name});
        return members_of(view_, trust_, inventory_, group);
    }

    Judgement nothing(Kind kind) const {
        return {Truth::unknown,
                {Reason::nothing_to_range_over,
                 "The device lists no " + spoken(kind) + " to judge (" +
                     std::string(inventory_.source(kind)) + ").",
                 {}}};
    }

    Judgement read(const sentences::EveryIs& node) {
        Members range = this->range(node.group);
        if (range.names.empty() && !range.open)
            return nothing(node.group.kind);
        std::optional<Judgement> refuted;
        std::optional<Because> doubt;
        Because all{Reason::true_now, {}, {}};
        for (const std::string& name : range.names) {
            Judgement one = member({node.group.kind, name}, node.predicate);
            if (one.truth == Truth::no && !refuted)
                refuted = std::move(one);
            else if (one.truth == Truth::unknown && !doubt)
                doubt = std::move(one.because);
            else if (one.truth == Truth::yes)
                add_cites(all.cites, one.because.cites);
        }
        if (refuted)
            return std::move(*refuted);
        if (!doubt)
            doubt = std::move(range.open);
        if (doubt)
            return {Truth::unknown, std::move(*doubt)};
        all.text = "The device reports " + sentences::to_text(node.predicate) + " for every " +
                   spoken(node.group.kind) + " judged: " + spoken_list(range.names) + " (" +
                   std::string(inventory_.source(node.group.kind)) + ").";
        return {Truth::yes, std::move(all)};
    }

    /// `at least n` is `not at most n - 1`, over nothing too.
    Judgement read(const sentences::CountIs& node) {
        Members range = this->range(node.group);
        if (range.names.empty() && !range.open)
            return nothing(node.group.kind);
        std::vector<std::string> counted;
        std::size_t unknown = 0;
        std::optional<Because> doubt;
        Because because;
        for (const std::string& name : range.names) {
            Judgement one = member({node.group.kind, name}, node.predicate);
            const Truth counts = node.negated ? negate(one.truth) : one.truth;
            if (counts == Truth::yes)
                counted.push_back(name);
            if (counts == Truth::unknown) {
                ++unknown;
                if (!doubt)
                    doubt = std::move(one.because);
            } else {
                add_cites(because.cites, one.because.cites);
            }
        }
        const bool may_have_more = range.open.has_value();
        if (!doubt)
            doubt = std::move(range.open);
        because.text = "The device reports " + std::to_string(counted.size()) + " " +
                       spoken(node.group.kind) + " " + (node.negated ? "not " : "") +
                       sentences::to_text(node.predicate) + ": " + spoken_list(counted) + " (of " +
                       std::to_string(range.names.size()) + "; " +
                       std::string(inventory_.source(node.group.kind)) + ").";
        const std::size_t limit = node.limit;
        const std::size_t most = counted.size() + unknown;
        if (node.at_least) {
            if (counted.size() >= limit)
                return {Truth::yes, std::move(because)};
            if (!may_have_more && most < limit)
                return {Truth::no, std::move(because)};
        } else {
            if (counted.size() > limit)
                return {Truth::no, std::move(because)};
            if (!may_have_more && most <= limit)
                return {Truth::yes, std::move(because)};
        }
        return {Truth::unknown, std::move(*doubt)};
    }

    /// Is this listed alarm one that `no alarm` speaks of?
    Truth counts(const Told& severity, const std::optional<Severity>& at_or_above) const {
        if (!severity.value)
            // A device that grades no alarm lists an alarm all the same.
            return severity.missing && !severity.may_be_elsewhere && !at_or_above ? Truth::yes
                                                                                  : Truth::unknown;
        const auto* grade = std::get_if<Severity>(&*severity.value);
        if (grade == nullptr)
            return Truth::unknown;
        if (*grade == Severity::cleared)
            return Truth::no;
        if (!at_or_above)
            return Truth::yes;
        // X.733: the severity level of such an alarm cannot be determined.
        if (*grade == Severity::indeterminate && *at_or_above != Severity::indeterminate)
            return Truth::unknown;
        return *grade <= *at_or_above ? Truth::yes : Truth::no;
    }

    Judgement read(const sentences::NoAlarm& node) {
        std::optional<Because> doubt;
        const std::set<std::string> listed = view_.listed(Kind::alarm);
        for (const std::string& name : listed) {
            const Component alarm{Kind::alarm, name};
            if (auto why = view_.doubt(alarm)) {
                if (!doubt)
                    doubt = std::move(why);
                continue;
            }
            Judgement presence = view_.presence(alarm, trust_);
            Told severity = view_.fact(alarm, state::Attribute::severity, trust_);
            const Truth truth = both(presence.truth, counts(severity, node.at_or_above));
            if (truth == Truth::yes) {
                presence.because.text.pop_back();
                presence.because.text +=
                    severity.value ? ": severity " + state::to_text(*severity.value) + "." : ".";
                return {Truth::no, std::move(presence.because)};
            }
            if (truth != Truth::unknown || doubt)
                continue;
            if (presence.truth == Truth::unknown)
                doubt = std::move(presence.because);
            else if (severity.value)
                doubt = Because{Reason::unknown_word,
                                "The device reports " + spoken(alarm) + ": severity " +
                                    state::to_text(*severity.value) +
                                    ", which has no place in the order.",
                                std::move(severity.because.cites)};
            else
                doubt = std::move(severity.because);
        }
        if (!doubt)
            doubt = view_.may_have_more(Kind::alarm);
        if (doubt)
            return {Truth::unknown, std::move(*doubt)};
        const std::string above =
            node.at_or_above ? " at or above " + std::string(state::to_word(*node.at_or_above))
                             : "";
        Because because = view_.presence({Kind::alarm, {}}, trust_).because;
        because.text = "The device lists no alarm" + above + ".";
        return {Truth::yes, std::move(because)};
    }

    Judgement later(std::string_view what) const {
        return {
            Truth::unknown,
            {Reason::fact_missing, std::string(what) + " is evaluated in a later version.", {}}};
    }
    Judgement read(const sentences::CapacityCovers&) {
        return later("A comparison of capacity with load");
    }
    Judgement read(const sentences::Earlier&) {
        return later("A comparison with what was seen earlier");
    }

    Judgement read(const sentences::Not& node) {
        Judgement judgement = read(node.operand.front());
        judgement.truth = negate(judgement.truth);
        return judgement;
    }

    /// Both and either differ only in which truth decides: one false operand an `and`, one true an
    /// `or`.
    Judgement fold(const std::vector<sentences::Condition>& operands, Truth deciding) {
        std::optional<Judgement> decided;
        std::optional<Because> doubt;
        Because all;
        for (const sentences::Condition& operand : operands) {
            Judgement one = read(operand);
            if (one.truth == deciding && !decided)
                decided = std::move(one);
            else if (one.truth == Truth::unknown && !doubt)
                doubt = std::move(one.because);
            else
                join(all, std::move(one.because));
        }
        if (decided)
            return std::move(*decided);
        if (doubt)
            return {Truth::unknown, std::move(*doubt)};
        return {negate(deciding), std::move(all)};
    }
    Judgement read(const sentences::And& node) { return fold(node.operands, Truth::no); }
    Judgement read(const sentences::Or& node) { return fold(node.operands, Truth::yes); }

    const View& view_;
    const Inventory& inventory_;
    Trust trust_;
    std::set<Component> components_;
};

} // namespace

Evaluation evaluate(const sentences::Condition& condition, const View& view,
                    const Inventory& inventory) {
    Reader confirming(view, inventory, Trust::whole_answers);
    Judgement confirmed = confirming.read(condition);
    std::set<Component> components = std::move(confirming).components();
    if (confirmed.truth != Truth::unknown || view.all_whole())
        return {std::move(confirmed), std::move(components)};
    Judgement refuting = Reader(view, inventory, Trust::as_read).read(condition);
    if (refuting.truth == Truth::no)
        return {std::move(refuting), std::move(components)};
    return {std::move(confirmed), std::move(components)};
}

} // namespace slotwitness::witness
