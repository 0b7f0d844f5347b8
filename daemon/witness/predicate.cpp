#include "predicate.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using sentences::Comparison;
using sentences::Measured;
using sentences::Standard;
using sentences::Trade;
using state::AlarmState;
using state::Attribute;
using state::OperState;
using state::SensorStatus;

Truth truth_of(bool value) {
    return value ? Truth::yes : Truth::no;
}

/// A truth, and the facts that decide it.
struct Part {
    Truth truth = Truth::unknown;
    std::vector<Cite> cites;
};

/// False by the part with the fewest facts, true by both.
Part both(Part left, Part right) {
    const bool by_right = right.truth == Truth::no &&
                          (left.truth != Truth::no || right.cites.size() < left.cites.size());
    if (left.truth == Truth::no || right.truth == Truth::no)
        return by_right ? std::move(right) : std::move(left);
    add_cites(left.cites, right.cites);
    return {both(left.truth, right.truth), std::move(left.cites)};
}

Part negate(Part part) {
    return {negate(part.truth), std::move(part.cites)};
}

/// Reads the facts of one listed component and remembers what it read, for the reason.
class Facts {
  public:
    Facts(const View& view, Trust trust, const Component& component)
        : view_(view), trust_(trust), component_(component) {}

    [[nodiscard]] Told tell(Attribute attribute) {
        Told told = view_.fact(component_, attribute, trust_);
        if (told.value) {
            said_ += (said_.empty() ? "" : ", ") + std::string(state::to_word(attribute)) + " " +
                     state::to_text(*told.value);
            add_cites(read_, told.because.cites);
        }
        return told;
    }

    /// The fact, or nothing and the reason kept.
    [[nodiscard]] Told known(Attribute attribute) {
        Told told = tell(attribute);
        if (!told.value)
            doubt(told.because);
        return told;
    }

    void doubt(Because because) {
        if (!doubt_)
            doubt_ = std::move(because);
    }
    void doubt(Reason reason, const std::string& text) { doubt({reason, text, read_}); }

    template <class Word>
    [[nodiscard]] Part is(Attribute attribute, Word word) {
        Told told = known(attribute);
        if (!told.value)
            return {};
        if (const Word* value = std::get_if<Word>(&*told.value))
            return {truth_of(*value == word), std::move(told.because.cites)};
        mistyped(attribute);
        return {};
    }

    void mistyped(Attribute attribute) {
        doubt(Reason::fact_missing, "The device's " + std::string(state::to_word(attribute)) +
                                        " of " + spoken(component_) +
                                        " is of another type than the one asked for.");
    }

    [[nodiscard]] Judgement judgement(Part part) && {
        if (part.truth == Truth::unknown)
            return unknown(doubt_ ? std::move(*doubt_) : Because{Reason::fact_missing, {}, {}});
        return {part.truth,
                {part.truth == Truth::yes ? Reason::true_now : Reason::false_now,
                 "The device reports " + spoken(component_) + ": " + said_ + ".",
                 std::move(part.cites)}};
    }

  private:
    const View& view_;
    Trust trust_;
    const Component& component_;
    std::string said_;
    std::vector<Cite> read_;
    std::optional<Because> doubt_;
};

std::optional<units::Decimal> count(Facts& facts, const Told& told, Attribute attribute) {
    if (!told.value) {
        facts.doubt(told.because);
        return std::nullopt;
    }
    const auto* quantity = std::get_if<units::Quantity>(&*told.value);
    if (quantity == nullptr || quantity->unit != units::Unit::none) {
        facts.mistyped(attribute);
        return std::nullopt;
    }
    return quantity->value;
}

/// Fewer links usable than there are. `if_untold`: what holds for a device that tells no links at
/// all.
Part fewer_links(Facts& facts, Truth if_untold) {
    Told usable = facts.tell(Attribute::links_usable);
    const Told total = facts.tell(Attribute::links_total);
    const bool untold =
        (usable.missing && !usable.may_be_elsewhere) || (total.missing && !total.may_be_elsewhere);
    const bool one_unknown = (!usable.value && !usable.missing) || (!total.value && !total.missing);
    if (untold && !one_unknown && if_untold != Truth::unknown)
        return {if_untold, usable.value  ? usable.because.cites
                           : total.value ? total.because.cites
                                         : std::vector<Cite>()};
    const auto have = count(facts, usable, Attribute::links_usable);
    const auto all = count(facts, total, Attribute::links_total);
    if (!have || !all)
        return {};
    if (*have > *all) {
        facts.doubt(Reason::contradiction, "The device reports more links usable than there are.");
        return {};
    }
    add_cites(usable.because.cites, total.because.cites);
    return {truth_of(*have < *all), std::move(usable.because.cites)};
}

Part trade(Facts& facts, Trade word) {
    switch (word) {
    case Trade::up:
    case Trade::operational: {
        Part enabled = facts.is(Attribute::oper, OperState::enabled);
        return enabled.truth == Truth::no
                   ? enabled
                   : both(std::move(enabled), negate(fewer_links(facts, Truth::no)));
    }
    case Trade::degraded: {
        Part enabled = facts.is(Attribute::oper, OperState::enabled);
        return enabled.truth == Truth::no
                   ? enabled
                   : both(std::move(enabled), fewer_links(facts, Truth::unknown));
    }
    case Trade::down:
        return facts.is(Attribute::oper, OperState::disabled);
    case Trade::shut: {
        Part locked = facts.is(Attribute::admin, state::AdminState::locked);
        return both(std::move(locked), facts.is(Attribute::oper, OperState::disabled));
    }
    case Trade::starting:
        return facts.is(Attribute::oper, OperState::testing);
    case Trade::present:
        return {Truth::yes, {}};
    case Trade::absent:
        return {Truth::no, {}};
    }
    return {};
}

/// Gravity of those alarm bits that lie on one scale; 0 for the others.
int gravity(AlarmState alarm) {
    switch (alarm) {
    case AlarmState::critical:
        return 4;
    case AlarmState::major:
        return 3;
    case AlarmState::minor:
        return 2;
    case AlarmState::warning:
        return 1;
    case AlarmState::unknown:
    case AlarmState::under_repair:
    case AlarmState::indeterminate:
        return 0;
    }
    return 0;
}

/// A fact holds only the gravest bit, so a lesser one may be set beside it.
Truth alarm_is(Facts& facts, AlarmState told, AlarmState asked) {
    if (told == asked)
        return Truth::yes;
    if (gravity(told) > 0 && gravity(told) < gravity(asked))
        return Truth::no;
    facts.doubt(Reason::fact_missing,
                "The device reports alarm " + std::string(state::to_word(told)) + "; whether " +
                    std::string(state::to_word(asked)) + " is set beside it, it does not say.");
    return Truth::unknown;
}

Part standard(Facts& facts, const Standard& asked) {
    Told told = facts.known(asked.attribute);
    if (!told.value)
        return {};
    if (told.value->index() != asked.word.index()) {
        facts.mistyped(asked.attribute);
        return {};
    }
    const auto* alarm = std::get_if<AlarmState>(&*told.value);
    return {alarm != nullptr ? alarm_is(facts, *alarm, std::get<AlarmState>(asked.word))
                             : truth_of(*told.value == asked.word),
            std::move(told.because.cites)};
}

/// RFC 8348 sensor-value: these mark underflow and overflow, not values.
bool beyond_range(const units::Decimal& value) {
    return value.exponent() == 9 && (value.coefficient() == 1 || value.coefficient() == -1);
}

Truth compare(const units::Decimal& value, Comparison comparison, const units::Decimal& limit) {
    switch (comparison) {
    case Comparison::below:
        return truth_of(value < limit);
    case Comparison::at_most:
        return truth_of(value <= limit);
    case Comparison::above:
        return truth_of(value > limit);
    case Comparison::at_least:
        return truth_of(value >= limit);
    }
    return Truth::unknown;
}

Part measured(Facts& facts, const Component& component, const Measured& asked) {
    const Attribute attribute = state::measured_attribute(component.kind);
    Told told = facts.known(attribute);
    if (!told.value)
        return {};
    const auto* quantity = std::get_if<units::Quantity>(&*told.value);
    if (quantity == nullptr) {
        facts.mistyped(attribute);
        return {};
    }
    const Told status = facts.tell(Attribute::sensor_status);
    const bool may_have_status = component.kind == state::Kind::sensor && status.may_be_elsewhere;
    if (!status.missing || may_have_status) {
        if (!status.value) {
            facts.doubt(status.because);
            return {};
        }
        if (*status.value != state::Value(SensorStatus::ok)) {
            facts.doubt(Reason::unknown_word,
                        "The device reports " + spoken(component) + ": sensor-status " +
                            state::to_text(*status.value) + ", so its value counts for nothing.");
            return {};
        }
    }
    if (quantity->unit != asked.limit.unit) {
        facts.doubt(Reason::fact_missing,
                    "The device reports " + spoken(component) + ": " + units::to_text(*quantity) +
                        ", which does not compare with " + units::to_text(asked.limit) + ".");
        return {};
    }
    if (attribute == Attribute::reading && beyond_range(quantity->value)) {
        facts.doubt(Reason::unknown_word, "The device reports a value of " + spoken(component) +
                                              " that means beyond its range (RFC 8348).");
        return {};
    }
    if (status.value)
        add_cites(told.because.cites, status.because.cites);
    return {compare(quantity->value, asked.comparison, asked.limit.value),
            std::move(told.because.cites)};
}

Judgement listed(const View& view, Trust trust, const Component& component,
                 const sentences::Predicate& predicate) {
    if (const auto* word = std::get_if<Trade>(&predicate);
        word != nullptr && (*word == Trade::present || *word == Trade::absent)) {
        Judgement presence = view.presence(component, trust);
        const Truth truth = truth_of(*word == Trade::present);
        presence.because.reason = truth == Truth::yes ? Reason::true_now : Reason::false_now;
        return {truth, std::move(presence.because)};
    }
    Facts facts(view, trust, component);
    struct {
        Facts& facts;
        const Component& component;
        Part operator()(Trade word) const { return trade(facts, word); }
        Part operator()(const Standard& asked) const { return standard(facts, asked); }
        Part operator()(const Measured& asked) const { return measured(facts, component, asked); }
    } const judge{facts, component};
    Part part = std::visit(judge, predicate);
    return std::move(facts).judgement(std::move(part));
}

/// An absent component says nothing of its state, but surely it does not work.
Truth truth_if_absent(const sentences::Predicate& predicate) {
    const auto* word = std::get_if<Trade>(&predicate);
    if (word == nullptr)
        return Truth::unknown;
    switch (*word) {
    case Trade::present:
    case Trade::up:
    case Trade::operational:
        return Truth::no;
    case Trade::absent:
        return Truth::yes;
    case Trade::degraded:
    case Trade::down:
    case Trade::shut:
    case Trade::starting:
        return Truth::unknown;
    }
    return Truth::unknown;
}

} // namespace

Judgement judge(const View& view, Trust trust, const Inventory& inventory,
                const Component& component, const sentences::Predicate& predicate) {
    if (auto doubt = view.doubt(component))
        return {Truth::unknown, std::move(*doubt)};
    if (!view.lists(component) && !inventory.has(component.kind, component.name)) {
        // A list that could not be read is nearer to the cause than a name that was never seen.
        if (auto why = view.may_have_more(component.kind);
            why && why->reason != Reason::fact_missing)
            return {Truth::unknown, std::move(*why)};
        std::set<std::string> seen = view.listed(component.kind);
        const Inventory::Names names = inventory.names(component.kind);
        seen.insert(names.begin(), names.end());
        return {Truth::unknown,
                {Reason::no_inventory,
                 "The device does not list " + spoken(component) + ", and it is in no inventory (" +
                     std::string(inventory.source(component.kind)) +
                     "); names seen: " + spoken_list(seen) + ".",
                 {}}};
    }
    if (view.surely_lists(component, trust))
        return listed(view, trust, component, predicate);
    Judgement presence = view.presence(component, trust);
    if (presence.truth == Truth::unknown)
        return presence;
    const Truth truth = truth_if_absent(predicate);
    presence.because.text.pop_back();
    presence.because.text += " (" + std::string(inventory.source(component.kind)) + ").";
    if (truth != Truth::unknown)
        presence.because.reason = truth == Truth::yes ? Reason::true_now : Reason::false_now;
    return {truth, std::move(presence.because)};
}

} // namespace slotwitness::witness
