#include "world.hpp"

#include <slotwitness/witness/baseline.hpp>

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using state::OperState;
using state::Severity;

Facts text(Attribute attribute, const char* value) {
    return {{attribute, std::string(value)}};
}

/// A baseline of these answers.
Baseline baseline_of(std::vector<Sheet> sheets) {
    std::vector<Heard> answers;
    for (const Sheet& sheet : sheets)
        answers.push_back(heard(sheet, "then" + std::to_string(answers.size() + 1)));
    return {BaselineFixed{7, at(0), {}, "engineer"}, std::move(answers)};
}

Judgement against(const char* sentence, const View& now, const Baseline* then,
                  const Inventory& inventory = {}) {
    return evaluate(condition(sentence), {now, inventory, then}).judgement;
}

Sheet serials(std::initializer_list<std::pair<const char*, const char*>> told) {
    Sheet sheet({Kind::module});
    for (const auto& [name, serial] : told)
        sheet.row(Kind::module, name,
                  serial != nullptr ? text(Attribute::serial, serial) : Facts{});
    return sheet;
}

TEST(without_a_baseline, every_comparison_is_unknown_in_both_senses) {
    const View now = view({serials({{"FAB3", "A"}}), Sheet({Kind::alarm})});
    for (const char* sentence :
         {"no new alarm since baseline", "module FAB3 serial differs from baseline",
          "every module serial as in baseline", "every module up in baseline is up"}) {
        const Judgement one = against(sentence, now, nullptr);
        EXPECT_EQ(one.truth, U) << sentence;
        EXPECT_EQ(one.because.reason, Reason::no_baseline) << sentence;
        EXPECT_EQ(against((std::string("not ") + sentence).c_str(), now, nullptr).truth, U);
    }
}

TEST(a_serial, is_compared_with_the_one_in_the_baseline) {
    const Baseline then = baseline_of({serials({{"FAB3", "A"}, {"LINE2", nullptr}})});
    const auto now = [](const char* serial) { return view({serials({{"FAB3", serial}})}); };
    EXPECT_EQ(against("module FAB3 serial differs from baseline", now("A"), &then).truth, F);
    EXPECT_EQ(against("module FAB3 serial differs from baseline", now("B"), &then).truth, T);
    EXPECT_EQ(against("module FAB3 serial as in baseline", now("A"), &then).truth, T);
    EXPECT_EQ(against("module FAB3 serial as in baseline", now("B"), &then).truth, F);
    EXPECT_EQ(against("module FAB3 serial differs from baseline", now(nullptr), &then).truth, U);

    const Judgement both = against("module FAB3 serial differs from baseline", now("B"), &then);
    ASSERT_EQ(both.because.cites.size(), 2U) << "the line now and the line then";
    EXPECT_EQ(both.because.cites[0].capture, "capture-of-query1");
    EXPECT_EQ(both.because.cites[1].capture, "capture-of-then1");
    EXPECT_EQ(both.because.text, "The device reports module FAB3: serial B, and in the baseline of "
                                 "1970-01-01T00:00:00.000Z A.");
}

TEST(a_serial, of_what_was_not_there_in_one_of_the_two_looks_is_unknown) {
    const Baseline then = baseline_of({serials({{"FAB3", "A"}, {"LINE2", nullptr}})});
    const Inventory there = inventory({{Kind::module, {"FAB3", "LINE2", "LINE4"}}});
    const View gone = view({serials({{"LINE2", "C"}, {"LINE4", "D"}})});
    for (const char* module : {"FAB3", "LINE2", "LINE4"})
        for (const char* words : {" serial differs from baseline", " serial as in baseline"})
            EXPECT_EQ(against(("module " + std::string(module) + words).c_str(), gone, &then, there)
                          .truth,
                      U)
                << module << words;
}

TEST(a_serial, of_every_module_but_one_is_judged_one_by_one) {
    const Baseline then = baseline_of({serials({{"FAB1", "A"}, {"FAB2", "B"}, {"FAB3", "C"}})});
    constexpr const char* sentence = "every module except FAB3 serial as in baseline";
    const Inventory there = inventory({{Kind::module, {"FAB1", "FAB2", "FAB3"}}});
    const auto now = [](const char* second, const char* third) {
        return view({serials({{"FAB1", "A"}, {"FAB2", second}, {"FAB3", third}})});
    };
    EXPECT_EQ(against(sentence, now("B", "X"), &then, there).truth, T);
    EXPECT_EQ(against(sentence, now("X", "C"), &then, there).truth, F);
    EXPECT_EQ(against(sentence, now("X", "C"), &then, there).because.cites.size(), 2U)
        << "one counterexample";
    EXPECT_EQ(against(sentence, now(nullptr, "C"), &then, there).truth, U);
    EXPECT_EQ(
        against(sentence, view({serials({{"FAB1", "A"}, {"FAB3", "C"}})}), &then, there).truth, U)
        << "FAB2 is gone";
    EXPECT_EQ(against(sentence, view({serials({{"FAB1", "A"}, {"FAB2", "B"}}).unread("garbled")}),
                      &then, there)
                  .truth,
              U);
}

Sheet port_states(std::initializer_list<std::pair<const char*, OperState>> states) {
    Sheet sheet({Kind::port});
    for (const auto& [name, oper] : states)
        sheet.row(Kind::port, name, {{Attribute::oper, oper}});
    return sheet;
}
constexpr OperState up_state = OperState::enabled;
constexpr OperState down_state = OperState::disabled;
constexpr OperState unclear_state = OperState::unknown;

TEST(still, ranges_over_what_was_so_in_the_baseline) {
    constexpr const char* sentence = "every port up in baseline is up";
    const Baseline then = baseline_of(
        {port_states({{"eth1", up_state}, {"eth2", down_state}, {"eth3", unclear_state}})});
    struct {
        std::initializer_list<std::pair<const char*, OperState>> now;
        Truth truth = U;
        const char* why = "";
    } const table[] = {
        {{{"eth1", up_state}, {"eth2", down_state}, {"eth3", up_state}}, T, "eth2 was not up then"},
        {{{"eth1", down_state}, {"eth2", up_state}, {"eth3", up_state}}, F, "eth1 was"},
        {{{"eth1", up_state}, {"eth2", down_state}, {"eth3", down_state}},
         U,
         "whether eth3 was is unknown"},
        {{{"eth1", unclear_state}, {"eth2", down_state}, {"eth3", up_state}}, U, ""},
        {{{"eth2", down_state}, {"eth3", up_state}}, F, "eth1 is no longer listed"},
        {{{"eth1", up_state}, {"eth3", up_state}, {"eth9", down_state}}, T, "eth9 is new"},
    };
    for (const auto& row : table)
        EXPECT_EQ(against(sentence, view({port_states(row.now)}), &then,
                          inventory({{Kind::port, {"eth1", "eth2", "eth3"}}}))
                      .truth,
                  row.truth)
            << row.why;
    EXPECT_EQ(against("every port except eth1 up in baseline is up",
                      view({port_states(
                          {{"eth1", down_state}, {"eth2", down_state}, {"eth3", up_state}})}),
                      &then)
                  .truth,
              U)
        << "nothing else was surely up: nothing to range over";
}

TEST(still, needs_a_baseline_that_lists_all) {
    const View now = view({port_states({{"eth1", up_state}})});
    const Baseline unread = baseline_of({port_states({{"eth1", up_state}}).unread("garbled")});
    EXPECT_EQ(against("every port up in baseline is up", now, &unread).truth, U);
    EXPECT_EQ(against("every port up in baseline is up",
                      view({port_states({{"eth1", down_state}})}), &unread)
                  .truth,
              F)
        << "one that was listed refutes it";
}

Sheet graded(std::initializer_list<std::tuple<const char*, Severity, const char*>> all) {
    Sheet sheet({Kind::alarm});
    for (const auto& [name, severity, about] : all)
        sheet.row(Kind::alarm, name,
                  {{Attribute::severity, severity}, {Attribute::about, std::string(about)}});
    return sheet;
}

TEST(no_new_alarm, looks_past_those_that_were_in_the_baseline) {
    constexpr const char* any = "no new alarm since baseline";
    constexpr const char* major = "no new alarm at or above major since baseline";
    const Baseline then = baseline_of({graded({{"1", Severity::major, "PSU2"},
                                               {"2", Severity::minor, "FAB3"},
                                               {"3", Severity::cleared, "LINE2"}})});
    struct {
        std::initializer_list<std::tuple<const char*, Severity, const char*>> now;
        Truth any = U, major = U;
        const char* why = "";
    } const table[] = {
        {{}, T, T, "none at all"},
        {{{"1", Severity::major, "PSU2"}, {"2", Severity::minor, "FAB3"}}, T, T, "the same"},
        {{{"4", Severity::minor, "FAB1"}}, F, T, "a minor one"},
        {{{"4", Severity::critical, "FAB1"}}, F, F, "a critical one"},
        {{{"2", Severity::critical, "FAB3"}}, T, F, "one that became graver"},
        {{{"3", Severity::minor, "LINE2"}}, F, T, "one that had been cleared"},
        {{{"1", Severity::major, "PSU4"}}, F, F, "another of the same name"},
        {{{"4", Severity::cleared, "FAB1"}}, T, T, "a cleared one is none"},
        {{{"4", Severity::indeterminate, "FAB1"}}, F, U, "how grave it is cannot be told"},
    };
    for (const auto& row : table) {
        EXPECT_EQ(against(any, view({graded(row.now)}), &then).truth, row.any) << row.why;
        EXPECT_EQ(against(major, view({graded(row.now)}), &then).truth, row.major) << row.why;
    }
}

TEST(no_new_alarm, of_one_with_other_words_is_unknown) {
    const auto listed = [](const char* words) {
        return Sheet({Kind::alarm}).row(Kind::alarm, "1", text(Attribute::text, words));
    };
    const Baseline then = baseline_of({listed("Supply has lost its feed.")});
    constexpr const char* sentence = "no new alarm since baseline";
    EXPECT_EQ(against(sentence, view({listed("Supply has lost its feed.")}), &then).truth, T);
    EXPECT_EQ(against(sentence, view({listed("Fan has stopped.")}), &then).truth, U);
    EXPECT_EQ(against(sentence, view({Sheet({Kind::alarm}).row(Kind::alarm, "1")}), &then).truth,
              U);
    EXPECT_EQ(
        against(sentence, view({listed("Supply has lost its feed.").unread("garbled")}), &then)
            .truth,
        U);
    const View disagreeing =
        view({Sheet({Kind::alarm})
                  .row(Kind::alarm, "1", {{Attribute::severity, Severity::major}})
                  .row(Kind::alarm, "1", {{Attribute::severity, Severity::minor}})});
    const Baseline bare = baseline_of({Sheet({Kind::alarm}).row(Kind::alarm, "1")});
    EXPECT_EQ(against(sentence, disagreeing, &bare).truth, U) << "two rows disagree";
    const Baseline unread = baseline_of({Sheet({Kind::alarm}).unread("garbled")});
    EXPECT_EQ(against(sentence, view({listed("Supply has lost its feed.")}), &unread).truth, U)
        << "it may have been there";
}

TEST(an_answer_that_is_not_whole, refutes_a_comparison_and_confirms_none) {
    const Baseline then = baseline_of({serials({{"FAB3", "A"}})});
    const auto cut = [](const char* serial) { return view({serials({{"FAB3", serial}}).cut()}); };
    EXPECT_EQ(against("module FAB3 serial differs from baseline", cut("B"), &then).truth, U);
    EXPECT_EQ(against("module FAB3 serial differs from baseline", cut("A"), &then).truth, F);
}

// How a baseline comes about.

void want(World& world, std::int64_t t, std::vector<std::string> askings = {"planes"}) {
    world.tell({at(t), BaselineWanted{std::move(askings), "engineer"}});
}

TEST(a_baseline, is_the_next_round_that_is_asked_and_answered_whole) {
    World world;
    world.run(0);
    EXPECT_TRUE(world.witness.wanted_askings().empty());
    world.begin(1);
    want(world, 2);
    EXPECT_EQ(world.witness.wanted_askings(), (std::vector<std::string>{"planes"}));
    world.answer(3, 1, up);
    EXPECT_TRUE(world.all<BaselineFixed>().empty()) << "asked before it was wanted";
    world.silence(4, 5);
    world.look(6, 7, Sheet(up).cut());
    EXPECT_TRUE(world.all<BaselineFixed>().empty()) << "not answered, or not whole";
    world.begin(8, {"modules"});
    world.answer(9, 8, serials({{"FAB3", "A"}}), "modules");
    EXPECT_TRUE(world.all<BaselineFixed>().empty()) << "a round for other purposes";
    world.look(10, 11, shut);
    ASSERT_EQ(world.all<BaselineFixed>().size(), 1U);
    EXPECT_EQ(world.all<BaselineFixed>()[0],
              (BaselineFixed{5, at(11), {{"planes", "capture-at-11"}}, "engineer"}));
    EXPECT_TRUE(world.witness.wanted_askings().empty());
    world.look(12, 13, up);
    EXPECT_EQ(world.all<BaselineFixed>().size(), 1U) << "the next round is none";
}

TEST(a_baseline, waits_for_every_answer_of_its_round) {
    World world;
    world.run(0);
    want(world, 0, {"modules", "planes"});
    world.begin(1, {"modules", "planes", "ports"});
    world.answer(2, 1, up);
    world.answer(3, 1, serials({{"FAB3", "A"}}), "modules");
    EXPECT_TRUE(world.all<BaselineFixed>().empty());
    world.fail(4, 1, "ports");
    ASSERT_EQ(world.all<BaselineFixed>().size(), 1U) << "ports are no part of it";
    EXPECT_EQ(world.all<BaselineFixed>()[0].captures.size(), 2U);
}

TEST(a_baseline, and_a_wish_for_one_outlive_a_restart) {
    World world;
    world.run(0);
    want(world, 0);
    world.run(5);
    world.look(6, 7, up);
    ASSERT_EQ(world.all<BaselineFixed>().size(), 1U);
    world.run(8);
    world.open(8, "every plane up in baseline is up");
    world.look(9, 10, shut);
    EXPECT_EQ(world.gate().truth, F);
    EXPECT_EQ(world.gate().because.cites.size(), 2U);
}

TEST(a_baseline, is_the_reference_inventory_and_forgets_no_name) {
    World world;
    world.run(0, true, {});
    world.look(1, 2, up);
    want(world, 2);
    world.look(3, 4, planes({{"1", 'u'}, {"2", 'u'}}));
    world.open(5, "every plane up", {.id = "all"});
    world.open(5, "plane 3 present", {.id = "named"});
    world.look(6, 7, planes({{"1", 'u'}, {"2", 'u'}}));
    EXPECT_EQ(world.gate("all").truth, T);
    EXPECT_NE(world.gate("all").because.text.find("inventory from the baseline"), std::string::npos)
        << world.gate("all").because.text;
    EXPECT_EQ(world.gate("named").truth, F) << "it was missing when the baseline was made";
    EXPECT_TRUE(world.all<GateRefused>().empty());
}

TEST(a_baseline, judges_the_rounds_after_its_own) {
    World world;
    world.run(0);
    world.open(0, "every plane up in baseline is up");
    want(world, 0);
    world.look(1, 2, up);
    ASSERT_EQ(world.all<BaselineFixed>().size(), 1U);
    EXPECT_EQ(world.gate().because.reason, Reason::no_baseline);
    world.look(3, 4, up);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(a_baseline, that_takes_the_place_of_another_starts_a_hold_again) {
    World world;
    world.run(0);
    want(world, 0);
    world.look(1, 2, up);
    world.open(2, "every plane up in baseline is up for 10 ms");
    world.open(2, "every plane up for 10 ms", {.id = "other"});
    world.look(4, 5, up);
    want(world, 6);
    world.look(10, 11, up);
    EXPECT_EQ(world.gate().held, ms(5));
    world.look(16, 17, up);
    EXPECT_EQ(world.gate().held, ms(0));
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
    EXPECT_EQ(world.gate("other").verdict, Verdict::pass) << "compares with none";
    world.look(30, 31, up);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

} // namespace
} // namespace slotwitness::witness::test
