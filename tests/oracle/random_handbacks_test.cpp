#include "chance.hpp"

#include <slotwitness/witness/handback.hpp>
#include <slotwitness/witness/right_part.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <memory>
#include <set>

// The handback, its waivers and the right part beside a second judge of them, written from the
// rules alone, on random chassis: three-valued, cut, unread, without an answer, told twice.
namespace slotwitness::oracle {
namespace {

using state::Attribute;
using state::Kind;
using witness::Component;
using witness::Fate;
using witness::Way;
using witness::Work;

/// What a row tells of an attribute: nothing, that it is not known, or a value.
using Cell = int;
constexpr Cell missing = 0, not_known = -1;

struct Part {
    bool listed = false;
    std::map<Attribute, Cell> cells;
    bool twice = false; ///< by a second row with another serial
};

/// One answer a kind. The work slot is module A.
struct Answer {
    bool silent = false, whole = true, unread = false;
    std::string names{}; ///< the unread line does
    std::map<std::string, Part> parts{};
};
using Chassis = std::map<Kind, Answer>;

const Component slot{Kind::module, "A"};
const std::map<Kind, std::vector<Attribute>> told_of{
    {Kind::module, {Attribute::serial, Attribute::oper}},
    {Kind::port, {Attribute::oper, Attribute::errors, Attribute::load}},
    {Kind::neighbour, {Attribute::oper, Attribute::system_name}},
    {Kind::alarm, {Attribute::about, Attribute::text}}};

state::Value value_of(Attribute attribute, Cell cell) {
    if (cell == not_known)
        return state::Unknown{};
    switch (attribute) {
    case Attribute::oper:
        return cell == 1 ? state::OperState::enabled : state::OperState::disabled;
    case Attribute::errors:
    case Attribute::load:
        return units::Quantity{*units::Decimal::of(cell - 1, 0), units::Unit::none};
    case Attribute::about:
        return std::string(cell == 1 ? "module A" : "module B");
    default:
        return std::string("value ") + std::to_string(cell);
    }
}

std::vector<witness::Heard> heard(const Chassis& chassis) {
    std::vector<witness::Heard> all;
    for (const auto& [kind, answer] : chassis) {
        if (answer.silent)
            continue;
        auto reading = std::make_shared<state::Reading>();
        reading->whole = answer.whole;
        reading->lists = {kind};
        for (const auto& [name, part] : answer.parts) {
            if (!part.listed)
                continue;
            state::Row row{kind, name, {1, 1}, name, {}};
            for (const auto& [attribute, cell] : part.cells)
                if (cell != missing)
                    row.facts[attribute] = {value_of(attribute, cell), {1, 1}};
            reading->rows.push_back(row);
            if (part.twice) {
                row.facts[Attribute::serial] = {std::string("yet another"), {2, 1}};
                reading->rows.push_back(std::move(row));
            }
        }
        if (answer.unread)
            reading->unread.push_back({9, answer.names + " ~~", 1, "a word"});
        all.push_back(
            {std::string(state::to_word(kind)), "c", answer.whole, "", std::move(reading)});
    }
    return all;
}

witness::View view_of(const Chassis& chassis) {
    std::vector<witness::Silent> silent;
    for (const auto& [kind, answer] : chassis)
        if (answer.silent)
            silent.push_back({std::string(state::to_word(kind)), witness::NoAnswer::timed_out, ""});
    return {heard(chassis), std::move(silent)};
}

enum class Presence { yes, no, unknown };

bool trusted(const Answer& answer) {
    return !answer.silent && answer.whole && !answer.unread;
}

/// Rule: what two rows say otherwise, or an unread line names, is not known; only whole answers say
/// that something is there, and only wholly read ones that it is not.
Presence presence(const Chassis& chassis, const Component& of) {
    for (const auto& [kind, answer] : chassis)
        if (!answer.silent && answer.unread && answer.names == of.name)
            return Presence::unknown;
    const Answer& answer = chassis.at(of.kind);
    const auto part = answer.parts.find(of.name);
    if (answer.silent || part == answer.parts.end() || !part->second.listed)
        return trusted(answer) ? Presence::no : Presence::unknown;
    const Cell serial = part->second.cells.contains(Attribute::serial)
                            ? part->second.cells.at(Attribute::serial)
                            : missing;
    if (part->second.twice && serial > 0)
        return Presence::unknown;
    return answer.whole ? Presence::yes : Presence::unknown;
}

/// The value; `missing` only where every answer was whole, else it may stand in what was not heard.
Cell cell_of(const Chassis& chassis, const Component& of, Attribute attribute) {
    const Answer& answer = chassis.at(of.kind);
    const auto part = answer.parts.find(of.name);
    if (!answer.silent && part != answer.parts.end() && part->second.listed) {
        const auto& [listed, cells, twice] = part->second;
        const auto cell = cells.find(attribute);
        const Cell value = cell == cells.end() ? missing : cell->second;
        if (twice && attribute == Attribute::serial)
            return value == missing ? 99 : not_known;
        if (value != missing)
            return value;
    }
    for (const auto& [kind, other] : chassis)
        if (other.silent || !other.whole)
            return not_known;
    return missing;
}

bool all_was_heard(const Chassis& chassis) {
    return std::ranges::all_of(
        chassis, [](const auto& each) { return !each.second.silent && each.second.whole; });
}

struct Judged {
    Fate fate = Fate::as_it_was;
    std::set<std::string> changes;
    friend bool operator==(const Judged&, const Judged&) = default;
};

struct Plan {
    Work work = Work::replace;
    bool spare = false; ///< its serial is given: "value 2"
    Way way = Way::forward;
};

Judged judged(const Plan& plan, const Chassis& then, const Chassis& now, const Component& of) {
    const Presence was = presence(then, of), is = presence(now, of);
    Judged result;
    if (was == Presence::unknown || is == Presence::unknown)
        return {Fate::not_known, {}};
    bool doubt = false;
    if (was != is) {
        result.changes.insert("present");
    } else {
        for (const Attribute attribute : told_of.at(of.kind)) {
            if (attribute == Attribute::load)
                continue; // Rule: the handback leaves out what moves by itself.
            const Cell before = cell_of(then, of, attribute), after = cell_of(now, of, attribute);
            if (before == not_known || after == not_known) {
                doubt = true;
                continue;
            }
            // Rule: an error counter may not have risen; one that began again counts from 0.
            const bool began_again = attribute == Attribute::errors && before > 0 && after > 0 &&
                                     after < before && after == 1;
            if (before != after && !began_again)
                result.changes.insert(std::string(state::to_word(attribute)));
        }
        // Of what this chassis never tells nothing was heard either.
        doubt = doubt || !all_was_heard(then) || !all_was_heard(now);
    }
    const bool gone_alarm_of_slot = of.kind == Kind::alarm && is == Presence::no &&
                                    plan.work != Work::look_only &&
                                    cell_of(then, of, Attribute::about) == 1;
    const auto by_doubt = [&] { return doubt ? Fate::not_known : Fate::as_it_was; };
    if (of != slot) {
        result.fate = result.changes.empty() ? by_doubt()
                      : gone_alarm_of_slot   ? Fate::meant_to_change
                                             : Fate::not_meant_to_change;
        return result;
    }
    // Rule: of the work slot another part counts as meant only if it is operational; of a replaced
    // one only another serial (the spare's, if it was named), on the way back only the old one.
    const bool another = plan.work == Work::replace && plan.way == Way::forward;
    const Cell serial = cell_of(now, of, Attribute::serial);
    const Cell old = cell_of(then, of, Attribute::serial);
    if (is == Presence::yes && another) {
        if (serial == not_known || serial == missing)
            return {Fate::not_known, result.changes};
        if (serial == old || (plan.spare && serial != 2)) {
            result.changes.insert("serial");
            return {Fate::not_meant_to_change, result.changes};
        }
    }
    if (result.changes.empty())
        return {by_doubt(), {}};
    if (plan.work == Work::look_only || is == Presence::no ||
        (!another && result.changes.contains("serial")))
        return {Fate::not_meant_to_change, result.changes};
    const Cell oper = cell_of(now, of, Attribute::oper);
    result.fate = oper == 2                                   ? Fate::not_meant_to_change
                  : oper != 1 || doubt || !all_was_heard(now) ? Fate::not_known
                                                              : Fate::meant_to_change;
    return result;
}

Chassis random_chassis(Chance& chance, const Chassis* before) {
    Chassis chassis;
    for (const auto& [kind, attributes] : told_of) {
        Answer& answer = chassis[kind];
        answer.silent = chance.in_a_hundred(2);
        answer.whole = !chance.in_a_hundred(4);
        answer.unread = chance.in_a_hundred(4);
        if (answer.unread)
            answer.names = chance.in_a_hundred(50) ? "A" : "nobody";
        for (const std::string name : {"A", "B"}) {
            Part& part = answer.parts[name];
            part.listed = chance.in_a_hundred(85);
            part.twice = kind == Kind::module && chance.in_a_hundred(3);
            for (const Attribute attribute : attributes) {
                const Cell cell = static_cast<Cell>(chance.up_to(2)) + 1;
                part.cells[attribute] = chance.in_a_hundred(4) ? missing
                                        : chance.in_a_hundred(4)
                                            ? not_known
                                            : std::min(cell, attribute == Attribute::oper ||
                                                                     attribute == Attribute::about
                                                                 ? 2
                                                                 : 3);
            }
            if (before && chance.in_a_hundred(60))
                part = before->at(kind).parts.at(name);
        }
    }
    return chassis;
}

std::string told(const Plan& plan, const Component& of) {
    return std::string(witness::to_word(plan.work)) + (plan.way == Way::back ? ", back" : "") +
           (plan.spare ? ", spare" : "") + ": " + std::string(state::to_word(of.kind)) + " " +
           of.name;
}

TEST(RandomHandbacks, sort_each_part_as_the_second_judge_does) {
    std::map<Fate, int> met;
    for (std::uint64_t seed = 1; seed <= 20'000; ++seed) {
        Chance chance(seed);
        const Chassis then = random_chassis(chance, nullptr);
        const Chassis now = random_chassis(chance, &then);
        const Plan plan{static_cast<Work>(chance.up_to(3)), chance.in_a_hundred(50),
                        chance.in_a_hundred(30) ? Way::back : Way::forward};
        // A baseline is of whole answers alone; the comparison must not depend on that.
        witness::Baseline baseline({7, witness::Instant(), {}, "Ada"}, heard(then));
        baseline.view = view_of(then);
        auto items = witness::compare_with_baseline({plan.work, slot, plan.spare ? "value 2" : ""},
                                                    plan.way, baseline, view_of(now));
        std::set<Kind> open_lists;
        for (const auto& [kind, attributes] : told_of)
            if ((!trusted(then.at(kind)) || !trusted(now.at(kind))) &&
                (!then.at(kind).silent || !now.at(kind).silent))
                open_lists.insert(kind);
        std::set<Component> named;
        for (const auto& item : items) {
            if (item.component.name.empty()) {
                EXPECT_EQ(item.fate, Fate::not_known);
                EXPECT_EQ(open_lists.erase(item.component.kind), 1U) << "seed " << seed;
                continue;
            }
            EXPECT_TRUE(named.insert(item.component).second) << "seed " << seed;
            Judged ours{item.fate, {}};
            for (const auto& change : item.changes)
                ours.changes.insert(change.what);
            const Judged theirs = judged(plan, then, now, item.component);
            ++met[theirs.fate];
            ASSERT_EQ(witness::to_word(ours.fate), witness::to_word(theirs.fate))
                << "seed " << seed << ", " << told(plan, item.component) << " " << item.why;
            ASSERT_EQ(ours.changes, theirs.changes)
                << "seed " << seed << ", " << told(plan, item.component);
        }
        EXPECT_TRUE(open_lists.empty()) << "seed " << seed;
        for (const auto& [kind, attributes] : told_of)
            for (const std::string name : {"A", "B"}) {
                const auto listed = [&](const Chassis& chassis) {
                    return !chassis.at(kind).silent && chassis.at(kind).parts.at(name).listed;
                };
                EXPECT_EQ(named.contains({kind, name}), listed(then) || listed(now))
                    << "seed " << seed;
            }

        // Rule: a waiver of a component is by its name, of an alarm as long as it says the same.
        const auto before = items;
        std::vector<witness::Waiver> waivers;
        for (const auto& item : items)
            if (chance.in_a_hundred(40))
                waivers.push_back({item.component, "Ada", "It is known.",
                                   chance.in_a_hundred(30) ? "something else" : item.says});
        witness::waive(items, waivers);
        for (std::size_t n = 0; n < items.size(); ++n) {
            const bool bad =
                before[n].fate == Fate::not_known || before[n].fate == Fate::not_meant_to_change;
            const bool covered = std::ranges::any_of(waivers, [&](const auto& waiver) {
                return !waiver.component.name.empty() && waiver.component == before[n].component &&
                       waiver.says == before[n].says;
            });
            EXPECT_EQ(items[n].fate, bad && covered ? Fate::waived : before[n].fate)
                << "seed " << seed;
            met[items[n].fate] += items[n].fate == Fate::waived;
        }
    }
    for (const Fate fate : {Fate::as_it_was, Fate::meant_to_change, Fate::not_meant_to_change,
                            Fate::not_known, Fate::waived})
        EXPECT_GT(met[fate], 300) << witness::to_word(fate);
}

/// What happened to the work slot, in order.
struct Turn {
    enum class What { looked, kept, turned_back, answered } what = What::looked;
    Presence present = Presence::unknown;
    Cell serial = missing; ///< 1: the old one, 2: the spare, 3: another
};

struct RightTold {
    witness::Truth right = witness::Truth::unknown;
    bool accepted = false;
    friend bool operator==(const RightTold&, const RightTold&) = default;
};

/// Read again from the whole list of what happened.
RightTold right_by(const std::vector<Turn>& turns, Work work, bool spare_given) {
    using witness::Truth;
    bool kept = false, back = false, out = false, emptied = false;
    Cell old = missing, shown = missing;
    RightTold told;
    for (const Turn& turn : turns) {
        const bool counts = turn.present != Presence::unknown;
        bool look = false;
        if (turn.what == Turn::What::kept && !kept) {
            kept = true;
            old = turn.present == Presence::yes ? turn.serial : missing;
            out = emptied = turn.present == Presence::no;
        } else if (turn.what == Turn::What::looked && kept && counts) {
            out = turn.present == Presence::no;
            emptied = emptied || out;
            look = out || turn.serial > 0;
            if (look) {
                told.accepted = told.accepted && shown == (out ? missing : turn.serial);
                shown = out ? missing : turn.serial;
            }
        } else if (turn.what == Turn::What::turned_back && !back) {
            back = look = true;
            emptied = out; // Rule: what the way back meets in the slot comes out first.
        } else if (turn.what == Turn::What::answered && told.right == Truth::no) {
            told.accepted = true;
        }
        if (!look)
            continue;
        const bool another = work == Work::replace && !back;
        // Rule: of a replacement the spare, on the way back and of a reseat or refit the part that
        // was there; the old one is wrong only once a look showed the slot empty.
        if (shown == missing)
            told.right = Truth::unknown;
        else if (another && shown == old)
            told.right = emptied ? Truth::no : Truth::unknown;
        else if (another && spare_given && shown == 2)
            told.right = Truth::yes;
        else if (another && old <= 0 && (!emptied || !spare_given))
            told.right = Truth::unknown;
        else if (another)
            told.right = spare_given ? Truth::no : Truth::yes;
        else if (old <= 0)
            told.right = Truth::unknown;
        else if (shown == old)
            told.right = Truth::yes;
        else
            told.right = back && !emptied ? Truth::unknown : Truth::no;
        told.accepted = told.accepted && told.right == Truth::no;
    }
    return told;
}

Chassis slot_alone(const Turn& turn) {
    Answer answer;
    answer.whole = turn.present != Presence::unknown;
    Part& part = answer.parts["A"];
    part.listed = turn.present != Presence::no;
    part.cells[Attribute::serial] = turn.serial;
    return {{Kind::module, answer}};
}

TEST(RandomHandbacks, find_the_right_part_as_the_second_judge_does) {
    std::map<std::pair<witness::Truth, bool>, int> met;
    for (std::uint64_t seed = 1; seed <= 20'000; ++seed) {
        Chance chance(seed);
        const Work work = static_cast<Work>(chance.up_to(2)); // replace, reseat, refit
        const bool spare = work == Work::replace && chance.in_a_hundred(60);
        witness::RightPart part("job", {work, slot, spare ? "VALUE-2" : ""});
        std::vector<Turn> turns;
        bool back = false;
        for (int n = 0; n < 10; ++n) {
            Turn turn;
            turn.present = chance.in_a_hundred(12)   ? Presence::unknown
                           : chance.in_a_hundred(35) ? Presence::no
                                                     : Presence::yes;
            turn.serial =
                chance.in_a_hundred(12) ? missing : static_cast<Cell>(1 + chance.up_to(2));
            turn.what = n == 0 || chance.in_a_hundred(3)  ? Turn::What::kept
                        : chance.in_a_hundred(15)         ? Turn::What::answered
                        : !back && chance.in_a_hundred(8) ? Turn::What::turned_back
                                                          : Turn::What::looked;
            if (turn.what == Turn::What::kept && turn.present == Presence::unknown)
                turn.present = Presence::yes; // a baseline is of whole answers
            turns.push_back(turn);
            switch (turn.what) {
            case Turn::What::looked:
                part.look(view_of(slot_alone(turn)));
                break;
            case Turn::What::kept:
                part.keep({{7, witness::Instant(), {}, "Ada"}, heard(slot_alone(turn))});
                break;
            case Turn::What::turned_back:
                back = true;
                part.turn_back();
                break;
            case Turn::What::answered:
                static_cast<void>(part.answer("Ada", "It is so."));
                break;
            }
            const RightTold theirs = right_by(turns, work, spare);
            const RightTold ours{part.finding().right, part.finding().accepted};
            ++met[{theirs.right, theirs.accepted}];
            ASSERT_EQ(ours, theirs) << "seed " << seed << ", after " << n + 1 << " turns";
        }
    }
    for (const auto& [kind, times] : met)
        EXPECT_GT(times, 2'000);
    EXPECT_EQ(met.size(), 4U) << "right, wrong, wrong and answered for, not known";
}

} // namespace
} // namespace slotwitness::oracle
