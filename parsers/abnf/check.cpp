#include "check.hpp"

#include "analysis.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace slotwitness::abnf {
namespace {

class Checker {
  public:
    Checker(Grammar& grammar, std::vector<state::Problem>& problems)
        : grammar_(grammar), problems_(problems) {}

    void run() {
        for (Rule& rule : grammar_.rules)
            resolve(rule.element);
        if (!problems_.empty())
            return; // what a rule can begin with is known only when all are defined
        const Analysis analysis{grammar_};
        begins_.resize(grammar_.rules.size());
        for (std::size_t i = 0; i < grammar_.rules.size(); ++i)
            note_beginnings(grammar_.rules[i].element, analysis, begins_[i]);
        find_cycles();
    }

  private:
    void resolve(Element& element) {
        if (auto* reference = std::get_if<Reference>(&element.is)) {
            if (const auto rule = grammar_.find(reference->name))
                reference->rule = *rule;
            else
                problems_.push_back({grammar_.where, element.at, reference->name,
                                     "a rule that is defined",
                                     "define it, or put a text that stands for itself in double "
                                     "quotes"});
        } else if (auto* repetition = std::get_if<Repetition>(&element.is)) {
            resolve(repetition->what.front());
        } else if (auto* concatenation = std::get_if<Concatenation>(&element.is)) {
            for (Element& part : concatenation->parts)
                resolve(part);
        } else if (auto* alternation = std::get_if<Alternation>(&element.is)) {
            for (Element& choice : alternation->choices)
                resolve(choice);
        }
    }

    /// The rules that are entered before an octet of `element` was consumed.
    static void note_beginnings(const Element& element, const Analysis& analysis,
                                std::set<std::size_t>& rules) {
        if (const auto* reference = std::get_if<Reference>(&element.is)) {
            rules.insert(reference->rule);
        } else if (const auto* repetition = std::get_if<Repetition>(&element.is)) {
            if (repetition->most > 0)
                note_beginnings(repetition->what.front(), analysis, rules);
        } else if (const auto* concatenation = std::get_if<Concatenation>(&element.is)) {
            for (const Element& part : concatenation->parts) {
                note_beginnings(part, analysis, rules);
                if (!analysis.nullable(part))
                    break;
            }
        } else if (const auto* alternation = std::get_if<Alternation>(&element.is)) {
            for (const Element& choice : alternation->choices)
                note_beginnings(choice, analysis, rules);
        }
    }

    /// Depth first, with the way on a list of its own: rules may be as many as the limit.
    void find_cycles() {
        enum class Seen { no, on_the_way, yes };
        std::vector<Seen> seen(begins_.size(), Seen::no);
        struct Step {
            std::size_t rule;
            std::set<std::size_t>::const_iterator next;
        };
        for (std::size_t start = 0; start < begins_.size(); ++start) {
            if (seen[start] != Seen::no)
                continue;
            std::vector<Step> way{{start, begins_[start].begin()}};
            seen[start] = Seen::on_the_way;
            while (!way.empty()) {
                Step& step = way.back();
                if (step.next == begins_[step.rule].end()) {
                    seen[step.rule] = Seen::yes;
                    way.pop_back();
                    continue;
                }
                const std::size_t next = *step.next++;
                if (seen[next] == Seen::no) {
                    seen[next] = Seen::on_the_way;
                    way.push_back({next, begins_[next].begin()});
                } else if (seen[next] == Seen::on_the_way) {
                    const auto from = std::find_if(
                        way.begin(), way.end(), [&](const Step& one) { return one.rule == next; });
                    std::vector<std::size_t> cycle;
                    std::transform(from, way.end(), std::back_inserter(cycle),
                                   [](const Step& one) { return one.rule; });
                    refuse(cycle);
                }
            }
        }
    }

    void refuse(std::vector<std::size_t> cycle) {
        // Told from the rule that the text defines first.
        std::rotate(cycle.begin(),
                    std::min_element(cycle.begin(), cycle.end(),
                                     [&](std::size_t a, std::size_t b) {
                                         return grammar_.rules[a].at < grammar_.rules[b].at;
                                     }),
                    cycle.end());
        const Rule& rule = grammar_.rules[cycle.front()];
        std::string way;
        for (const std::size_t one : cycle)
            way += grammar_.rules[one].name + " -> ";
        problems_.push_back({grammar_.where, rule.at, way + rule.name,
                             "a rule that does not begin with itself",
                             "say it as a repetition, as in `list = item *(\",\" item)`"});
    }

    Grammar& grammar_;
    std::vector<state::Problem>& problems_;
    std::vector<std::set<std::size_t>> begins_;
};

} // namespace

void check(Grammar& grammar, std::vector<state::Problem>& problems) {
    Checker{grammar, problems}.run();
}

} // namespace slotwitness::abnf
