#include "counts.hpp"

#include "predicate.hpp"

#include <algorithm>

namespace slotwitness::witness {

namespace {

using state::Attribute;
using Names = std::set<std::string>;

constexpr const char* not_known = "not known";

std::string how_many_are_operational(const View& view, state::Kind kind, const Names& names) {
    static const Inventory none; // what is listed needs none
    std::size_t count = 0;
    for (const std::string& name : names)
        switch (judge(view, Trust::whole_answers, none, {kind, name}, sentences::Trade::operational)
                    .truth) {
        case Truth::yes:
            ++count;
            break;
        case Truth::no:
            break;
        case Truth::unknown:
            return not_known;
        }
    return std::to_string(count);
}

std::string errors_in_sum(const View& view, state::Kind kind, const Names& names) {
    std::optional<units::Decimal> sum = units::Decimal();
    for (const std::string& name : names) {
        const auto* errors = std::get_if<units::Quantity>(
            view.value({kind, name}, Attribute::errors, Trust::whole_answers));
        if (errors == nullptr || errors->unit != units::Unit::none)
            return not_known;
        sum = units::Decimal::sum(*sum, errors->value);
        if (!sum)
            return not_known;
    }
    return sum->to_text();
}

Figures figures_of(const View& view, state::Kind kind) {
    const Names names = view.listed(kind);
    const auto some_tell = [&](Attribute attribute) {
        return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
            return view.tells({kind, name}, attribute);
        });
    };
    Figures figures{.asked = view.is_asked_to_list(kind),
                    .listed = not_known,
                    .operational = not_known,
                    .errors = not_known,
                    .tells_oper = some_tell(Attribute::oper),
                    .tells_errors = some_tell(Attribute::errors)};
    if (view.may_have_more(kind))
        return figures; // where a list may go on, what it shows is no count
    figures.listed = std::to_string(names.size());
    figures.operational = how_many_are_operational(view, kind, names);
    figures.errors = errors_in_sum(view, kind, names);
    return figures;
}

} // namespace

std::map<state::Kind, Figures> figures_of(const View& view) {
    std::map<state::Kind, Figures> all;
    for (const state::Kind kind : state::words_of<state::Kind>())
        all.emplace(kind, figures_of(view, kind));
    return all;
}

std::vector<Change> counts_of(const std::map<state::Kind, Figures>& then,
                              const std::map<state::Kind, Figures>& now) {
    std::vector<Change> counts;
    for (const state::Kind kind : state::words_of<state::Kind>()) {
        const Figures& was = then.at(kind);
        const Figures& is = now.at(kind);
        if (!was.asked && !is.asked)
            continue;
        counts.push_back({spoken(kind) + " listed", was.listed, is.listed});
        if (was.tells_oper || is.tells_oper)
            counts.push_back({spoken(kind) + " operational", was.operational, is.operational});
        if (was.tells_errors || is.tells_errors)
            counts.push_back({spoken(kind) + " errors in sum", was.errors, is.errors});
    }
    return counts;
}

} // namespace slotwitness::witness
