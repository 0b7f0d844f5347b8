#include "draft.hpp"

#include <charconv>
#include <utility>

namespace slotwitness::abnf {
namespace {

/// One thing is itself, several are a list of them.
template <class List>
Element joined(std::vector<Element> elements, std::vector<Element> List::*member,
               state::Position at) {
    if (elements.size() == 1)
        return std::move(elements.front());
    List list;
    list.*member = std::move(elements);
    return {std::move(list), at};
}

} // namespace

void Draft::refuse(state::Position at, std::string_view found, std::string expected,
                   std::string remedy) {
    problems.push_back({where_, at, std::string{found}, std::move(expected), std::move(remedy)});
}

void Draft::begin_rule(std::string_view name, state::Position at) {
    name_ = name;
    name_at_ = at;
    open(at);
}

void Draft::end_rule() {
    Element element = end_level();
    const auto [entry, is_new] =
        rules.try_emplace(lower_case(name_), Rule{name_, {}, name_at_, false});
    Rule& rule = entry->second;
    if (is_new == adds_choices_) {
        refuse(name_at_, name_,
               is_new ? "a rule that is defined above with \"=\""
                      : "a rule that is not defined yet",
               is_new ? "define the rule with \"=\" before \"=/\" adds choices to it"
                      : "line " + std::to_string(rule.at.line) +
                            " defines it too: give one another name, or add choices with \"=/\"");
        if (!is_new)
            return;
    }
    if (is_new) {
        rule.element = std::move(element);
        return;
    }
    // RFC 5234, section 3.3: the new choices come after those that are there.
    std::vector<Element> choices;
    for (Element* part : {&rule.element, &element}) {
        if (auto* several = std::get_if<Alternation>(&part->is))
            for (Element& choice : several->choices)
                choices.push_back(std::move(choice));
        else
            choices.push_back(std::move(*part));
    }
    rule.element = {Alternation{std::move(choices)}, rule.at};
}

void Draft::next_choice() {
    Level& level = levels_.back();
    level.choices.push_back(
        joined(std::exchange(level.parts, {}), &Concatenation::parts, level.at));
}

Element Draft::end_level() {
    next_choice();
    Level level = std::move(levels_.back());
    levels_.pop_back();
    return joined(std::move(level.choices), &Alternation::choices, level.at);
}

void Draft::close(bool optional) {
    const state::Position at = levels_.back().at;
    Element element = end_level();
    if (optional) // RFC 5234, section 3.8: [x] is *1(x)
        element = {Repetition{0, 1, {std::move(element)}}, at};
    add(std::move(element));
}

void Draft::add(Element element) {
    Level& level = levels_.back();
    if (const auto repeats = std::exchange(level.repeats, std::nullopt)) {
        const state::Position at = element.at;
        if (repeats->least > repeats->most)
            refuse(at, std::to_string(repeats->least) + "*" + std::to_string(repeats->most),
                   "a number of repetitions up to the second one",
                   "write the smaller number first");
        Repetition repetition{repeats->least, repeats->most, {}};
        repetition.what.push_back(std::move(element));
        element = {std::move(repetition), at};
    }
    level.parts.push_back(std::move(element));
}

std::size_t Draft::number_of_repeats(std::string_view digits, state::Position at) {
    std::size_t number = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (read.ec == std::errc{} && number <= most_repeats)
        return number;
    refuse(at, digits, "a number up to " + std::to_string(most_repeats),
           "leave the upper bound out, or repeat a group of more elements");
    return 0;
}

void Draft::repeat_least(std::string_view digits, state::Position at) {
    const std::size_t number = number_of_repeats(digits, at);
    levels_.back().repeats = Repeats{number, number};
}

void Draft::repeat_most(std::string_view digits, state::Position at) {
    levels_.back().repeats->most = number_of_repeats(digits, at);
}

void Draft::repeat_without_bound() {
    auto& repeats = levels_.back().repeats;
    repeats = Repeats{repeats ? repeats->least : 0, Repetition::unbounded};
}

void Draft::octet(std::string_view digits, unsigned base, state::Position at) {
    if (octets_.empty())
        octets_at_ = at;
    unsigned value = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value,
                                      static_cast<int>(base));
    if (read.ec != std::errc{} || value > 0xff) {
        refuse(at, digits, "an octet: a number from 0 to 255",
               "write a character beyond ASCII as the octets of its UTF-8, as in `%xC3.A9`");
        value = 0xff;
    }
    octets_ += static_cast<char>(value);
}

void Draft::end_octets() {
    const std::string octets = std::exchange(octets_, {});
    if (!std::exchange(is_range_, false)) {
        add({Literal{octets, true}, octets_at_});
        return;
    }
    const Range range{static_cast<unsigned char>(octets.front()),
                      static_cast<unsigned char>(octets.back())};
    if (range.first > range.last)
        refuse(octets_at_, std::to_string(range.first) + " to " + std::to_string(range.last),
               "a range that ends above its beginning", "write the smaller octet first");
    add({range, octets_at_});
}

} // namespace slotwitness::abnf
