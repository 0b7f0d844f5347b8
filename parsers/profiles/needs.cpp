#include "attributes.hpp"
#include "profile.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace slotwitness::profiles {
namespace {

using sentences::Trade;
using state::Attribute;
using state::Kind;

/// One thing that has to be known of a kind: an attribute, or (nothing) the list of what is there.
struct Want {
    Kind kind = Kind::plane;
    std::optional<Attribute> attribute;
    std::string name; ///< of the one component it is about; empty: of all of its kind
    friend auto operator<=>(const Want&, const Want&) = default;
};

/// Walks a condition and gathers what it needs.
class Gatherer {
  public:
    explicit Gatherer(const Profile& profile) : profile_(profile) {}

    void operator()(const sentences::Condition& condition) { std::visit(*this, condition.node); }
    void operator()(const sentences::OneIs& one) {
        want_predicate(one.subject.kind, one.subject.name, one.predicate);
    }
    void operator()(const sentences::EveryIs& every) {
        want_group(every.group);
        want_predicate(every.group.kind, "", every.predicate);
    }
    void operator()(const sentences::CountIs& count) {
        want_group(count.group);
        want_predicate(count.group.kind, "", count.predicate);
    }
    void operator()(const sentences::NoAlarm& none) { want_alarms(none.at_or_above.has_value()); }
    void operator()(const sentences::CapacityCovers& covers) {
        const auto [kind, name] = want_subject(covers.without);
        if (kind == Kind::module)
            want({Kind::module, Attribute::serves, name});
        want({Kind::plane, std::nullopt, ""});
        want_trade(Kind::plane, "", Trade::operational);
        want({Kind::plane, Attribute::capacity, ""});
        want({Kind::chassis, Attribute::load, ""});
    }
    void operator()(const sentences::Earlier& earlier) { std::visit(*this, earlier.comparison); }
    void operator()(const sentences::NoNewAlarm& none) {
        want_alarms(none.at_or_above.has_value());
        // By these a new alarm is told from an older one of its name.
        want_if_told(Kind::alarm, "", Attribute::about);
        want_if_told(Kind::alarm, "", Attribute::text);
    }
    void operator()(const sentences::TextCompared& compared) {
        const auto [kind, name] = want_subject(compared.subject);
        want({kind, compared.attribute, name});
    }
    void operator()(const sentences::StillIs& still) {
        want_group(still.group);
        want_predicate(still.group.kind, "", still.was);
        want_predicate(still.group.kind, "", still.is);
    }
    void operator()(const sentences::ErrorsNotRising& rising) {
        const auto [kind, name] = want_subject(rising.subject);
        want({kind, Attribute::errors, name});
    }
    void operator()(const sentences::Not& negated) { each(negated.operand); }
    void operator()(const sentences::And& conjunction) { each(conjunction.operands); }
    void operator()(const sentences::Or& disjunction) { each(disjunction.operands); }

    [[nodiscard]] const std::set<Want>& wants() const { return wants_; }

  private:
    void each(const std::vector<sentences::Condition>& conditions) {
        for (const sentences::Condition& condition : conditions)
            (*this)(condition);
    }

    void want(Want one) { wants_.insert(std::move(one)); }

    /// Wanted only where the family tells it without being asked about one component.
    void want_if_told(Kind kind, const std::string& name, Attribute attribute) {
        for (const auto& [id, query] : profile_.queries)
            if (kinds_of(query).contains(kind) && parameters_of(query).empty() &&
                attributes_of(profile_, query).contains(attribute))
                want({kind, attribute, name});
    }

    /// Without a threshold severity matters too, where it is told: a cleared alarm is none.
    void want_alarms(bool with_severity) {
        want({Kind::alarm, std::nullopt, ""});
        if (with_severity)
            want({Kind::alarm, Attribute::severity, ""});
        else
            want_if_told(Kind::alarm, "", Attribute::severity);
    }

    void want_group(const sentences::Group& group) {
        want({group.kind, std::nullopt, ""});
        if (group.served_by)
            want({group.served_by->kind,
                  group.served_by->kind == Kind::fan_tray ? Attribute::covers : Attribute::serves,
                  group.served_by->name});
    }

    std::pair<Kind, std::string>
    want_subject(const std::variant<sentences::Named, sentences::Group>& subject) {
        if (const auto* named = std::get_if<sentences::Named>(&subject))
            return {named->kind, named->name};
        const auto& group = std::get<sentences::Group>(subject);
        want_group(group);
        return {group.kind, ""};
    }

    void want_predicate(Kind kind, const std::string& name, const sentences::Predicate& predicate) {
        if (const auto* trade = std::get_if<Trade>(&predicate)) {
            want_trade(kind, name, *trade);
        } else if (const auto* standard = std::get_if<sentences::Standard>(&predicate)) {
            want({kind, standard->attribute, name});
        } else {
            want({kind, state::measured_attribute(kind), name});
            want_if_told(kind, name, Attribute::sensor_status);
        }
    }

    void want_trade(Kind kind, const std::string& name, Trade trade) {
        switch (trade) {
        case Trade::present:
        case Trade::absent:
            want({kind, std::nullopt, ""});
            return;
        case Trade::up:
        case Trade::operational:
        case Trade::degraded:
            want_if_told(kind, name, Attribute::links_usable);
            want_if_told(kind, name, Attribute::links_total);
            break;
        case Trade::shut:
            want({kind, Attribute::admin, name});
            break;
        case Trade::down:
        case Trade::starting:
            break;
        }
        want({kind, Attribute::oper, name});
    }

    const Profile& profile_;
    std::set<Want> wants_;
};

bool tells(const Profile& profile, const Query& query, const Want& want) {
    if (!kinds_of(query).contains(want.kind))
        return false;
    return want.attribute ? attributes_of(profile, query).contains(*want.attribute) : query.lists;
}

/// An answer of such a layout may tell of every kind, and tells of those that the device has in it.
bool tells_of_any_kind(const Query& query) {
    return std::holds_alternative<layouts::HardwareXmlSpec>(query.layout);
}

/// Queries that tell it; one about a single component, and one that may tell of any kind, only
/// where no other does.
std::vector<Asking> candidates(const Profile& profile, const Want& want) {
    std::vector<Asking> askings, of_any_kind;
    for (const auto& [id, query] : profile.queries)
        if (parameters_of(query).empty() && tells(profile, query, want))
            (tells_of_any_kind(query) ? of_any_kind : askings).push_back({id, {}});
    if (askings.empty())
        askings = std::move(of_any_kind);
    if (!askings.empty() || want.name.empty())
        return askings;
    for (const auto& [id, query] : profile.queries) {
        const auto parameters = parameters_of(query);
        // With several parameters nobody says which of them is the name.
        if (parameters.size() == 1 && tells(profile, query, want))
            askings.push_back({id, {{parameters.front(), want.name}}});
    }
    return askings;
}

state::Problem nobody_tells(const Profile& profile, const Want& want) {
    const std::string kind{to_word(want.kind)};
    const std::string what = want.attribute ? std::string{to_word(*want.attribute)} + " of " + kind
                                            : "which " + kind + " components are there";
    const std::string remedy = want.attribute ? "Ask something that " + profile.family +
                                                    " tells, or give a query of kind \"" + kind +
                                                    "\" in its profile a cell that reads " +
                                                    std::string{to_word(*want.attribute)} + "."
                                              : "Give a query of kind \"" + kind +
                                                    "\" in the profile lists = true, if its answer "
                                                    "names every one.";
    return {"sentence",
            {},
            kind,
            "something that the profile of " + profile.family + " reads, and no query reads " +
                what,
            remedy};
}

/// The asking that meets most of what is still wanted, the first by name among equals.
std::set<Asking> cover(const std::vector<std::vector<Asking>>& choices) {
    std::set<Asking> chosen;
    const auto is_met = [&chosen](const std::vector<Asking>& choice) {
        return std::any_of(choice.begin(), choice.end(),
                           [&](const Asking& asking) { return chosen.contains(asking); });
    };
    while (true) {
        std::map<Asking, std::size_t> meets;
        for (const auto& choice : choices)
            if (!is_met(choice))
                for (const Asking& asking : choice)
                    ++meets[asking];
        if (meets.empty())
            break;
        chosen.insert(
            std::max_element(meets.begin(), meets.end(), [](const auto& a, const auto& b) {
                return a.second < b.second;
            })->first);
    }
    // A later choice may have made an earlier one superfluous.
    for (const Asking& asking : std::set<Asking>{chosen}) {
        chosen.erase(asking);
        if (!std::all_of(choices.begin(), choices.end(), is_met))
            chosen.insert(asking);
    }
    return chosen;
}

} // namespace

tl::expected<std::set<Asking>, state::Problem> needs(const Profile& profile,
                                                     const sentences::Sentence& sentence) {
    Gatherer gatherer{profile};
    gatherer(sentence.condition);
    std::vector<std::vector<Asking>> choices;
    for (const Want& want : gatherer.wants()) {
        choices.push_back(candidates(profile, want));
        if (choices.back().empty())
            return tl::make_unexpected(nobody_tells(profile, want));
        for (const Asking& asking : choices.back())
            if (const auto bytes = request_bytes(profile, asking); !bytes) {
                state::Problem problem = bytes.error();
                problem.where = "sentence";
                return tl::make_unexpected(std::move(problem));
            }
    }
    return cover(choices);
}

} // namespace slotwitness::profiles
