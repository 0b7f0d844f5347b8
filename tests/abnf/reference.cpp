#include "reference.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <utility>

namespace slotwitness::abnf::reference {
namespace {

bool literal_stands_at(const Literal& literal, std::string_view text, std::size_t at) {
    if (text.size() - at < literal.octets.size())
        return false;
    const std::string there{text.substr(at, literal.octets.size())};
    return literal.case_sensitive ? there == literal.octets
                                  : lower_case(there) == lower_case(literal.octets);
}

bool range_stands_at(const Range& range, std::string_view text, std::size_t at) {
    return at < text.size() && static_cast<unsigned char>(text[at]) >= range.first &&
           static_cast<unsigned char>(text[at]) <= range.last;
}

using Places = std::set<std::size_t>;

class AllEnds {
  public:
    AllEnds(const Grammar& grammar, std::string_view text) : grammar_(grammar), text_(text) {}

    /// Found once an element and place, for random grammars ask the same again and again.
    const Places& of(const Element& element, std::size_t at) {
        const auto known = known_.find({&element, at});
        if (known != known_.end())
            return known->second;
        Places found = find(element, at);
        return known_[{&element, at}] = std::move(found);
    }

  private:
    Places find(const Element& element, std::size_t at) {
        if (const auto* literal = std::get_if<Literal>(&element.is))
            return literal_stands_at(*literal, text_, at) ? Places{at + literal->octets.size()}
                                                          : Places{};
        if (const auto* range = std::get_if<Range>(&element.is))
            return range_stands_at(*range, text_, at) ? Places{at + 1} : Places{};
        if (const auto* rule = std::get_if<Reference>(&element.is))
            return of(grammar_.rules[rule->rule].element, at);
        if (const auto* list = std::get_if<Concatenation>(&element.is)) {
            Places places{at};
            for (const Element& part : list->parts)
                places = of_all(part, places);
            return places;
        }
        if (const auto* list = std::get_if<Alternation>(&element.is)) {
            Places places;
            for (const Element& choice : list->choices)
                places.merge(Places{of(choice, at)});
            return places;
        }
        const auto& repetition = std::get<Repetition>(element.is);
        Places all;
        Places places{at};
        // After as many rounds as there are octets beyond the least, nothing new can come.
        const std::size_t last = std::min(repetition.most, repetition.least + text_.size());
        for (std::size_t round = 0; round <= last; ++round) {
            if (round >= repetition.least)
                all.insert(places.begin(), places.end());
            if (round < last)
                places = of_all(repetition.what.front(), places);
        }
        return all;
    }

    Places of_all(const Element& element, const Places& begins) {
        Places places;
        for (const std::size_t begin : begins)
            places.merge(Places{of(element, begin)});
        return places;
    }

    const Grammar& grammar_;
    std::string_view text_;
    std::map<std::pair<const Element*, std::size_t>, Places> known_;
};

class FirstReading {
  public:
    FirstReading(const Grammar& grammar, std::string_view text,
                 const std::vector<std::string>& captured)
        : grammar_(grammar), text_(text) {
        for (const std::string& name : captured)
            captured_.push_back(grammar.find(name).value());
    }

    std::optional<Ordered> read(std::size_t rule) {
        Ordered result;
        result.matched = enter(rule, 0, [&](std::size_t at) {
            if (at != text_.size())
                return fail(at);
            result.captures = captures_;
            return true;
        });
        result.furthest = furthest_;
        if (calls_ > most_calls)
            return std::nullopt;
        return result;
    }

  private:
    using Rest = std::function<bool(std::size_t)>;
    static constexpr std::size_t most_calls = 50'000;

    bool fail(std::size_t at) {
        furthest_ = std::max(furthest_, at);
        return false;
    }

    bool enter(std::size_t rule, std::size_t at, const Rest& rest) {
        const auto found = std::find(captured_.begin(), captured_.end(), rule);
        if (found == captured_.end())
            return go(grammar_.rules[rule].element, at, rest);
        const auto index = static_cast<std::uint32_t>(found - captured_.begin());
        const std::size_t mine = captures_.size();
        captures_.push_back({index, static_cast<std::uint32_t>(at), 0});
        if (go(grammar_.rules[rule].element, at, [&](std::size_t end) {
                captures_[mine].end = static_cast<std::uint32_t>(end);
                return rest(end);
            }))
            return true;
        captures_.resize(mine);
        return false;
    }

    bool go(const Element& element, std::size_t at, const Rest& rest) {
        if (++calls_ > most_calls)
            return true; // an end; `read` knows
        if (const auto* literal = std::get_if<Literal>(&element.is))
            return literal_stands_at(*literal, text_, at) ? rest(at + literal->octets.size())
                                                          : fail(at);
        if (const auto* range = std::get_if<Range>(&element.is))
            return range_stands_at(*range, text_, at) ? rest(at + 1) : fail(at);
        if (const auto* rule = std::get_if<Reference>(&element.is))
            return enter(rule->rule, at, rest);
        if (const auto* list = std::get_if<Concatenation>(&element.is))
            return all_of(list->parts, 0, at, rest);
        if (const auto* list = std::get_if<Alternation>(&element.is))
            return std::any_of(list->choices.begin(), list->choices.end(),
                               [&](const Element& choice) { return go(choice, at, rest); });
        return rounds(std::get<Repetition>(element.is), 0, at, rest);
    }

    bool all_of(const std::vector<Element>& parts, std::size_t first, std::size_t at,
                const Rest& rest) {
        if (first == parts.size())
            return rest(at);
        return go(parts[first], at,
                  [&](std::size_t end) { return all_of(parts, first + 1, end, rest); });
    }

    bool rounds(const Repetition& repetition, std::size_t done, std::size_t at, const Rest& rest) {
        if (done < repetition.most && go(repetition.what.front(), at, [&](std::size_t end) {
                return (done < repetition.least || end > at) &&
                       rounds(repetition, done + 1, end, rest);
            }))
            return true;
        return done >= repetition.least && rest(at);
    }

    const Grammar& grammar_;
    std::string_view text_;
    std::vector<std::size_t> captured_;
    std::vector<Capture> captures_;
    std::size_t furthest_ = 0;
    std::size_t calls_ = 0;
};

} // namespace

std::set<std::size_t> ends(const Grammar& grammar, std::size_t rule, std::string_view text,
                           std::size_t begin) {
    return AllEnds{grammar, text}.of(grammar.rules[rule].element, begin);
}

std::optional<Ordered> first_reading(const Grammar& grammar, std::size_t rule,
                                     std::string_view text,
                                     const std::vector<std::string>& captured) {
    return FirstReading{grammar, text, captured}.read(rule);
}

} // namespace slotwitness::abnf::reference
