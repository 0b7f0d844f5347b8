#include "hearing.hpp"
#include "predicate.hpp"

#include <utility>

namespace slotwitness::witness {
namespace {

using state::Kind;

Judgement nothing_of(Kind kind, const Inventory& inventory) {
    return unknown(Reason::nothing_to_range_over, "The device lists no " + spoken(kind) +
                                                      " to judge (" +
                                                      std::string(inventory.source(kind)) + ").");
}

} // namespace

Judgement Hearing::member(const Component& component, const sentences::Predicate& predicate) const {
    seen.components.insert(component);
    return judge(on.view, trust, on.inventory, component, predicate);
}

Members Hearing::range(const sentences::Group& group) const {
    if (group.served_by)
        seen.components.insert({group.served_by->kind, group.served_by->name});
    return members_of(on.view, trust, on.inventory, group);
}

Judgement every(const Hearing& hearing, const sentences::Group& group, const Claim& claim,
                const std::string& said) {
    Members range = hearing.range(group);
    if (range.names.empty() && !range.open)
        return nothing_of(group.kind, hearing.on.inventory);
    Fold fold(Truth::no);
    for (const std::string& name : range.names) {
        Judgement one = claim({group.kind, name});
        if (one.truth == Truth::yes)
            one.because.text.clear(); // told of all at once, below
        fold.add(std::move(one));
    }
    if (range.open)
        fold.doubt(std::move(*range.open));
    Judgement judged = std::move(fold).result();
    if (judged.truth != Truth::unknown)
        add_cites(judged.because.cites, range.membership);
    if (judged.truth == Truth::yes) {
        add_cites(judged.because.cites, range.completeness);
        judged.because.text = "The device reports " + said + " for every " + spoken(group.kind) +
                              " judged: " + spoken_list(range.names) + " (" +
                              std::string(hearing.on.inventory.source(group.kind)) + ").";
    }
    return judged;
}

Judgement hear(const Hearing& hearing, const sentences::OneIs& node) {
    return hearing.member({node.subject.kind, node.subject.name}, node.predicate);
}

Judgement hear(const Hearing& hearing, const sentences::EveryIs& node) {
    return every(
        hearing, node.group,
        [&](const Component& each) { return hearing.member(each, node.predicate); },
        sentences::to_text(node.predicate));
}

/// `at least n` is `not at most n - 1`, over nothing too.
Judgement hear(const Hearing& hearing, const sentences::CountIs& node) {
    Members range = hearing.range(node.group);
    if (range.names.empty() && !range.open)
        return nothing_of(node.group.kind, hearing.on.inventory);
    std::vector<std::string> counted;
    std::vector<Judgement> sure;
    std::vector<Judgement> sure_not;
    std::optional<Because> doubt;
    for (const std::string& name : range.names) {
        Judgement one = hearing.member({node.group.kind, name}, node.predicate);
        if (node.negated)
            one = negate(std::move(one));
        switch (one.truth) {
        case Truth::yes:
            counted.push_back(name);
            sure.push_back(std::move(one));
            break;
        case Truth::no:
            sure_not.push_back(std::move(one));
            break;
        case Truth::unknown:
            if (!doubt)
                doubt = std::move(one.because);
            break;
        }
    }
    const bool closed = !range.open;
    if (!doubt)
        doubt = std::move(range.open);
    Because because;
    because.text = "The device reports " + std::to_string(counted.size()) + " " +
                   spoken(node.group.kind) + " " + (node.negated ? "not " : "") +
                   sentences::to_text(node.predicate) + ": " + spoken_list(counted) + " (of " +
                   std::to_string(range.names.size()) + "; " +
                   std::string(hearing.on.inventory.source(node.group.kind)) + ").";
    add_cites(because.cites, range.membership);
    const std::size_t all = range.names.size();
    // The count from which on the sentence is decided: true for `at least`, false for `at most`.
    const std::size_t decisive = std::size_t{node.limit} + (node.at_least ? 0 : 1);
    if (sure.size() >= decisive) {
        add_cites(because.cites, smallest(std::move(sure), decisive));
        return {node.at_least ? Truth::yes : Truth::no, std::move(because)};
    }
    if (closed && all - sure_not.size() < decisive) {
        // As many as must be missing for the count to stay below.
        add_cites(because.cites,
                  smallest(std::move(sure_not), all < decisive ? 0 : all - decisive + 1));
        add_cites(because.cites, range.completeness);
        return {node.at_least ? Truth::no : Truth::yes, std::move(because)};
    }
    return unknown(std::move(*doubt));
}

} // namespace slotwitness::witness
