#include "world.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <random>

// A condition explains itself: the facts that it names decide it alone. Over random looks, with all
// else taken away: what is not named the device does not know, what has no line named is in doubt,
// and a list that is not named is no list of all.
namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;
using state::Severity;

class Chances {
  public:
    explicit Chances(std::uint64_t seed) : random_(seed) {}
    std::size_t below(std::size_t end) { return static_cast<std::size_t>(random_() % end); }
    bool in_a_hundred(std::size_t percent) { return below(100) < percent; }
    template <class T, std::size_t N>
    const T& one_of(const T (&all)[N]) {
        return all[below(N)];
    }

  private:
    std::mt19937_64 random_;
};

/// The facts of one row, some of which the device does not know.
class RandomRow {
  public:
    explicit RandomRow(Chances& chances) : chances_(chances) {}
    RandomRow& add(Attribute attribute, state::Value value) {
        if (chances_.in_a_hundred(92))
            facts_.emplace_back(attribute, chances_.in_a_hundred(94)
                                               ? std::move(value)
                                               : state::Value(state::Unknown()));
        return *this;
    }
    [[nodiscard]] const Facts& facts() const { return facts_; }

  private:
    Chances& chances_;
    Facts facts_;
};

constexpr OperState opers[] = {OperState::enabled, OperState::enabled,  OperState::enabled,
                               OperState::enabled, OperState::disabled, OperState::testing};
constexpr AdminState admins[] = {AdminState::unlocked, AdminState::locked};
constexpr const char* counts[] = {"4", "4", "4", "4", "3"};
constexpr const char* rates[] = {"3 Tb/s", "3 Tb/s", "2 Tb/s", "1 Tb/s"};
constexpr const char* loads[] = {"1 Tb/s", "3 Tb/s", "6 Tb/s", "12 Tb/s"};
constexpr const char* serials_seen[] = {"A", "A", "A", "B"};
constexpr const char* counters[] = {"7", "7", "7", "8"};
constexpr Severity grades[] = {Severity::critical, Severity::minor, Severity::minor,
                               Severity::cleared};

/// One answer to each of five queries.
enum class Rows { agree, may_disagree };
std::vector<Heard> random_answers(Chances& chances, const std::string& time, bool whole,
                                  Rows rows) {
    Sheet planes({Kind::plane});
    for (const char* name : {"1", "2", "3", "4"})
        if (chances.in_a_hundred(92))
            planes.row(Kind::plane, name,
                       RandomRow(chances)
                           .add(Attribute::oper, chances.one_of(opers))
                           .add(Attribute::admin, chances.one_of(admins))
                           .add(Attribute::links_usable, quantity(chances.one_of(counts)))
                           .add(Attribute::links_total, quantity("4"))
                           .add(Attribute::capacity, quantity(chances.one_of(rates)))
                           .add(Attribute::errors, quantity(chances.one_of(counters)))
                           .facts());
    Sheet modules({Kind::module});
    for (const auto& [name, serves] :
         {std::pair{"FAB1", state::Names{"1", "2"}}, std::pair{"FAB3", state::Names{"3", "4"}}})
        if (chances.in_a_hundred(92))
            modules.row(Kind::module, name,
                        RandomRow(chances)
                            .add(Attribute::oper, chances.one_of(opers))
                            .add(Attribute::serves, serves)
                            .add(Attribute::serial, std::string(chances.one_of(serials_seen)))
                            .facts());
    Sheet alarms({Kind::alarm});
    for (const char* name : {"1", "2"})
        if (chances.in_a_hundred(40))
            alarms.row(Kind::alarm, name,
                       RandomRow(chances)
                           .add(Attribute::severity, chances.one_of(grades))
                           .add(Attribute::about, std::string(chances.one_of(serials_seen)))
                           .facts());
    Sheet chassis({Kind::chassis});
    chassis.row(Kind::chassis, "edge-7",
                RandomRow(chances).add(Attribute::load, quantity(chances.one_of(loads))).facts());
    Sheet more;
    if (rows == Rows::may_disagree &&
        chances.in_a_hundred(30)) // says of one plane again what it said of it before, or not
        more.row(Kind::plane, "3",
                 RandomRow(chances).add(Attribute::oper, chances.one_of(opers)).facts());
    std::vector<Heard> heard_all;
    for (Sheet* sheet : {&planes, &modules, &alarms, &chassis, &more}) {
        if (chances.in_a_hundred(3))
            sheet->unread(chances.in_a_hundred(50) ? "plane 2 garbled" : "garbled");
        if (!whole && chances.in_a_hundred(4))
            sheet->cut();
        heard_all.push_back(heard(*sheet, time + std::to_string(heard_all.size())));
    }
    return heard_all;
}

constexpr const char* forms[] = {
    "plane 3 up",
    "plane 3 shut",
    "plane 4 degraded",
    "plane 2 absent",
    "module FAB3 present",
    "every plane up",
    "every plane except 3 operational",
    "every plane served by module FAB3 shut",
    "at most 1 plane not operational",
    "at most 2 plane not up",
    "at least 2 plane up",
    "at least 1 plane served by module FAB1 admin locked",
    "no alarm",
    "no alarm at or above major",
    "capacity without plane 3 covers load with 20 % margin",
    "capacity without every plane except 1, 2 covers load with 0 % margin",
    "capacity without module FAB3 covers load with 20 % margin",
    "no new alarm since baseline",
    "no new alarm at or above major since baseline",
    "module FAB3 serial differs from baseline",
    "every module serial as in baseline",
    "every plane up in baseline is up",
    "every plane served by module FAB1 up in baseline is admin unlocked",
    "errors of plane 3 not rising",
    "errors of every plane except 1 not rising",
};

const Inventory known =
    inventory({{Kind::plane, {"1", "2", "3", "4"}}, {Kind::module, {"FAB1", "FAB3"}}});

/// What one condition is judged on, kept so that facts can be taken away from it.
struct Case {
    std::vector<Heard> now;
    std::vector<Heard> then;
    std::vector<Heard> before; ///< the earlier look, for counters
    std::optional<units::Decimal> peak;
};

Judgement judged(const sentences::Condition& condition, const Case& from) {
    const View view(from.now, {});
    const Baseline baseline({1, at(0), {}, "engineer"}, from.then);
    Counters earlier;
    earlier.keep(View(from.before, {}),
                 {{Kind::plane, "1"}, {Kind::plane, "2"}, {Kind::plane, "3"}, {Kind::plane, "4"}},
                 at(0));
    return evaluate(condition, {view, known, &baseline, &earlier, at(0), from.peak}).judgement;
}

bool named(const std::vector<Cite>& cites, const Heard& answer, state::Position at) {
    return std::any_of(cites.begin(), cites.end(), [&](const Cite& cite) {
        return cite.capture == answer.capture && cite.at == at;
    });
}

/// The answers with nothing but what the cites name.
std::vector<Heard> only(const std::vector<Cite>& cites, std::vector<Heard> answers) {
    std::set<Component> known_of;
    for (const Heard& answer : answers)
        for (const state::Row& row : answer.reading->rows) {
            bool any = named(cites, answer, row.at);
            for (const auto& [attribute, fact] : row.facts)
                any = any || named(cites, answer, fact.at);
            if (any)
                known_of.insert({row.kind, row.name});
        }
    for (Heard& answer : answers) {
        state::Reading less = *answer.reading;
        if (!named(cites, answer, {}))
            less.lists.clear();
        std::vector<state::Row> in_doubt;
        for (state::Row& row : less.rows) {
            if (!known_of.contains({row.kind, row.name})) {
                row.facts = {{Attribute::label, {std::string("one"), row.at}}};
                in_doubt.push_back(row);
                in_doubt.back().facts = {{Attribute::label, {std::string("another"), row.at}}};
                continue;
            }
            for (auto&& [attribute, fact] : row.facts)
                if (!named(cites, answer, fact.at))
                    fact.value = state::Unknown();
        }
        less.rows.insert(less.rows.end(), in_doubt.begin(), in_doubt.end());
        answer.reading = std::make_shared<const state::Reading>(std::move(less));
    }
    return answers;
}

Case only(const std::vector<Cite>& cites, const Case& from) {
    return {only(cites, from.now), only(cites, from.then), only(cites, from.before), from.peak};
}

Case random_case(Chances& chances, Rows rows) {
    Case made{random_answers(chances, "now", false, rows),
              random_answers(chances, "then", true, rows),
              random_answers(chances, "before", true, rows), std::nullopt};
    if (chances.in_a_hundred(30))
        made.peak = std::get<units::Quantity>(quantity(chances.one_of(loads))).value;
    return made;
}

std::string random_condition(Chances& chances, int depth) {
    switch (depth > 0 ? chances.below(5) : 4) {
    case 0:
        return "not (" + random_condition(chances, depth - 1) + ")";
    case 1:
        return "(" + random_condition(chances, depth - 1) + ") and (" +
               random_condition(chances, depth - 1) + ")";
    case 2:
        return "(" + random_condition(chances, depth - 1) + ") or (" +
               random_condition(chances, depth - 1) + ")";
    default:
        return chances.one_of(forms);
    }
}

std::uint64_t cases() {
    const char* set = std::getenv("SLOTWITNESS_LONG");
    return set != nullptr && std::string(set) == "1" ? 50'000 : 3'000;
}

TEST(a_truth, rests_on_the_way_with_the_fewest_facts) {
    Sheet sheet({Kind::plane});
    sheet.row(Kind::plane, "1", facts(AdminState::locked, OperState::disabled))
        .row(Kind::plane, "2", facts(AdminState::locked, OperState::disabled))
        .row(Kind::plane, "3", facts(AdminState::unlocked, OperState::enabled));
    const View look = view({sheet});
    const auto lines = [&](const char* sentence) {
        std::vector<std::size_t> cited;
        for (const Cite& cite : truth(sentence, look, known).because.cites)
            cited.push_back(cite.at.line);
        return cited;
    };
    using Lines = std::vector<std::size_t>;
    EXPECT_EQ(lines("plane 1 shut and plane 3 up"), (Lines{1, 1, 3})) << "a true `and`: both";
    EXPECT_EQ(lines("plane 1 shut or plane 3 up"), (Lines{3})) << "a true `or`: the smaller";
    EXPECT_EQ(lines("plane 3 up or plane 1 shut"), (Lines{3}));
    EXPECT_EQ(lines("not plane 1 shut and not plane 3 up"), (Lines{3})) << "a false `and`";
    EXPECT_EQ(lines("every plane except 4 up"), (Lines{1})) << "one counterexample";
    EXPECT_EQ(lines("plane 3 shut"), (Lines{3})) << "either of two facts refutes it";
    EXPECT_EQ(lines("every plane shut"), (Lines{3})) << "plane 4, absent, refutes nothing";
    EXPECT_EQ(lines("at most 1 plane down"), (Lines{1, 2}));
    EXPECT_EQ(lines("at least 1 plane down"), (Lines{1}));
}

TEST(a_truth, is_decided_by_the_facts_that_it_names_alone) {
    std::map<Truth, std::uint64_t> met;
    for (std::uint64_t seed = 1; seed <= cases() && !testing::Test::HasFailure(); ++seed) {
        Chances chances(seed);
        const std::string text = random_condition(chances, 2);
        const sentences::Condition asked = condition(text);
        const Case all = random_case(chances, Rows::may_disagree);
        const Judgement whole = judged(asked, all);
        const Judgement less = judged(asked, only(whole.because.cites, all));
        EXPECT_EQ(less.truth, whole.truth)
            << "seed " << seed << ": " << text << "\n  " << whole.because.text
            << "\n  alone: " << less.because.text;
        ++met[whole.truth];
    }
    for (const Truth truth : {T, U, F})
        EXPECT_GT(met[truth], cases() / 10) << to_word(truth);
}

/// What a lost module serves is named though its planes carry nothing anyway, by the same list that
/// the others rest on.
bool may_be_needless(const Cite& cite, const std::string& text) {
    return text.starts_with("capacity without module") && cite.asking.starts_with("now1");
}

/// Where a row begins is shown by any fact on that line.
bool shown_beside(const Cite& left_out, const std::vector<Cite>& others) {
    return left_out.at.column == 1 &&
           std::any_of(others.begin(), others.end(), [&](const Cite& one) {
               return one.capture == left_out.capture && one.at.line == left_out.at.line;
           });
}

TEST(a_truth, of_one_form_rests_on_no_fact_too_many) {
    std::map<std::string, std::map<Truth, int>> met;
    for (std::uint64_t seed = 1; seed <= cases() && !testing::Test::HasFailure(); ++seed) {
        Chances chances(seed);
        const std::string text = chances.one_of(forms);
        const sentences::Condition asked = condition(text);
        const Case all = random_case(chances, Rows::may_disagree);
        const Judgement whole = judged(asked, all);
        ++met[text][whole.truth];
        if (whole.truth == U)
            continue;
        for (std::size_t left_out = 0; left_out < whole.because.cites.size(); ++left_out) {
            std::vector<Cite> cites = whole.because.cites;
            cites.erase(cites.begin() + static_cast<std::ptrdiff_t>(left_out));
            if (shown_beside(whole.because.cites[left_out], cites) ||
                may_be_needless(whole.because.cites[left_out], text))
                continue;
            EXPECT_EQ(judged(asked, only(cites, all)).truth, U)
                << "seed " << seed << ": " << text << "\n  " << whole.because.text << "\n  without "
                << whole.because.cites[left_out].asking << " line "
                << whole.because.cites[left_out].at.line << ": "
                << whole.because.cites[left_out].text;
        }
    }
    for (const auto& [text, truths] : met)
        for (const Truth truth : {T, U, F})
            EXPECT_TRUE(truths.contains(truth)) << text << " was never " << to_word(truth);
}

// Of rows that disagree it is known that they do: with one of them gone there is less doubt.
TEST(a_truth, is_not_turned_round_by_knowing_less) {
    std::uint64_t kept = 0;
    for (std::uint64_t seed = 1; seed <= cases() && !testing::Test::HasFailure(); ++seed) {
        Chances chances(seed);
        const std::string text = random_condition(chances, 2);
        const sentences::Condition asked = condition(text);
        const Case all = random_case(chances, Rows::agree);
        std::vector<Cite> some;
        for (const std::vector<Heard>& answers : {all.now, all.then, all.before})
            for (const Heard& answer : answers) {
                if (chances.in_a_hundred(90))
                    some.push_back({answer.asking, answer.capture, {}, {}});
                for (const state::Row& row : answer.reading->rows)
                    for (const auto& [attribute, fact] : row.facts)
                        if (chances.in_a_hundred(90))
                            some.push_back({answer.asking, answer.capture, fact.at, {}});
            }
        const Truth whole = judged(asked, all).truth;
        const Truth less = judged(asked, only(some, all)).truth;
        EXPECT_TRUE(less == U || less == whole)
            << "seed " << seed << ": " << text << " is " << to_word(whole) << ", and with less "
            << to_word(less);
        kept += less != U ? 1 : 0;
    }
    EXPECT_GT(kept, cases() / 10);
}

} // namespace
} // namespace slotwitness::witness::test
