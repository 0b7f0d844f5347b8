#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

World::Terms terms() {
    return {};
}

state::Problem refused(World& world, const std::string& sentence, const World::Terms& terms = {},
                       std::int64_t t = 2'000) {
    world.open(t, sentence, terms);
    const auto found = world.all<GateRefused>();
    if (found.empty())
        throw std::logic_error("not refused: " + sentence);
    EXPECT_TRUE(world.history(terms.id).empty()) << "a refused gate does not exist";
    return found.back().problem;
}

World started() {
    World world;
    world.run(0);
    return world;
}

TEST(refusal, of_a_mistyped_name_lists_the_names_that_exist) {
    World world = started();
    const state::Problem problem = refused(world, "plane 4 shut for 10 s within 5 min");
    EXPECT_EQ(problem.where, "sentence");
    EXPECT_EQ(problem.at, (state::Position{1, 7}));
    EXPECT_EQ(problem.found, "fabric plane 4");
    EXPECT_EQ(problem.expected,
              "a fabric plane of this chassis: 1, 2, 3 (inventory from the configuration)");
    EXPECT_FALSE(problem.remedy.empty());
}

TEST(refusal, looks_at_every_name_of_the_sentence) {
    World world;
    world.run(0, true, {{Kind::plane, {"1", "2"}}, {Kind::module, {"FAB3"}}});
    EXPECT_EQ(refused(world, "every plane except 9 up").found, "fabric plane 9");
    EXPECT_EQ(refused(world, "every plane served by module FAB9 shut").found, "module FAB9");
    EXPECT_EQ(refused(world, "plane 1 up and not plane 7 present").found, "fabric plane 7");
    EXPECT_EQ(refused(world, "plane 1 up or at most 1 plane except 5 down").found,
              "fabric plane 5");
}

TEST(refusal, finds_the_column_of_the_name_as_a_word_of_its_own) {
    World world = started();
    EXPECT_EQ(refused(world, "plane 1 up and plane 11 up").at.column, 22U);
    EXPECT_EQ(refused(world, "plane 1 up for 30 s within 40 s and plane 3 up").where, "sentence")
        << "the parser's own";
}

TEST(refusal, is_not_for_names_of_a_kind_without_inventory) {
    World world = started();
    world.open(2'000, "module FBA3 absent", {"g", 6'000, 0, 0, {"modules"}});
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    const Sheet modules = Sheet({Kind::module}).row(Kind::module, "FAB3");
    world.begin(3'000, {"modules"});
    world.answer(3'100, 3'000, modules, "modules");
    EXPECT_EQ(world.gate().truth, Truth::unknown)
        << "the look that fixed the inventory did not list it";
    EXPECT_EQ(world.gate().because.reason, Reason::no_inventory);
    EXPECT_NE(world.gate().because.text.find("names seen: FAB3"), std::string::npos);
    World::Terms again{"h", 6'000, 0, 0, {"modules"}};
    EXPECT_EQ(refused(world, "module FBA3 absent", again, 4'000).found, "module FBA3")
        << "now there is one";
}

TEST(refusal, is_not_for_a_name_listed_now_though_the_inventory_lacks_it) {
    World world = started();
    world.look(1'000, 1'100, planes({{"1", 'u'}, {"2", 'u'}, {"3", 'u'}, {"4", 'u'}}));
    world.open(2'000, "plane 4 up");
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.look(3'000, 3'100, up);
    EXPECT_EQ(world.gate().truth, Truth::unknown) << "neither listed nor in the inventory";
}

TEST(refusal, of_a_sentence_that_does_not_parse_is_the_parsers) {
    World world = started();
    const state::Problem problem = refused(world, "plane 3 shutt");
    EXPECT_GT(problem.at.column, 0U);
    EXPECT_FALSE(problem.expected.empty());
}

TEST(refusal, of_a_name_that_was_never_seen_is_the_same_in_every_form) {
    for (const char* sentence :
         {"capacity without plane 33 covers load with 20 % margin",
          "capacity without every plane except 33 covers load with 20 % margin",
          "errors of plane 33 not rising", "errors of every plane except 33 not rising",
          "plane 33 serial as in baseline", "every plane except 33 up in baseline is up"}) {
        World world = started();
        EXPECT_EQ(refused(world, sentence).found, "fabric plane 33") << sentence;
    }
}

TEST(refusal, of_settings_that_make_no_sense) {
    World world = started();
    const auto with = [&](auto change) {
        World::Terms bad = terms();
        change(bad);
        return refused(world, "plane 3 shut", bad).found;
    };
    EXPECT_EQ(with([](auto& bad) { bad.gap = 0; }), "gap of 0 ms");
    EXPECT_EQ(with([](auto& bad) { bad.gap = -5; }), "gap of -5 ms");
    EXPECT_EQ(with([](auto& bad) {
                  bad.gap = std::chrono::milliseconds(sentences::longest_duration).count() + 1;
              }),
              "gap of 31622400001 ms");
    EXPECT_EQ(with([](auto& bad) { bad.refresh = -1; }), "refresh of -1 ms");
    EXPECT_EQ(with([](auto& bad) { bad.guard = -1; }), "guard time of -1 ms");
    EXPECT_EQ(with([](auto& bad) { bad.askings.clear(); }), "no query");
}

TEST(refusal, of_a_name_that_another_gate_has_or_had) {
    World world = started();
    world.open(0, "plane 3 shut");
    world.open(1, "plane 3 up");
    ASSERT_EQ(world.all<GateRefused>().size(), 1U);
    EXPECT_EQ(world.all<GateRefused>()[0].id, "g");
    EXPECT_EQ(world.gate().sentence, "plane 3 shut");
    world.close(2);
    world.open(3, "plane 3 up");
    EXPECT_EQ(world.all<GateRefused>().size(), 2U) << "the record of a closed gate stays";
}

TEST(refusal, can_be_asked_for_beforehand_and_changes_nothing) {
    const World world = started();
    const GateOpened good{"g", "plane 3 shut", {"planes"}, ms(6'000), ms(0), ms(0), "engineer", ""};
    GateOpened bad = good;
    bad.sentence = "plane 4 shut";
    EXPECT_FALSE(world.witness.refusal(good));
    EXPECT_TRUE(world.witness.refusal(bad));
    EXPECT_TRUE(world.witness.wanted_askings().empty());
}

TEST(refusal, forgets_what_was_listed_before_a_restart) {
    World world = started();
    world.look(1'000, 1'100, planes({{"1", 'u'}, {"2", 'u'}, {"3", 'u'}, {"4", 'u'}}));
    world.run(1'500);
    EXPECT_EQ(refused(world, "plane 4 up").found, "fabric plane 4");
}

} // namespace
} // namespace slotwitness::witness::test
