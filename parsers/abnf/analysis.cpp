#include "analysis.hpp"

#include "letter.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::abnf {
namespace {

template <class... F>
struct Overloaded : F... {
    using F::operator()...;
};
template <class... F>
Overloaded(F...) -> Overloaded<F...>;

OctetSet first_octet(const Literal& literal) {
    OctetSet set;
    if (literal.octets.empty())
        return set;
    const char c = literal.octets.front();
    set.add(static_cast<unsigned char>(c));
    if (!literal.case_sensitive && is_letter(c))
        set.add(static_cast<unsigned char>(c ^ 0x20));
    return set;
}

} // namespace

// Each of the three is the least that the rules ask for: begin with nothing and add until nothing
// changes. A pass takes what it knows one rule further at least, so there are no more passes than
// rules.
Analysis::Analysis(const Grammar& grammar, std::vector<bool> kept)
    : grammar_(grammar), kept_(std::move(kept)), nullable_(grammar.rules.size()),
      first_(grammar.rules.size()), class_(grammar.rules.size()) {
    kept_.resize(grammar.rules.size());
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < grammar.rules.size(); ++i) {
            const Element& element = grammar.rules[i].element;
            if (!nullable_[i] && nullable(element))
                changed = nullable_[i] = true;
            if (!class_[i] && (class_[i] = octet_class(element)))
                changed = true;
        }
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < grammar.rules.size(); ++i)
            changed = first_[i].add(first(grammar.rules[i].element)) || changed;
    }
}

bool Analysis::nullable(const Element& element) const {
    const auto one = [this](const Element& part) { return nullable(part); };
    return std::visit(
        Overloaded{
            [](const Literal& literal) { return literal.octets.empty(); },
            [](const Range&) { return false; },
            [this](const Reference& reference) -> bool { return nullable_[reference.rule]; },
            [&](const Repetition& repetition) {
                return repetition.least == 0 || nullable(repetition.what.front());
            },
            [&](const Concatenation& list) {
                return std::all_of(list.parts.begin(), list.parts.end(), one);
            },
            [&](const Alternation& list) {
                return std::any_of(list.choices.begin(), list.choices.end(), one);
            },
            [](const Prose&) { return false; },
        },
        element.is);
}

OctetSet Analysis::first(const Element& element) const {
    return std::visit(Overloaded{
                          [](const Literal& literal) { return first_octet(literal); },
                          [](const Range& range) {
                              OctetSet set;
                              set.add(range.first, range.last);
                              return set;
                          },
                          [this](const Reference& reference) { return first_[reference.rule]; },
                          [this](const Repetition& repetition) {
                              return repetition.most == 0 ? OctetSet{}
                                                          : first(repetition.what.front());
                          },
                          [this](const Concatenation& list) {
                              OctetSet set;
                              for (const Element& part : list.parts) {
                                  set.add(first(part));
                                  if (!nullable(part))
                                      break;
                              }
                              return set;
                          },
                          [this](const Alternation& list) {
                              OctetSet set;
                              for (const Element& choice : list.choices)
                                  set.add(first(choice));
                              return set;
                          },
                          [](const Prose&) { return OctetSet{}; },
                      },
                      element.is);
}

OctetSet Analysis::next(const Element& element, const OctetSet& after) const {
    OctetSet set = first(element);
    if (nullable(element))
        set.add(after);
    return set;
}

std::optional<OctetSet> Analysis::octet_class(const Element& element) const {
    using Class = std::optional<OctetSet>;
    return std::visit(Overloaded{
                          [](const Literal& literal) {
                              return literal.octets.size() == 1 ? Class{first_octet(literal)}
                                                                : Class{};
                          },
                          [this, &element](const Range&) { return Class{first(element)}; },
                          [this](const Reference& reference) {
                              return kept_[reference.rule] ? Class{} : class_[reference.rule];
                          },
                          [this](const Repetition& repetition) {
                              return repetition.least == 1 && repetition.most == 1
                                         ? octet_class(repetition.what.front())
                                         : Class{};
                          },
                          [](const Concatenation&) { return Class{}; },
                          [this](const Alternation& list) {
                              Class all{OctetSet{}};
                              for (const Element& choice : list.choices) {
                                  const Class one = octet_class(choice);
                                  if (!one)
                                      return Class{};
                                  all->add(*one);
                              }
                              return all;
                          },
                          [](const Prose&) { return Class{}; },
                      },
                      element.is);
}

std::vector<OctetSet> Analysis::follow(const std::vector<std::size_t>& roots) const {
    std::vector<OctetSet> follows(grammar_.rules.size());
    std::vector<bool> used(grammar_.rules.size());
    for (const std::size_t root : roots) {
        follows[root].end = true;
        used[root] = true;
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < grammar_.rules.size(); ++i)
            if (used[i] && spread(grammar_.rules[i].element, follows[i], follows, used))
                changed = true;
    }
    return follows;
}

bool Analysis::spread(const Element& element, const OctetSet& after, std::vector<OctetSet>& follows,
                      std::vector<bool>& used) const {
    return std::visit(Overloaded{
                          [&](const Reference& reference) {
                              const bool is_new = !used[reference.rule];
                              used[reference.rule] = true;
                              return follows[reference.rule].add(after) || is_new;
                          },
                          [&](const Repetition& repetition) {
                              if (repetition.most == 0)
                                  return false;
                              OctetSet next_after = after;
                              if (repetition.most > 1)
                                  next_after.add(first(repetition.what.front()));
                              return spread(repetition.what.front(), next_after, follows, used);
                          },
                          [&](const Concatenation& list) {
                              bool changed = false;
                              OctetSet next_after = after;
                              for (std::size_t i = list.parts.size(); i > 0; --i) {
                                  const Element& part = list.parts[i - 1];
                                  changed = spread(part, next_after, follows, used) || changed;
                                  next_after = next(part, next_after);
                              }
                              return changed;
                          },
                          [&](const Alternation& list) {
                              bool changed = false;
                              for (const Element& choice : list.choices)
                                  changed = spread(choice, after, follows, used) || changed;
                              return changed;
                          },
                          [](const auto&) { return false; },
                      },
                      element.is);
}

} // namespace slotwitness::abnf
