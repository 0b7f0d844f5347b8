#include "compile.hpp"

#include "analysis.hpp"
#include "letter.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace slotwitness::abnf {
namespace {

std::uint32_t narrow(std::size_t number) {
    return number >= none ? none : static_cast<std::uint32_t>(number);
}

class Compiler {
  public:
    Compiler(const Grammar& grammar, std::vector<std::size_t> roots,
             std::vector<std::uint32_t> captures)
        : grammar_(grammar), roots_(std::move(roots)), captures_(std::move(captures)),
          analysis_(grammar, kept_apart(captures_)), follow_(analysis_.follow(roots_)),
          starts_(grammar.rules.size()) {}

    tl::expected<Program, std::vector<state::Problem>> run() && {
        program_.has_several_roots = roots_.size() > 1;
        emit_roots();
        // Rules call further rules: the list grows.
        std::size_t done = 0;
        while (done < called_.size()) {
            const std::size_t rule = called_[done++];
            starts_[rule] = here();
            emit(grammar_.rules[rule].element, follow_[rule], none);
            add({Op::give_back});
        }
        for (Instruction& instruction : program_.code)
            if (instruction.op == Op::call)
                instruction.z = starts_[instruction.y];
        if (!problems_.empty())
            return tl::unexpected(std::move(problems_));
        for (const Rule& rule : grammar_.rules)
            program_.rule_names.push_back(rule.name);
        return std::move(program_);
    }

  private:
    static std::vector<bool> kept_apart(const std::vector<std::uint32_t>& captures) {
        std::vector<bool> kept(captures.size());
        std::transform(captures.begin(), captures.end(), kept.begin(),
                       [](std::uint32_t capture) { return capture != none; });
        return kept;
    }

    void emit_roots() {
        OctetSet end;
        end.end = true;
        std::vector<Element> choices;
        choices.reserve(roots_.size());
        for (const std::size_t root : roots_)
            choices.push_back({Reference{"", root}, {}});
        emit_choices(choices, end, [&](std::size_t i) {
            add({Op::chosen, 0, narrow(i)});
            emit_reference(roots_[i], end);
            add({Op::end});
        });
    }

    /// One after the other, each with the way on to the next.
    template <class EmitChoice>
    void emit_choices(const std::vector<Element>& choices, const OctetSet& after,
                      EmitChoice emit_choice) {
        std::vector<OctetSet> looks;
        std::vector<OctetSet> rest(choices.size());
        looks.reserve(choices.size());
        for (const Element& choice : choices)
            looks.push_back(analysis_.next(choice, after));
        for (std::size_t i = choices.size() - 1; i > 0; --i) {
            rest[i - 1] = rest[i];
            rest[i - 1].add(looks[i]);
        }
        std::vector<std::size_t> jumps;
        for (std::size_t i = 0; i < choices.size(); ++i) {
            if (i + 1 == choices.size()) {
                emit_choice(i);
                break;
            }
            const std::size_t choose = add({Op::choose, set_index(rest[i]), set_index(looks[i])});
            emit_choice(i);
            jumps.push_back(add({Op::jump}));
            program_.code[choose].z = here();
        }
        for (const std::size_t jump : jumps)
            program_.code[jump].z = here();
    }

    /// `after` is what may come behind the element; `rule` the one whose whole it is, or none.
    void emit(const Element& element, const OctetSet& after, std::uint32_t rule) {
        if (const auto* reference = std::get_if<Reference>(&element.is)) {
            emit_reference(reference->rule, after);
        } else if (const auto set = analysis_.octet_class(element)) {
            emit_set(*set, rule);
        } else if (const auto* literal = std::get_if<Literal>(&element.is)) {
            emit_literal(*literal, rule);
        } else if (const auto* repetition = std::get_if<Repetition>(&element.is)) {
            emit_repetition(*repetition, after, rule);
        } else if (const auto* concatenation = std::get_if<Concatenation>(&element.is)) {
            std::vector<OctetSet> afters{after};
            for (std::size_t i = concatenation->parts.size() - 1; i > 0; --i)
                afters.push_back(analysis_.next(concatenation->parts[i], afters.back()));
            for (std::size_t i = 0; i < afters.size(); ++i)
                emit(concatenation->parts[i], afters[afters.size() - 1 - i], none);
        } else if (const auto* alternation = std::get_if<Alternation>(&element.is)) {
            emit_choices(alternation->choices, after,
                         [&](std::size_t i) { emit(alternation->choices[i], after, none); });
        } else if (const auto* prose = std::get_if<Prose>(&element.is)) {
            problems_.push_back({grammar_.where, element.at, "<" + prose->text + ">",
                                 "what a program can match",
                                 "replace the words in angle brackets by rules"});
        }
    }

    void emit_reference(std::size_t rule, const OctetSet& after) {
        const std::uint32_t capture = captures_[rule];
        if (capture != none)
            add({Op::capture_begin, 0, capture});
        if (is_small(grammar_.rules[rule].element)) {
            emit(grammar_.rules[rule].element, after, narrow(rule));
        } else {
            if (std::find(called_.begin(), called_.end(), rule) == called_.end())
                called_.push_back(rule);
            add({Op::call, 0, 0, narrow(rule)});
        }
        if (capture != none)
            add({Op::capture_end, 0, capture});
    }

    /// One instruction: not worth a call, and better with what follows at this very place.
    [[nodiscard]] bool is_small(const Element& element) const {
        if (std::holds_alternative<Reference>(element.is))
            return false;
        const auto* repetition = std::get_if<Repetition>(&element.is);
        return std::holds_alternative<Literal>(element.is) || analysis_.octet_class(element) ||
               (repetition != nullptr && analysis_.octet_class(repetition->what.front()));
    }

    void emit_set(const OctetSet& set, std::uint32_t rule) {
        if (set.size() == 1) {
            unsigned octet = 0;
            while (!set.has(static_cast<unsigned char>(octet)))
                ++octet;
            add({Op::octet, 0, octet}, rule);
        } else {
            add({Op::set, 0, set_index(set)}, rule);
        }
    }

    void emit_literal(const Literal& literal, std::uint32_t rule) {
        if (literal.octets.empty())
            return;
        const bool has_letters =
            std::any_of(literal.octets.begin(), literal.octets.end(), is_letter);
        add({literal.case_sensitive || !has_letters ? Op::literal : Op::caseless, 0,
             narrow(program_.literals.size()), narrow(literal.octets.size())},
            rule);
        program_.literals += literal.octets;
    }

    void emit_repetition(const Repetition& repetition, const OctetSet& after, std::uint32_t rule) {
        const Element& what = repetition.what.front();
        const auto [least, most] = std::pair{repetition.least, repetition.most};
        if (most == 0)
            return;
        if (const auto set = analysis_.octet_class(what)) {
            if (const auto* named = std::get_if<Reference>(&what.is);
                named != nullptr && rule == none)
                rule = narrow(named->rule);
            // What it would give back cannot begin what comes behind.
            const bool gives_back = least != most && set->meets(after);
            add({gives_back ? Op::span_back : Op::span, gives_back ? set_index(after) : 0,
                 set_index(*set), narrow(least), narrow(most)},
                rule);
            return;
        }
        OctetSet behind_round = after;
        if (most > 1)
            behind_round.add(analysis_.first(what));
        if (analysis_.nullable(what) || least > 1 || (most > 1 && most != Repetition::unbounded) ||
            (least == 1 && most == 1)) {
            emit_loop(repetition, after, behind_round);
            return;
        }
        // The cheap ones: [x], *x and 1*x of what is not empty.
        const Instruction choose{Op::choose, set_index(after), set_index(analysis_.first(what))};
        const std::uint32_t begin = here();
        std::size_t exit = 0;
        if (least == 0)
            exit = add(choose);
        emit(what, behind_round, none);
        if (least == 1)
            exit = add(choose);
        if (most > 1)
            add({Op::jump, 0, 0, 0, begin});
        program_.code[exit].z = here();
    }

    void emit_loop(const Repetition& repetition, const OctetSet& after,
                   const OctetSet& behind_round) {
        const std::size_t loop = program_.loops.size();
        const Element& what = repetition.what.front();
        program_.loops.push_back({narrow(repetition.least), narrow(repetition.most),
                                  set_index(analysis_.first(what)), set_index(after)});
        add({Op::loop_begin, 0, narrow(loop)});
        program_.loops[loop].next = here();
        add({Op::loop_next, 0, narrow(loop)});
        emit(what, behind_round, none);
        add({Op::loop_again, 0, narrow(loop)});
        program_.loops[loop].end = here();
        add({Op::loop_end, 0, narrow(loop)});
    }

    std::size_t add(Instruction instruction, std::uint32_t rule = none) {
        program_.code.push_back(instruction);
        program_.rule_of.push_back(rule);
        return program_.code.size() - 1;
    }

    [[nodiscard]] std::uint32_t here() const { return narrow(program_.code.size()); }

    std::uint32_t set_index(const OctetSet& set) {
        const auto [entry, is_new] = set_indices_.try_emplace(set, narrow(program_.sets.size()));
        if (is_new)
            program_.sets.push_back(set);
        return entry->second;
    }

    const Grammar& grammar_;
    std::vector<std::size_t> roots_;
    std::vector<std::uint32_t> captures_; ///< of each rule: its capture, or none
    Analysis analysis_;
    std::vector<OctetSet> follow_;
    std::vector<std::uint32_t> starts_; ///< of each rule that is called
    std::vector<std::size_t> called_;
    std::map<OctetSet, std::uint32_t> set_indices_;
    Program program_;
    std::vector<state::Problem> problems_;
};

} // namespace

tl::expected<Program, std::vector<state::Problem>> compile(const Grammar& grammar,
                                                           std::span<const std::string> rules,
                                                           std::span<const std::string> captured) {
    std::vector<state::Problem> problems;
    const auto find = [&](const std::string& name) {
        const auto rule = grammar.find(name);
        if (!rule)
            problems.push_back({grammar.where,
                                {},
                                name,
                                "the name of a rule of the grammar",
                                "define the rule, or name another one"});
        return rule;
    };
    std::vector<std::size_t> roots;
    for (const std::string& name : rules)
        if (const auto rule = find(name))
            roots.push_back(*rule);
    std::vector<std::uint32_t> captures(grammar.rules.size(), none);
    for (std::size_t i = 0; i < captured.size(); ++i)
        if (const auto rule = find(captured[i]))
            captures[*rule] = std::min(captures[*rule], narrow(i));
    if (rules.empty())
        problems.push_back({grammar.where, {}, "", "a rule to match", "name one"});
    if (!problems.empty())
        return tl::unexpected(std::move(problems));
    return Compiler{grammar, std::move(roots), std::move(captures)}.run();
}

} // namespace slotwitness::abnf
