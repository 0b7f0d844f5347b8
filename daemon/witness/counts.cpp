#include "counts.hpp"

#include "predicate.hpp"

#include <algorithm>

namespace slotwitness::witness {

namespace {

using state::Attribute;

constexpr std::string_view not_known = "not known";

bool any_tells(const View& view, state::Kind kind, Attribute attribute) {
    const auto names = view.listed(kind);
    return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
        return view.told_of({kind, name}).contains(attribute);
    });
}

std::string how_many_are_operational(const View& view, state::Kind kind) {
    static const Inventory none; // what is listed needs none
    std::size_t count = 0;
    for (const std::string& name : view.listed(kind))
        switch (judge(view, Trust::whole_answers, none, {kind, name}, sentences::Trade::operational)
                    .truth) {
        case Truth::yes:
            ++count;
            break;
        case Truth::no:
            break;
        case Truth::unknown:
            return std::string(not_known);
        }
    return std::to_string(count);
}

std::string errors_in_sum(const View& view, state::Kind kind) {
    std::optional<units::Decimal> sum = units::Decimal();
    for (const std::string& name : view.listed(kind)) {
        const Told told = view.fact({kind, name}, Attribute::errors, Trust::whole_answers);
        const auto* errors = told.value ? std::get_if<units::Quantity>(&*told.value) : nullptr;
        if (errors == nullptr || errors->unit != units::Unit::none)
            return std::string(not_known);
        sum = units::Decimal::sum(*sum, errors->value);
        if (!sum)
            return std::string(not_known);
    }
    return sum->to_text();
}

std::string how_many(const View& view, state::Kind kind) {
    return std::to_string(view.listed(kind).size());
}

} // namespace

std::vector<Change> counts_of(const View& then, const View& now) {
    std::vector<Change> counts;
    for (const state::Kind kind : state::words_of<state::Kind>()) {
        if (!then.is_asked_to_list(kind) && !now.is_asked_to_list(kind))
            continue;
        // Where a list may go on, what it shows is no count.
        const auto count = [&](const char* what, auto&& of) {
            const auto in = [&](const View& view) {
                return view.may_have_more(kind) ? std::string(not_known) : of(view, kind);
            };
            counts.push_back({spoken(kind) + what, in(then), in(now)});
        };
        const auto tells = [&](Attribute attribute) {
            return any_tells(then, kind, attribute) || any_tells(now, kind, attribute);
        };
        count(" listed", how_many);
        if (tells(Attribute::oper))
            count(" operational", how_many_are_operational);
        if (tells(Attribute::errors))
            count(" errors in sum", errors_in_sum);
    }
    return counts;
}

} // namespace slotwitness::witness
