#pragma once

#include "grammar.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::abnf {

/// The rules while they are read. Problems gather that do not hinder reading on.
class Draft {
  public:
    Draft(std::string_view margin_of_rules, std::string_view text_name)
        : margin(margin_of_rules), where_(text_name) {}

    std::string_view margin; ///< the blanks before each rule
    std::map<std::string, Rule> rules;
    std::vector<state::Problem> problems;

    void begin_rule(std::string_view name, state::Position at);
    void define(bool adds_choices) { adds_choices_ = adds_choices; }
    void end_rule();

    void open(state::Position at) { levels_.push_back({{}, {}, {}, at}); }
    void next_choice();
    /// Ends a group or an option and adds it to the level around.
    void close(bool optional);

    void repeat_least(std::string_view digits, state::Position at);
    void repeat_most(std::string_view digits, state::Position at);
    void repeat_without_bound();

    void add(Element element);
    /// The first octet of `%x41` or one more; they are an element with `end_octets`.
    void octet(std::string_view digits, unsigned base, state::Position at);
    void begin_range() { is_range_ = true; }
    void end_octets();

  private:
    struct Repeats {
        std::size_t least = 0;
        std::size_t most = Repetition::unbounded;
    };
    /// A group, an option or the whole of a rule.
    struct Level {
        std::vector<Element> choices;
        std::vector<Element> parts;     ///< of the choice that is being read
        std::optional<Repeats> repeats; ///< of the element that comes next
        state::Position at;
    };

    void refuse(state::Position at, std::string_view found, std::string expected,
                std::string remedy);
    std::size_t number_of_repeats(std::string_view digits, state::Position at);
    [[nodiscard]] Element end_level();

    std::string where_;
    std::vector<Level> levels_;
    std::string name_;
    state::Position name_at_;
    bool adds_choices_ = false;
    std::string octets_;
    state::Position octets_at_;
    bool is_range_ = false;
};

} // namespace slotwitness::abnf
