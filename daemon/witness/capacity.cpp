#include "hearing.hpp"
#include "predicate.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {
namespace {

using sentences::Trade;
using state::Attribute;
using state::Kind;
using units::Decimal;

/// A rate of which only bounds may be known, with the facts that each bound rests on.
struct Bounds {
    Decimal least;
    std::optional<Decimal> most; ///< nothing: there is no bound
    std::vector<Cite> least_cites;
    std::vector<Cite> most_cites;
    std::optional<Because> doubt; ///< why they differ
};

/// The planes that are left out.
struct Lost {
    std::set<std::string> names;
    std::optional<Because> open;    ///< others may be lost with them, and why
    std::vector<Cite> cites;        ///< what makes the names lost
    std::vector<Cite> completeness; ///< what makes them all
};

/// Adds the planes that a module serves: without it none of them is counted on, for what the
/// others that serve a plane carry of it alone, no device says.
void lose_served(const Hearing& hearing, const std::string& module, Lost& lost) {
    hearing.seen.components.insert({Kind::module, module});
    Members served = served_by(hearing.on.view, hearing.trust, {Kind::module, module}, Kind::plane);
    lost.names.insert(served.names.begin(), served.names.end());
    add_cites(lost.cites, served.membership);
    if (served.open && !lost.open)
        lost.open = std::move(served.open);
}

Lost lost_with(const Hearing& hearing, const std::set<std::string>& planes,
               const std::variant<sentences::Named, sentences::Group>& without) {
    Lost lost;
    if (const auto* one = std::get_if<sentences::Named>(&without)) {
        if (one->kind == Kind::module)
            lose_served(hearing, one->name, lost);
        else
            lost.names = {one->name};
        return lost;
    }
    const auto& group = std::get<sentences::Group>(without);
    Members members = hearing.range(group);
    if (group.kind == Kind::module) {
        lost.cites = std::move(members.membership);
        lost.completeness = std::move(members.completeness);
        lost.open = std::move(members.open);
        for (const std::string& module : members.names)
            lose_served(hearing, module, lost);
    } else if (group.served_by) {
        lost.names = std::move(members.names);
        lost.cites = std::move(members.membership);
        lost.completeness = std::move(members.completeness);
        lost.open = std::move(members.open);
    } else {
        // Every one but these: also such as no list shows.
        lost.names = planes;
        for (const std::string& name : group.except)
            lost.names.erase(name);
    }
    return lost;
}

std::optional<Decimal> rate_of(const Hearing& hearing, const Component& component,
                               Attribute attribute, Because& because) {
    Told told = hearing.on.view.fact(component, attribute, hearing.trust);
    because = std::move(told.because);
    if (!told.value)
        return std::nullopt;
    const auto* quantity = std::get_if<units::Quantity>(&*told.value);
    if (quantity != nullptr && quantity->unit == units::Unit::bits_per_second &&
        quantity->value >= Decimal())
        return quantity->value;
    because.reason = Reason::fact_missing;
    because.text = "The device's " + std::string(state::to_word(attribute)) + " of " +
                   spoken(component) + " is no rate.";
    return std::nullopt;
}

/// What a plane surely carries and what it carries at most. Only one that is operational surely
/// carries what the device states; one that is down or absent carries nothing.
Bounds capacity_of(const Hearing& hearing, const Component& plane) {
    const auto nothing = [](Judgement why) {
        return Bounds{{}, Decimal(), {}, std::move(why.because.cites), std::nullopt};
    };
    const View& view = hearing.on.view;
    Judgement works = hearing.member(plane, Trade::operational);
    if (works.truth == Truth::unknown && !view.lists(plane))
        return {{}, std::nullopt, {}, {}, std::move(works.because)};
    if (auto doubt = view.doubt(plane))
        return {{}, std::nullopt, {}, {}, std::move(doubt)};
    if (Judgement there = view.presence(plane, hearing.trust); there.truth == Truth::no)
        return nothing(std::move(there));
    if (Judgement down = hearing.member(plane, Trade::down); down.truth == Truth::yes)
        return nothing(std::move(down));
    Because stated;
    const auto capacity = rate_of(hearing, plane, Attribute::capacity, stated);
    if (!capacity)
        return {{}, std::nullopt, {}, {}, std::move(stated)};
    Bounds bounds{{}, capacity, {}, stated.cites, std::nullopt};
    if (works.truth == Truth::yes) {
        bounds.least = *capacity;
        bounds.least_cites = works.because.cites;
        add_cites(bounds.least_cites, stated.cites);
    } else if (works.truth == Truth::no) {
        bounds.doubt = Because{Reason::fact_missing,
                               "How much of its capacity " + spoken(plane) +
                                   " carries now the device does not say: it is not operational.",
                               std::move(works.because.cites)};
    } else {
        bounds.doubt = std::move(works.because);
    }
    return bounds;
}

/// The load to cover is the larger of what the one chassis reports and the peak stated.
struct Load {
    std::optional<Decimal> told;
    std::vector<Cite> cites;
    std::optional<Decimal> peak;
    Because doubt; ///< why it is not told

    /// Nothing: there is no bound.
    [[nodiscard]] std::optional<Decimal> most() const {
        return told && peak ? std::max(told, peak) : told;
    }
    /// What it surely is at least, the one that rests on fewer facts first: the peak is no fact of
    /// the device.
    [[nodiscard]] std::vector<std::pair<Decimal, std::vector<Cite>>> least() const {
        std::vector<std::pair<Decimal, std::vector<Cite>>> bounds;
        if (peak)
            bounds.emplace_back(*peak, std::vector<Cite>());
        if (told)
            bounds.emplace_back(*told, cites);
        return bounds;
    }
};

Load load_of(const Hearing& hearing) {
    Load load{std::nullopt, {}, hearing.on.peak_load, {}};
    const std::set<std::string> chassis = hearing.on.view.listed(Kind::chassis);
    if (chassis.size() != 1) {
        load.doubt = {Reason::fact_missing,
                      "The device's answers tell the load of " + std::to_string(chassis.size()) +
                          " chassis, and not of one.",
                      {}};
        return load;
    }
    const Component component{Kind::chassis, *chassis.begin()};
    hearing.seen.components.insert(component);
    if (auto doubt = hearing.on.view.doubt(component)) {
        load.doubt = std::move(*doubt);
        return load;
    }
    load.told = rate_of(hearing, component, Attribute::load, load.doubt);
    if (load.told)
        load.cites = load.doubt.cites;
    return load;
}

std::string spoken_rate(const Decimal& value) {
    return units::to_text(units::Quantity{value, units::Unit::bits_per_second});
}

std::string of_load(bool seen) {
    return seen ? " of load" : " of stated peak load";
}

/// capacity × 100 against load × (100 + margin), exactly; nothing if it cannot be computed so.
std::optional<bool> covers(const Decimal& capacity, const Decimal& load, const Decimal& margin) {
    const Decimal hundred = *Decimal::of(100, 0);
    const auto factor = Decimal::sum(hundred, margin);
    const auto have = Decimal::product(capacity, hundred);
    const auto need = factor ? Decimal::product(load, *factor) : std::nullopt;
    if (!have || !need)
        return std::nullopt;
    return *have >= *need;
}

Judgement not_exact() {
    return unknown(Reason::fact_missing,
                   "The figures are too long to be compared exactly: write a shorter margin.");
}

/// Is the load covered by the fewest of these, the largest first? Nothing if that cannot be
/// computed exactly.
std::optional<Judgement> by_the_fewest(const std::vector<Bounds>& planes, const Decimal& load,
                                       const Decimal& margin) {
    std::vector<const Bounds*> largest;
    for (const Bounds& plane : planes)
        largest.push_back(&plane);
    std::stable_sort(largest.begin(), largest.end(), [](const Bounds* left, const Bounds* right) {
        return left->least > right->least;
    });
    Decimal sum;
    Judgement judged{Truth::no, {}};
    for (auto next = largest.begin();; ++next) {
        const auto enough = covers(sum, load, margin);
        if (!enough)
            return std::nullopt;
        if (*enough) {
            judged.truth = Truth::yes;
            judged.because.text =
                "The device reports at least " + spoken_rate(sum) + " of capacity against ";
            return judged;
        }
        if (next == largest.end())
            return judged;
        const auto more = Decimal::sum(sum, (*next)->least);
        if (!more)
            return std::nullopt;
        sum = *more;
        add_cites(judged.because.cites, (*next)->least_cites);
    }
}

} // namespace

Judgement hear(const Hearing& hearing, const sentences::CapacityCovers& node) {
    const View& view = hearing.on.view;
    std::set<std::string> planes = view.listed(Kind::plane);
    if (const Inventory::Names* names = hearing.on.inventory.of(Kind::plane))
        planes.insert(names->begin(), names->end());
    if (const auto* one = std::get_if<sentences::Named>(&node.without);
        one != nullptr && one->kind == Kind::plane && !planes.contains(one->name))
        // Nobody knows of such a plane: the name may be mistyped.
        return hearing.member({Kind::plane, one->name}, Trade::present);
    if (planes.empty())
        return unknown(view.may_have_more(Kind::plane)
                           .value_or(Because{Reason::nothing_to_range_over,
                                             "The device lists no fabric plane to count on.",
                                             {}}));
    Lost lost = lost_with(hearing, planes, node.without);

    std::vector<Bounds> kept;
    std::optional<Because> doubt = lost.open;
    std::vector<std::string> names;
    for (const std::string& name : planes) {
        if (lost.names.contains(name))
            continue;
        names.push_back(name);
        kept.push_back(capacity_of(hearing, {Kind::plane, name}));
        if (!doubt)
            doubt = kept.back().doubt;
    }
    const Load load = load_of(hearing);
    if (!doubt && !load.told)
        doubt = load.doubt;
    const std::string against = " with " + node.margin_percent.to_text() +
                                " % margin; planes counted: " + spoken_list(names) + ".";

    if (load.most() && !lost.open) {
        auto covered = by_the_fewest(kept, *load.most(), node.margin_percent);
        if (!covered)
            return not_exact();
        if (covered->truth == Truth::yes) {
            covered->because.text += spoken_rate(*load.most()) +
                                     of_load(!load.peak || *load.told > *load.peak) + against;
            add_cites(covered->because.cites, load.cites);
            add_cites(covered->because.cites, lost.cites);
            add_cites(covered->because.cites, lost.completeness);
            return std::move(*covered);
        }
    }

    // False if all that there can be does not suffice. Where every plane but some is left out, so
    // are planes that no list shows.
    const auto* group = std::get_if<sentences::Group>(&node.without);
    const bool all_but = group != nullptr && group->kind == Kind::plane && !group->served_by;
    std::optional<Because> more;
    if (!all_but)
        more = view.may_have_more(Kind::plane);
    if (!doubt)
        doubt = more;
    Decimal most;
    std::vector<Cite> cites = lost.cites;
    for (const Bounds& plane : kept) {
        if (!plane.most)
            return unknown(std::move(*doubt));
        const auto sum = Decimal::sum(most, *plane.most);
        if (!sum)
            return not_exact();
        most = *sum;
        add_cites(cites, plane.most_cites);
    }
    if (!all_but)
        add_cites(cites, view.lists_of(Kind::plane));
    for (const auto& [least, told] : load.least()) {
        const auto enough = covers(most, least, node.margin_percent);
        if (!enough)
            return not_exact();
        if (more || *enough)
            continue;
        add_cites(cites, told);
        return {Truth::no,
                {Reason::false_now,
                 "The device reports at most " + spoken_rate(most) + " of capacity against " +
                     spoken_rate(least) + of_load(!told.empty()) + against,
                 std::move(cites)}};
    }
    return unknown(std::move(*doubt));
}

} // namespace slotwitness::witness
