#include "world.hpp"

#include <slotwitness/witness/counts.hpp>
#include <slotwitness/witness/handback.hpp>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;

Baseline before(std::vector<Sheet> sheets) {
    std::vector<Heard> answers;
    for (const Sheet& sheet : sheets)
        answers.push_back(heard(sheet, "then" + std::to_string(answers.size() + 1)));
    return {BaselineFixed{7, at(0), {}, "Ada"}, std::move(answers)};
}

/// What a module says of itself; without a serial where it is empty.
Facts part(const std::string& serial, OperState oper = OperState::enabled, const Facts& more = {}) {
    Facts told = facts(AdminState::unlocked, oper);
    if (!serial.empty())
        told.emplace_back(Attribute::serial, serial);
    told.insert(told.end(), more.begin(), more.end());
    return told;
}

Sheet module(const Facts& told) {
    return Sheet({Kind::module}).row(Kind::module, "FAB3", told);
}

const Component worked_on{Kind::module, "FAB3"};

WorkPlan work(Work what, const std::string& spare = "") {
    return {what, worked_on, spare};
}

/// The one part of both, compared.
HandbackItem compared(const WorkPlan& plan, const Sheet& then, const Sheet& now,
                      Way way = Way::forward, const std::vector<Waiver>& waivers = {}) {
    auto items = compare_with_baseline(plan, way, before({then}), view({now}));
    waive(items, waivers);
    EXPECT_EQ(items.size(), 1u);
    return items.at(0);
}

struct SlotCase {
    const char* name;
    WorkPlan plan;
    Facts then, now;
    Fate fate;
    Way way = Way::forward;
};

TEST(the_work_slot, is_meant_to_have_the_part_that_the_work_asks_for_and_no_other) {
    const Facts revised{{Attribute::hardware_rev, std::string("R4")}};
    const Facts renamed{{Attribute::label, std::string("REAR 4")}};
    const std::vector<SlotCase> cases{
        {"the spare", work(Work::replace, "NEW"), part("OLD"), part("NEW"), Fate::meant_to_change},
        {"any spare", work(Work::replace), part("OLD"), part("ELSE"), Fate::meant_to_change},
        {"a spare for a dead part", work(Work::replace, "NEW"), part("", OperState::disabled),
         part("NEW"), Fate::meant_to_change},
        {"a newer spare", work(Work::replace, "NEW"), part("OLD"),
         part("NEW", OperState::enabled, revised), Fate::meant_to_change},
        {"the wrong spare", work(Work::replace, "NEW"), part("OLD"), part("ELSE"),
         Fate::not_meant_to_change},
        {"the old part", work(Work::replace), part("OLD"), part("OLD"), Fate::not_meant_to_change},
        {"a spare that does not run", work(Work::replace, "NEW"), part("OLD"),
         part("NEW", OperState::disabled), Fate::not_meant_to_change},
        {"a spare of which nothing is known", work(Work::replace, "NEW"), part("OLD"),
         part("NEW", OperState::unknown), Fate::not_known},
        {"a spare without a serial", work(Work::replace, "NEW"), part("OLD"), part(""),
         Fate::not_known},
        {"another label", work(Work::replace, "NEW"), part("OLD"),
         part("NEW", OperState::enabled, renamed), Fate::not_meant_to_change},
        {"the old part on the way back", work(Work::replace, "NEW"), part("OLD"), part("OLD"),
         Fate::as_it_was, Way::back},
        {"the spare on the way back", work(Work::replace, "NEW"), part("OLD"), part("NEW"),
         Fate::not_meant_to_change, Way::back},
        {"reseated", work(Work::reseat), part("OLD"), part("OLD"), Fate::as_it_was},
        {"reseated and cured", work(Work::reseat), part("OLD", OperState::disabled), part("OLD"),
         Fate::meant_to_change},
        {"reseated with another", work(Work::reseat), part("OLD"), part("ELSE"),
         Fate::not_meant_to_change},
        {"refitted and dead", work(Work::refit), part("OLD"), part("OLD", OperState::disabled),
         Fate::not_meant_to_change},
        {"only looked at",
         {Work::look_only, {}, ""},
         part("OLD"),
         part("NEW"),
         Fate::not_meant_to_change},
    };
    for (const SlotCase& each : cases)
        EXPECT_EQ(compared(each.plan, module(each.then), module(each.now), each.way).fate,
                  each.fate)
            << each.name;
}

TEST(the_work_slot, shows_both_serials_where_the_part_is_wrong) {
    const HandbackItem item =
        compared(work(Work::replace, "NEW"), module(part("OLD")), module(part("ELSE")));
    EXPECT_EQ(item.changes, (std::vector<Change>{{"serial", "OLD", "ELSE, not the spare NEW"}}));
}

TEST(handback, never_calls_unknown_as_it_was) {
    const WorkPlan nothing;
    const Sheet known = module(part("A"));
    const Sheet unclear = module(part("A", OperState::unknown));
    EXPECT_EQ(compared(nothing, known, known).fate, Fate::as_it_was);
    EXPECT_EQ(compared(nothing, unclear, unclear).fate, Fate::not_known) << "unknown twice";
    EXPECT_EQ(compared(nothing, known, unclear).fate, Fate::not_known);
    EXPECT_EQ(compared(nothing, unclear, known).fate, Fate::not_known);
    Sheet contradicting = known;
    contradicting.row(Kind::module, "FAB3", part("B"));
    EXPECT_EQ(compared(nothing, known, contradicting).fate, Fate::not_known);
    EXPECT_NE(compared(nothing, known, contradicting).why, "");
}

TEST(handback, takes_nothing_from_an_answer_that_is_cut) {
    Sheet cut = module(part("A"));
    cut.cut();
    const auto items =
        compare_with_baseline({}, Way::forward, before({module(part("A"))}), view({cut}));
    ASSERT_EQ(items.size(), 2u) << "the module, and the list of modules";
    for (const HandbackItem& item : items)
        EXPECT_EQ(item.fate, Fate::not_known);
}

TEST(handback, takes_nothing_from_a_query_without_an_answer) {
    const auto items = compare_with_baseline({}, Way::forward, before({module(part("A"))}),
                                             view({}, {{"all", NoAnswer::timed_out, ""}}));
    ASSERT_EQ(items.size(), 2u);
    EXPECT_FALSE(is_clean(items));
}

TEST(handback, says_of_a_list_with_an_unread_line_that_there_may_be_more) {
    Sheet torn = module(part("A"));
    torn.unread("#### ~~ ?");
    const auto items =
        compare_with_baseline({}, Way::forward, before({module(part("A"))}), view({torn}));
    ASSERT_EQ(items.size(), 2u);
    EXPECT_EQ(items[0].fate, Fate::as_it_was);
    EXPECT_EQ(items[1].component, (Component{Kind::module, ""}));
    EXPECT_EQ(items[1].fate, Fate::not_known);
}

TEST(handback, finds_what_went_and_what_came) {
    const Sheet none({Kind::module});
    const HandbackItem went = compared({}, module(part("A")), none);
    EXPECT_EQ(went.fate, Fate::not_meant_to_change);
    EXPECT_EQ(went.changes, (std::vector<Change>{{"present", "yes", "no"}}));
    const HandbackItem came = compared({}, none, module(part("A")));
    EXPECT_EQ(came.fate, Fate::not_meant_to_change);
    EXPECT_EQ(came.changes, (std::vector<Change>{{"present", "no", "yes"}}));
}

TEST(handback, compares_error_counters_and_nothing_else_that_moves_by_itself) {
    const auto with = [](const char* errors, const char* speed) {
        return module(
            part("A", OperState::enabled,
                 {{Attribute::errors, quantity(errors)}, {Attribute::speed, quantity(speed)}}));
    };
    EXPECT_EQ(compared({}, with("3", "7200 rpm"), with("3", "9000 rpm")).fate, Fate::as_it_was);
    EXPECT_EQ(compared({}, with("3", "7200 rpm"), with("4", "7200 rpm")).fate,
              Fate::not_meant_to_change);
    EXPECT_EQ(compared({}, with("3", "7200 rpm"), with("0", "7200 rpm")).fate, Fate::as_it_was)
        << "it began again, and has counted none since";
    EXPECT_EQ(compared({}, with("3", "7200 rpm"), with("2", "7200 rpm")).fate,
              Fate::not_meant_to_change)
        << "it began again, and has counted since";
}

TEST(handback, an_alarm_about_the_work_slot_may_go_and_no_other) {
    const auto alarm = [](const char* about) {
        return Sheet({Kind::alarm})
            .row(Kind::alarm, "7",
                 {{Attribute::about, std::string(about)}, {Attribute::text, std::string("dark")}});
    };
    const Sheet none({Kind::alarm});
    const WorkPlan plan = work(Work::replace);
    EXPECT_EQ(compared(plan, alarm("FAB3"), none).fate, Fate::meant_to_change);
    EXPECT_EQ(compared(plan, alarm("module FAB3"), none).fate, Fate::meant_to_change);
    EXPECT_EQ(compared(plan, alarm("FAB30"), none).fate, Fate::not_meant_to_change);
    EXPECT_EQ(compared(plan, alarm("PSU3"), none).fate, Fate::not_meant_to_change);
    EXPECT_EQ(compared(plan, none, alarm("FAB3")).fate, Fate::not_meant_to_change) << "a new one";
    EXPECT_EQ(compared({}, alarm("FAB3"), none).fate, Fate::not_meant_to_change);
}

TEST(a_waiver, covers_what_differs_or_is_not_known_by_name_and_names_its_person) {
    const std::vector<Waiver> waivers{{worked_on, "Ada", "it is why we came", ""}};
    const HandbackItem item =
        compared({}, module(part("A")), module(part("B")), Way::forward, waivers);
    EXPECT_EQ(item.fate, Fate::waived);
    EXPECT_EQ(item.waived_by, "Ada");
    EXPECT_EQ(item.reason, "it is why we came");
    EXPECT_EQ(item.changes.size(), 1u) << "what differs is told all the same";
    EXPECT_EQ(compared({}, module(part("A")), module(part("A", OperState::unknown)), Way::forward,
                       waivers)
                  .fate,
              Fate::waived);
    EXPECT_EQ(compared({}, module(part("A")), module(part("A")), Way::forward, waivers).fate,
              Fate::as_it_was)
        << "there is nothing to answer for";
    const std::vector<Waiver> other{{{Kind::module, "FAB4"}, "Ada", "no", ""}};
    EXPECT_EQ(compared({}, module(part("A")), module(part("B")), Way::forward, other).fate,
              Fate::not_meant_to_change);
}

TEST(a_waiver, of_an_alarm_ends_when_the_device_gives_its_name_to_another) {
    const auto alarm = [](const char* text) {
        return Sheet({Kind::alarm})
            .row(Kind::alarm, "7",
                 {{Attribute::about, std::string("PSU3")}, {Attribute::text, std::string(text)}});
    };
    const Component seven{Kind::alarm, "7"};
    const Sheet none({Kind::alarm});
    const std::vector<Waiver> waivers{{seven, "Ada", "known", "PSU3: no feed"}};
    EXPECT_EQ(compared({}, none, alarm("no feed"), Way::forward, waivers).fate, Fate::waived);
    EXPECT_EQ(compared({}, alarm("no feed"), none, Way::forward, waivers).fate, Fate::waived);
    EXPECT_EQ(compared({}, none, alarm("on fire"), Way::forward, waivers).fate,
              Fate::not_meant_to_change);
}

TEST(a_waiver, covers_no_list_that_cannot_be_trusted) {
    Sheet torn = module(part("A"));
    torn.unread("#### ~~ ?");
    const std::vector<Waiver> waivers{{{Kind::module, ""}, "Ada", "all of them", ""}};
    auto items = compare_with_baseline({}, Way::forward, before({module(part("A"))}), view({torn}));
    waive(items, waivers);
    EXPECT_FALSE(is_clean(items));
}

RC_GTEST_PROP(handback, each_part_stands_in_exactly_one_class,
              (std::vector<int> then, std::vector<int> now, bool back)) {
    const auto sheet_of = [](const std::vector<int>& parts, std::set<Component>& listed) {
        Sheet sheet({Kind::module});
        for (std::size_t i = 0; i < parts.size() && i < 9; ++i) {
            const int what = std::abs(parts[i] % 7);
            if (what == 0)
                continue; // not there
            const std::string name = "FAB" + std::to_string(i);
            const OperState oper = what == 1   ? OperState::unknown
                                   : what == 2 ? OperState::disabled
                                               : OperState::enabled;
            sheet.row(Kind::module, name, part(what == 3 ? "" : what > 4 ? "A" : "B", oper));
            listed.insert({Kind::module, name});
        }
        return sheet;
    };
    std::set<Component> listed;
    const Baseline baseline = before({sheet_of(then, listed)});
    const View look = view({sheet_of(now, listed)});
    const auto items =
        compare_with_baseline(work(Work::replace), back ? Way::back : Way::forward, baseline, look);
    std::set<Component> told;
    for (const HandbackItem& item : items) {
        RC_ASSERT(told.insert(item.component).second);
        RC_ASSERT(item.fate != Fate::waived);
        // Said of the answers alone: what tells the same twice, and knows it, is as it was.
        const auto known = [&](const View& in) {
            return in.lists(item.component) &&
                   in.fact(item.component, Attribute::oper, Trust::whole_answers).value.has_value();
        };
        const auto same = [&](Attribute attribute) {
            return baseline.view.fact(item.component, attribute, Trust::whole_answers).value ==
                   look.fact(item.component, attribute, Trust::whole_answers).value;
        };
        if (item.component != worked_on)
            RC_ASSERT((item.fate == Fate::as_it_was) ==
                      (known(baseline.view) && known(look) && same(Attribute::oper) &&
                       same(Attribute::serial)));
    }
    RC_ASSERT(told == listed);
}

Sheet ports(std::vector<std::pair<OperState, std::string>> told) {
    Sheet sheet({Kind::port});
    for (std::size_t n = 0; n < told.size(); ++n)
        sheet.row(
            Kind::port, "eth" + std::to_string(n + 1),
            {{Attribute::oper, told[n].first}, {Attribute::errors, quantity(told[n].second)}});
    return sheet;
}

std::vector<Change> beside(const View& then, const View& now) {
    return counts_of(figures_of(then), figures_of(now));
}

TEST(counts, tell_how_many_there_are_how_many_work_and_their_errors_before_and_now) {
    const Sheet then = ports({{OperState::enabled, "2"}, {OperState::enabled, "5"}});
    const Sheet now =
        ports({{OperState::enabled, "2"}, {OperState::disabled, "9"}, {OperState::enabled, "0"}});
    EXPECT_EQ(beside(view({then}), view({now})),
              (std::vector<Change>{{"port listed", "2", "3"},
                                   {"port operational", "2", "2"},
                                   {"port errors in sum", "7", "11"}}));
}

TEST(counts, are_not_known_where_a_list_may_go_on_or_one_of_it_is_not_known) {
    const Sheet good = ports({{OperState::enabled, "2"}});
    const std::vector<Change> none{{"port listed", "1", "not known"},
                                   {"port operational", "1", "not known"},
                                   {"port errors in sum", "2", "not known"}};
    EXPECT_EQ(beside(view({good}), view({Sheet(good).cut()})), none);
    EXPECT_EQ(beside(view({good}), view({Sheet(good).unread("eth2 ~~")})), none);
    Sheet half({Kind::port});
    half.row(Kind::port, "eth1", {{Attribute::oper, OperState::unknown}});
    EXPECT_EQ(beside(view({good}), view({half})),
              (std::vector<Change>{{"port listed", "1", "1"},
                                   {"port operational", "1", "not known"},
                                   {"port errors in sum", "2", "not known"}}));
}

TEST(counts, leave_out_what_no_answer_lists_and_what_a_kind_does_not_tell) {
    Sheet alarms({Kind::alarm});
    alarms.row(Kind::alarm, "7", {{Attribute::text, std::string("Hot.")}});
    EXPECT_EQ(beside(view({Sheet({Kind::alarm})}), view({alarms})),
              (std::vector<Change>{{"alarm listed", "0", "1"}}));
}

// What is seen at the ports, as IEEE 802.1AB (LLDP) names it: system-name and port-id of a remote
// system.
Sheet neighbours(std::vector<std::pair<std::string, OperState>> told) {
    Sheet sheet({Kind::neighbour});
    for (std::size_t n = 0; n < told.size(); ++n)
        sheet.row(Kind::neighbour, "eth" + std::to_string(n + 1),
                  {{Attribute::system_name, told[n].first},
                   {Attribute::port_id, std::string("p1")},
                   {Attribute::oper, told[n].second}});
    return sheet;
}

Fate fate_of(const std::string& neighbour, const Sheet& then, const Sheet& now) {
    for (const HandbackItem& item :
         compare_with_baseline(work(Work::replace), Way::forward, before({then}), view({now})))
        if (item.component == Component{Kind::neighbour, neighbour})
            return item.fate;
    throw std::logic_error("no item of " + neighbour);
}

TEST(neighbours, that_are_missing_silent_or_others_are_not_as_they_were) {
    const auto up = OperState::enabled;
    const Sheet then = neighbours({{"ridge-1", up}, {"ridge-2", up}});
    EXPECT_EQ(fate_of("eth2", then, then), Fate::as_it_was);
    EXPECT_EQ(fate_of("eth2", then, neighbours({{"ridge-1", up}})), Fate::not_meant_to_change);
    const Sheet silent = neighbours({{"ridge-1", up}, {"ridge-2", OperState::disabled}});
    EXPECT_EQ(fate_of("eth2", then, silent), Fate::not_meant_to_change);
    const Sheet crossed = neighbours({{"ridge-2", up}, {"ridge-1", up}});
    EXPECT_EQ(fate_of("eth2", then, crossed), Fate::not_meant_to_change);
    EXPECT_EQ(
        beside(view({then}), view({crossed})),
        (std::vector<Change>{{"neighbour listed", "2", "2"}, {"neighbour operational", "2", "2"}}))
        << "figures do not tell who is where: part by part decides";
    EXPECT_EQ(
        beside(view({then}), view({neighbours({{"ridge-1", up}})})),
        (std::vector<Change>{{"neighbour listed", "2", "1"}, {"neighbour operational", "2", "1"}}));
}

TEST(neighbours, of_which_the_answer_does_not_surely_tell_are_never_as_they_were) {
    const auto up = OperState::enabled;
    const Sheet then = neighbours({{"ridge-1", up}, {"ridge-2", up}});
    for (const Sheet& now : {Sheet(then).cut(), neighbours({{"ridge-1", up}}).unread("eth2 ~~"),
                             neighbours({{"ridge-1", up}}).cut(),
                             neighbours({{"ridge-1", up}, {"ridge-2", OperState::unknown}})})
        EXPECT_EQ(fate_of("eth2", then, now), Fate::not_known);
}

} // namespace
} // namespace slotwitness::witness::test
