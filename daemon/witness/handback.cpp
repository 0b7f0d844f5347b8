#include "handback.hpp"

#include "predicate.hpp"
#include "serial.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {

namespace {

using state::Attribute;

/// How the values of an attribute before and after are told apart.
enum class Compared {
    exactly,
    not_risen, ///< a counter of what is wrong
    not_at_all ///< it moves by itself
};

Compared compared(Attribute attribute) {
    switch (attribute) {
    case Attribute::admin:
    case Attribute::oper:
    case Attribute::standby:
    case Attribute::alarm:
    case Attribute::severity:
    case Attribute::sensor_status:
    case Attribute::serial:
    case Attribute::part:
    case Attribute::hardware_rev:
    case Attribute::software_rev:
    case Attribute::label:
    case Attribute::text:
    case Attribute::about:
    case Attribute::system_name:
    case Attribute::port_id:
    case Attribute::serves:
    case Attribute::covers:
    case Attribute::links_usable:
    case Attribute::links_total:
    case Attribute::capacity:
    case Attribute::limit:
        return Compared::exactly;
    case Attribute::errors:
        return Compared::not_risen;
    case Attribute::usage:
    case Attribute::load:
    case Attribute::flaps:
    case Attribute::reading:
    case Attribute::speed:
    case Attribute::uptime:
        return Compared::not_at_all;
    }
    return Compared::exactly;
}

std::string shown(const Told& told) {
    return told.value ? state::to_text(*told.value) : "none";
}

/// A counter that began again and stands at 0 has counted nothing since.
bool has_risen(const state::Value& was, const state::Value& is) {
    const auto* before = std::get_if<units::Quantity>(&was);
    const auto* after = std::get_if<units::Quantity>(&is);
    if (before == nullptr || after == nullptr || before->unit != after->unit)
        return true;
    if (after->value == before->value)
        return false;
    return after->value > before->value || after->value > *units::Decimal::of(0, 0);
}

class PartByPart {
  public:
    PartByPart(const WorkPlan& plan, Way way, const Baseline& baseline, const View& now)
        : plan_(plan), way_(way), then_(baseline.view), now_(now),
          whole_(then_.all_whole() && now_.all_whole()) {}

    [[nodiscard]] HandbackItem of(const Component& component) const {
        // As it is now, or was before it went.
        const std::string says = words_of_alarm(now_.lists(component) ? now_ : then_, component);
        HandbackItem item{component, Fate::as_it_was, {}, {}, says, {}, {}};
        const bool was = is_there(then_, component, item);
        const bool is = is_there(now_, component, item);
        if (!item.why.empty())
            return item;
        if (was != is)
            item.changes.push_back({"present", was ? "yes" : "no", is ? "yes" : "no"});
        else
            for (const Attribute attribute : to_compare(component))
                compare(component, attribute, item);
        settle(item, is);
        return item;
    }

  private:
    static void doubt(HandbackItem& item, const std::string& why) {
        item.fate = Fate::not_known;
        if (item.why.empty())
            item.why = why;
    }

    bool is_there(const View& view, const Component& component, HandbackItem& item) const {
        if (const auto why = view.doubt(component))
            doubt(item, why->text);
        if (view.surely_lists(component, Trust::whole_answers))
            return true;
        const Judgement presence = view.presence(component, Trust::whole_answers);
        if (presence.truth == Truth::unknown)
            doubt(item, presence.because.text);
        return presence.truth == Truth::yes;
    }

    /// Of what no row tells whole answers say nothing; one that is not whole may have told it.
    [[nodiscard]] std::set<Attribute> to_compare(const Component& component) const {
        const auto all = state::words_of<Attribute>();
        if (!whole_)
            return {all.begin(), all.end()};
        std::set<Attribute> told = then_.told_of(component);
        told.merge(now_.told_of(component));
        return told;
    }

    /// The device tells the same value, and no doubt of it.
    [[nodiscard]] bool surely_the_same(const Component& component, Attribute attribute) const {
        const state::Value* was =
            whole_ ? then_.value(component, attribute, Trust::as_read) : nullptr;
        const state::Value* is =
            was != nullptr ? now_.value(component, attribute, Trust::as_read) : nullptr;
        return is != nullptr && *was == *is;
    }

    void compare(const Component& component, Attribute attribute, HandbackItem& item) const {
        const Compared how = compared(attribute);
        if (how == Compared::not_at_all || surely_the_same(component, attribute))
            return;
        const Told was = then_.fact(component, attribute, Trust::whole_answers);
        const Told is = now_.fact(component, attribute, Trust::whole_answers);
        for (const Told* told : {&was, &is})
            if (!told->value && (!told->missing || told->may_be_elsewhere))
                return doubt(item, told->because.text);
        if (!was.value && !is.value)
            return;
        const bool differs =
            !was.value || !is.value ||
            (how == Compared::exactly ? *was.value != *is.value : has_risen(*was.value, *is.value));
        if (differs)
            item.changes.push_back({word(attribute), shown(was), shown(is)});
    }

    /// What surely differs outweighs what is not known.
    void settle(HandbackItem& item, bool is_there) const {
        if (plan_.slot == item.component)
            return settle_slot(item, is_there);
        if (item.changes.empty())
            return;
        item.fate = Fate::not_meant_to_change;
        if (item.component.kind == state::Kind::alarm && !is_there && plan_.slot &&
            plan_.work != Work::look_only && was_about(item.component, *plan_.slot))
            item.fate = Fate::meant_to_change; // it is why they came
    }

    [[nodiscard]] static std::string word(Attribute attribute) {
        return std::string(state::to_word(attribute));
    }

    [[nodiscard]] bool was_about(const Component& alarm, const Component& slot) const {
        const Told about = then_.fact(alarm, Attribute::about, Trust::whole_answers);
        const auto* text = about.value ? std::get_if<std::string>(&*about.value) : nullptr;
        return text != nullptr && concerns(*text, slot);
    }

    [[nodiscard]] bool wants_another_serial() const {
        return plan_.work == Work::replace && way_ == Way::forward;
    }

    /// Of the work slot another part is meant, or the same one, but one that works; and never
    /// another label, which is printed on the chassis.
    void settle_slot(HandbackItem& item, bool is_there) const {
        const auto changed = [&](Attribute attribute) {
            return std::any_of(item.changes.begin(), item.changes.end(), [&](const Change& change) {
                return change.what == word(attribute);
            });
        };
        const Told serial = now_.fact(item.component, Attribute::serial, Trust::whole_answers);
        const Told before = then_.fact(item.component, Attribute::serial, Trust::whole_answers);
        const auto is_not = [&](const std::string& why) {
            std::erase_if(item.changes, [](const Change& change) {
                return change.what == word(Attribute::serial);
            });
            item.changes.push_back(
                {word(Attribute::serial), shown(before), shown(serial) + ", " + why});
            item.fate = Fate::not_meant_to_change;
        };
        if (is_there && wants_another_serial()) {
            if (!serial.value)
                return doubt(item, "The device tells no serial of the part in the work slot.");
            if (before.value && *before.value == *serial.value)
                return is_not("the old part");
            if (!plan_.spare.empty() && !same_serial(state::to_text(*serial.value), plan_.spare))
                return is_not("not the spare " + plan_.spare);
        }
        if (item.changes.empty())
            return;
        const bool wrong_part =
            !wants_another_serial() && (changed(Attribute::serial) || changed(Attribute::part) ||
                                        changed(Attribute::hardware_rev));
        if (plan_.work == Work::look_only || !is_there || changed(Attribute::label) || wrong_part) {
            item.fate = Fate::not_meant_to_change;
            return;
        }
        static const Inventory none; // what is listed needs none
        switch (
            judge(now_, Trust::whole_answers, none, item.component, sentences::Trade::operational)
                .truth) {
        case Truth::yes:
            if (item.fate != Fate::not_known)
                item.fate = Fate::meant_to_change;
            return;
        case Truth::no:
            item.fate = Fate::not_meant_to_change;
            return;
        case Truth::unknown:
            return doubt(item, "Whether the part in the work slot works is not known.");
        }
    }

    const WorkPlan& plan_;
    Way way_;
    const View& then_;
    const View& now_;
    bool whole_; ///< every answer of both
};

bool covers(const Waiver& waiver, const HandbackItem& item) {
    return !item.component.name.empty() && waiver.component == item.component &&
           waiver.says == item.says;
}

} // namespace

std::string words_of_alarm(const View& view, const Component& component) {
    if (component.kind != state::Kind::alarm)
        return "";
    return shown(view.fact(component, Attribute::about, Trust::as_read)) + ": " +
           shown(view.fact(component, Attribute::text, Trust::as_read));
}

std::string_view to_word(Work value) {
    switch (value) {
    case Work::replace:
        return "replace";
    case Work::reseat:
        return "reseat";
    case Work::refit:
        return "refit";
    case Work::look_only:
        return "look-only";
    }
    return "look-only";
}

std::string_view to_word(Fate value) {
    switch (value) {
    case Fate::as_it_was:
        return "as_it_was";
    case Fate::meant_to_change:
        return "meant_to_change";
    case Fate::waived:
        return "waived";
    case Fate::not_meant_to_change:
        return "not_meant_to_change";
    case Fate::not_known:
        return "not_known";
    }
    return "not_known";
}

bool concerns(std::string_view about, const Component& component) {
    return about == component.name || about == spoken(component) ||
           about == std::string(state::to_word(component.kind)) + " " + component.name;
}

std::vector<HandbackItem> compare_with_baseline(const WorkPlan& plan, Way way,
                                                const Baseline& baseline, const View& now) {
    std::vector<HandbackItem> items;
    const PartByPart comparison(plan, way, baseline, now);
    for (const state::Kind kind : state::words_of<state::Kind>()) {
        std::set<std::string> names = baseline.view.listed(kind);
        names.merge(now.listed(kind));
        for (const std::string& name : names)
            items.push_back(comparison.of({kind, name}));
        // What no list shows may be there all the same, unless the list is of all.
        if (baseline.view.is_asked_to_list(kind) || now.is_asked_to_list(kind))
            for (const View* view : {&baseline.view, &now})
                if (const auto why = view->may_have_more(kind)) {
                    items.push_back({{kind, ""}, Fate::not_known, {}, why->text, {}, {}, {}});
                    break;
                }
    }
    return items;
}

void waive(std::span<HandbackItem> items, std::span<const Waiver> waivers) {
    for (HandbackItem& item : items)
        for (const Waiver& waiver : waivers)
            if (!is_clean({&item, 1}) && covers(waiver, item)) {
                item.fate = Fate::waived;
                item.waived_by = waiver.by;
                item.reason = waiver.reason;
            }
}

bool is_clean(std::span<const HandbackItem> items) {
    return std::none_of(items.begin(), items.end(), [](const HandbackItem& item) {
        return item.fate == Fate::not_meant_to_change || item.fate == Fate::not_known;
    });
}

} // namespace slotwitness::witness
