#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/witness/evaluate.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <map>
#include <random>
#include <string>
#include <vector>

// Single forms over one look, against possible worlds: whatever the device does not tell may be
// anything. A form is true if it is in every world, false if it is in none, else unknown. Written
// from the rules of the sentences; nothing of the witness's judgement is used.
namespace slotwitness::worlds {
namespace {

using witness::Truth;

// What one component may be in some world.

struct Plane {
    bool is_up = false;
    int carries = 0;
};
using Planes = std::vector<Plane>;
constexpr int anything = 1'000; ///< more than any load here

/// What is told of one plane; an absent value is not told.
struct Told {
    bool listed = true;
    std::optional<state::OperState> oper;
    std::optional<int> capacity;
    bool fewer_links = false;
};

/// Every plane that it may be. Rule: one that is operational carries what is stated, one that is
/// down or absent nothing, any other something up to what is stated.
std::vector<Plane> worlds_of(const Told& told) {
    if (!told.listed)
        return {{false, 0}};
    const int most = told.capacity.value_or(anything);
    const std::vector<int> up_to_it = {0, most};
    const std::vector<int> stated = told.capacity ? std::vector{*told.capacity} : up_to_it;
    std::vector<Plane> worlds;
    const auto add = [&](bool is_up, const std::vector<int>& figures) {
        for (const int figure : figures)
            worlds.push_back({is_up, figure});
    };
    if (!told.oper || *told.oper == state::OperState::enabled) {
        if (!told.fewer_links)
            add(true, stated);
        else
            add(false, up_to_it);
    }
    if (!told.oper || *told.oper == state::OperState::disabled)
        add(false, {0});
    if (!told.oper || *told.oper == state::OperState::testing)
        add(false, up_to_it);
    return worlds;
}

/// Each choice of one world a component.
template <class World>
void each_choice(const std::vector<std::vector<World>>& all, std::vector<World>& chosen,
                 const std::function<void(const std::vector<World>&)>& visit) {
    if (chosen.size() == all.size()) {
        visit(chosen);
        return;
    }
    for (const World& one : all[chosen.size()]) {
        chosen.push_back(one);
        each_choice(all, chosen, visit);
        chosen.pop_back();
    }
}

/// Gathers what the worlds say. Nothing: the form says nothing there.
class Worlds {
  public:
    void say(std::optional<bool> truth) {
        some_true_ = some_true_ || truth == true;
        some_false_ = some_false_ || truth == false;
        some_nothing_ = some_nothing_ || !truth;
    }
    [[nodiscard]] Truth truth() const {
        if (some_nothing_ || some_true_ == some_false_)
            return Truth::unknown;
        return some_true_ ? Truth::yes : Truth::no;
    }

  private:
    bool some_true_ = false;
    bool some_false_ = false;
    bool some_nothing_ = false;
};

class Dice {
  public:
    explicit Dice(std::uint64_t seed) : random_(seed) {}
    std::size_t below(std::size_t end) { return static_cast<std::size_t>(random_() % end); }
    bool one_in(std::size_t n) { return below(n) == 0; }

  private:
    std::mt19937_64 random_;
};

units::Quantity rate(int value) {
    return {*units::Decimal::of(value, 0), units::Unit::bits_per_second};
}

state::Row row_of(state::Kind kind, const std::string& name, std::size_t line) {
    return {kind, name, {line, 1}, name, {}};
}

void put(state::Row& row, state::Attribute attribute, state::Value value) {
    row.facts[attribute] = {std::move(value), {row.at.line, row.facts.size() + 2}};
}

/// One whole answer; more rows than these there may be if it lists nothing.
witness::View view_of(std::vector<state::Row> rows, std::vector<state::Kind> lists) {
    auto reading = std::make_shared<state::Reading>();
    reading->whole = true;
    reading->lists = std::move(lists);
    reading->rows = std::move(rows);
    return {{{"all", "capture", true, "", reading}}, {}};
}

Truth witness_says(const std::string& sentence, const witness::Grounds& grounds) {
    const auto parsed = sentences::parse(sentence);
    if (!parsed)
        throw std::invalid_argument(state::to_text(parsed.error()));
    return witness::evaluate(parsed->condition, grounds).judgement.truth;
}

std::uint64_t looks() {
    const char* set = std::getenv("SLOTWITNESS_LONG");
    return set != nullptr && std::string(set) == "1" ? 300'000 : 30'000;
}

Told random_plane(Dice& dice, bool lists_all) {
    Told told;
    told.listed = !lists_all || !dice.one_in(6);
    if (!dice.one_in(6))
        told.oper = dice.one_in(5)   ? state::OperState::testing
                    : dice.one_in(4) ? state::OperState::disabled
                                     : state::OperState::enabled;
    if (!dice.one_in(6))
        told.capacity = static_cast<int>(1 + dice.below(3));
    told.fewer_links = dice.one_in(5);
    return told;
}

state::Row row_of(const Told& told, const std::string& name, std::size_t line) {
    state::Row row = row_of(state::Kind::plane, name, line);
    put(row, state::Attribute::oper,
        told.oper ? state::Value(*told.oper) : state::Value(state::OperState::unknown));
    if (told.capacity)
        put(row, state::Attribute::capacity, rate(*told.capacity));
    put(row, state::Attribute::links_usable,
        units::Quantity{*units::Decimal::of(told.fewer_links ? 3 : 4, 0), units::Unit::none});
    put(row, state::Attribute::links_total,
        units::Quantity{*units::Decimal::of(4, 0), units::Unit::none});
    return row;
}

struct Fabric {
    std::vector<Told> planes; ///< 1, 2, 3
    bool lists_all = true;
    std::optional<int> load;
    std::optional<int> peak;
    std::vector<state::Row> rows;
};

Fabric random_fabric(Dice& dice) {
    Fabric fabric;
    fabric.lists_all = !dice.one_in(5);
    for (std::size_t n = 0; n < 3; ++n) {
        fabric.planes.push_back(random_plane(dice, fabric.lists_all));
        if (fabric.planes.back().listed)
            fabric.rows.push_back(row_of(fabric.planes.back(), std::to_string(n + 1), n + 1));
    }
    if (!dice.one_in(6))
        fabric.load = static_cast<int>(dice.below(6));
    if (dice.one_in(3))
        fabric.peak = static_cast<int>(1 + dice.below(5));
    state::Row chassis = row_of(state::Kind::chassis, "edge-7", 9);
    if (fabric.load)
        put(chassis, state::Attribute::load, rate(*fabric.load));
    fabric.rows.push_back(std::move(chassis));
    return fabric;
}

const witness::Inventory& names() {
    static const witness::Inventory known = [] {
        witness::Inventory inventory;
        inventory.state({{state::Kind::plane, {"1", "2", "3"}}});
        return inventory;
    }();
    return known;
}

/// The planes as they may be; where not all are listed there may be more than anyone asks for.
void each_world(const Fabric& fabric, const std::function<void(const Planes&)>& visit) {
    std::vector<std::vector<Plane>> all;
    for (const Told& told : fabric.planes)
        all.push_back(worlds_of(told));
    Planes chosen;
    each_choice<Plane>(all, chosen, visit);
    if (fabric.lists_all)
        return;
    all.insert(all.end(), 3, {{true, anything}});
    each_choice<Plane>(all, chosen, visit);
    for (std::size_t n = 3; n < all.size(); ++n)
        all[n] = {{false, 0}};
    each_choice<Plane>(all, chosen, visit);
}

/// Rule: capacity without plane 3 against the larger of load and peak, and the margin on top.
Truth covered(const Fabric& fabric, int margin) {
    std::vector<int> told = {0, anything * anything};
    if (fabric.load)
        told = {*fabric.load};
    Worlds worlds;
    for (const int load : told)
        each_world(fabric, [&](const Planes& planes) {
            int sum = 0;
            for (std::size_t n = 0; n < planes.size(); ++n)
                sum += n == 2 ? 0 : planes[n].carries;
            worlds.say(sum * 100 >= std::max(load, fabric.peak.value_or(0)) * (100 + margin));
        });
    return worlds.truth();
}

Truth counted(const Fabric& fabric, bool at_least, std::size_t limit) {
    Worlds worlds;
    each_world(fabric, [&](const Planes& planes) {
        const auto up = static_cast<std::size_t>(std::count_if(
            planes.begin(), planes.end(), [](const Plane& one) { return one.is_up; }));
        worlds.say(at_least ? up >= limit : up <= limit);
    });
    return worlds.truth();
}

std::string at(Truth truth) {
    return std::string(to_word(truth));
}

TEST(possible_worlds, of_planes_say_what_capacity_and_counts_say) {
    std::map<std::string, std::map<Truth, std::uint64_t>> met;
    for (std::uint64_t seed = 1; seed <= looks() && !testing::Test::HasFailure(); ++seed) {
        Dice dice(seed);
        const Fabric fabric = random_fabric(dice);
        std::vector<state::Kind> lists;
        if (fabric.lists_all)
            lists = {state::Kind::plane};
        const witness::View view = view_of(fabric.rows, lists);
        witness::Grounds grounds{view, names()};
        if (fabric.peak)
            grounds.peak_load = units::Decimal::of(*fabric.peak, 0);
        const int margin = static_cast<int>(dice.below(3) * 25);
        const std::size_t limit = 1 + dice.below(2);
        const std::pair<std::string, Truth> table[] = {
            {"capacity without plane 3 covers load with " + std::to_string(margin) + " % margin",
             covered(fabric, margin)},
            {"at least " + std::to_string(limit) + " plane up", counted(fabric, true, limit)},
            {"at most " + std::to_string(limit) + " plane up", counted(fabric, false, limit)},
            {"at most 0 plane not up",
             [&] {
                 Worlds worlds;
                 each_world(fabric, [&](const Planes& planes) {
                     worlds.say(std::all_of(planes.begin(), planes.end(),
                                            [](const Plane& one) { return one.is_up; }));
                 });
                 return worlds.truth();
             }()},
        };
        for (const auto& [sentence, expected] : table) {
            EXPECT_EQ(at(witness_says(sentence, grounds)), at(expected))
                << "seed " << seed << ": " << sentence;
            ++met[sentence.substr(0, sentence.find(' '))][expected];
        }
    }
    for (const auto& [form, truths] : met)
        for (const Truth truth : {Truth::no, Truth::unknown, Truth::yes})
            EXPECT_GT(truths.count(truth) != 0 ? truths.at(truth) : 0, looks() / 100)
                << form << " " << at(truth);
}

// Comparisons: what may have been then, and what may be now.

struct Then {
    bool was = false;
    bool is = false;
};

std::optional<bool> random_bit(Dice& dice) {
    return dice.one_in(5) ? std::nullopt : std::optional(dice.one_in(2));
}

std::vector<bool> may_be(std::optional<bool> bit) {
    return bit ? std::vector{*bit} : std::vector{false, true};
}

state::Row port(const std::string& name, std::optional<bool> up, std::size_t line) {
    state::Row row = row_of(state::Kind::port, name, line);
    put(row, state::Attribute::oper,
        !up   ? state::OperState::unknown
        : *up ? state::OperState::enabled
              : state::OperState::disabled);
    return row;
}

TEST(possible_worlds, of_ports_say_whether_all_that_were_up_are_up) {
    std::map<Truth, std::uint64_t> met;
    for (std::uint64_t seed = 1; seed <= looks() && !testing::Test::HasFailure(); ++seed) {
        Dice dice(seed);
        std::vector<std::vector<Then>> all;
        std::vector<state::Row> before;
        std::vector<state::Row> now;
        for (std::size_t n = 1; n <= 3; ++n) {
            const auto was = random_bit(dice);
            const auto is = random_bit(dice);
            before.push_back(port("eth" + std::to_string(n), was, n));
            now.push_back(port("eth" + std::to_string(n), is, n));
            all.emplace_back();
            for (const bool then : may_be(was))
                for (const bool today : may_be(is))
                    all.back().push_back({then, today});
        }
        const bool all_then = !dice.one_in(6);
        if (!all_then) // one more may have been there, of which nothing is known now
            all.push_back({{false, false}, {true, false}, {true, true}});
        Worlds worlds;
        std::vector<Then> chosen;
        each_choice<Then>(all, chosen, [&](const std::vector<Then>& ports) {
            const auto was = [](const Then& one) { return one.was; };
            if (std::none_of(ports.begin(), ports.end(), was))
                worlds.say(std::nullopt); // rule: over nothing it is unknown
            else
                worlds.say(std::all_of(ports.begin(), ports.end(),
                                       [](const Then& one) { return !one.was || one.is; }));
        });
        auto reading = std::make_shared<state::Reading>();
        reading->whole = true;
        if (all_then)
            reading->lists = {state::Kind::port};
        reading->rows = before;
        const witness::Baseline baseline({1, {}, {}, "engineer"},
                                         {{"ports", "then", true, "", reading}});
        const witness::View view = view_of(now, {state::Kind::port});
        const witness::Inventory none;
        EXPECT_EQ(at(witness_says("every port up in baseline is up", {view, none, &baseline})),
                  at(worlds.truth()))
            << "seed " << seed;
        ++met[worlds.truth()];
    }
    for (const Truth truth : {Truth::no, Truth::unknown, Truth::yes})
        EXPECT_GT(met[truth], looks() / 100) << at(truth);
}

/// What may be known of an alarm in one look.
struct Alarm {
    bool listed = false;
    std::optional<int> grade; ///< 0 critical, 1 major, 2 minor, 3 cleared
    int about = 0;
};

Alarm random_alarm(Dice& dice) {
    Alarm alarm;
    alarm.listed = dice.one_in(2);
    if (!dice.one_in(6))
        alarm.grade = static_cast<int>(dice.below(4));
    alarm.about = dice.one_in(5) ? 1 : 0;
    return alarm;
}

void add_row(const Alarm& alarm, const std::string& name, std::size_t line,
             std::vector<state::Row>& rows) {
    static constexpr state::Severity grades[] = {state::Severity::critical, state::Severity::major,
                                                 state::Severity::minor, state::Severity::cleared};
    if (!alarm.listed)
        return;
    state::Row row = row_of(state::Kind::alarm, name, line);
    put(row, state::Attribute::severity,
        alarm.grade ? state::Value(grades[*alarm.grade]) : state::Value(state::Unknown()));
    put(row, state::Attribute::about, std::string(alarm.about == 0 ? "PSU2" : "FAB3"));
    rows.push_back(std::move(row));
}

std::vector<int> grades_of(const Alarm& alarm) {
    if (!alarm.listed)
        return {3}; // as good as cleared
    return alarm.grade ? std::vector{*alarm.grade} : std::vector{0, 1, 2, 3};
}

TEST(possible_worlds, of_alarms_say_whether_there_is_a_new_one) {
    std::map<Truth, std::uint64_t> met;
    for (std::uint64_t seed = 1; seed <= looks() && !testing::Test::HasFailure(); ++seed) {
        Dice dice(seed);
        const bool major = dice.one_in(2);
        const int worst = major ? 1 : 2; // counts, with this grade or a graver one
        std::vector<std::vector<bool>> all;
        std::vector<state::Row> before;
        std::vector<state::Row> now;
        for (std::size_t n = 1; n <= 2; ++n) {
            const Alarm then = random_alarm(dice);
            const Alarm today = random_alarm(dice);
            add_row(then, std::to_string(n), n, before);
            add_row(today, std::to_string(n), n, now);
            // Rule: new is what counts now and did not then, or is about something else.
            all.emplace_back();
            for (const int grade : grades_of(today))
                for (const int grade_then : grades_of(then))
                    all.back().push_back(grade <= worst &&
                                         (grade_then > worst || today.about != then.about));
        }
        const bool all_now = !dice.one_in(6);
        if (!all_now)
            all.push_back({false, true});
        Worlds worlds;
        std::vector<bool> chosen;
        each_choice<bool>(all, chosen, [&](const std::vector<bool>& news) {
            worlds.say(std::none_of(news.begin(), news.end(), [](bool one) { return one; }));
        });
        auto reading = std::make_shared<state::Reading>();
        reading->whole = true;
        reading->lists = {state::Kind::alarm};
        reading->rows = before;
        const witness::Baseline baseline({1, {}, {}, "engineer"},
                                         {{"alarms", "then", true, "", reading}});
        std::vector<state::Kind> lists;
        if (all_now)
            lists = {state::Kind::alarm};
        const witness::View view = view_of(now, lists);
        const witness::Inventory none;
        EXPECT_EQ(at(witness_says(major ? "no new alarm at or above major since baseline"
                                        : "no new alarm since baseline",
                                  {view, none, &baseline})),
                  at(worlds.truth()))
            << "seed " << seed;
        ++met[worlds.truth()];
    }
    for (const Truth truth : {Truth::no, Truth::unknown, Truth::yes})
        EXPECT_GT(met[truth], looks() / 100) << at(truth);
}

} // namespace
} // namespace slotwitness::worlds
