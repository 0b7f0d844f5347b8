#include "samples.hpp"

#include <slotwitness/procedures/arguments.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace slotwitness::procedures {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

Procedure procedure_of(const std::string& text) {
    auto procedure = parse_procedure({"swap.toml", text});
    if (!procedure)
        throw std::runtime_error(testing::PrintToString(texts_of(procedure.error())));
    return *std::move(procedure);
}
const Procedure swap_procedure = procedure_of(swap_text());

const Arguments whole{
    {"module", "FAB3"},
    {"planes", "3,4"},
    {"tray", "TRAY2"},
    {"spare", "QL40100099, part QF-6"},
    {"ejector-torque", "0.9 N·m by handbook 4-2"},
    {"cooling-limit", "10 min by site rule 7"},
};
Arguments given(const std::string& name, const std::string& value) {
    Arguments arguments = whole;
    arguments[name] = value;
    return arguments;
}

std::vector<std::string> said_of(const Procedure& procedure, const Arguments& arguments) {
    const auto filled = fill_procedure(procedure, arguments);
    return filled ? std::vector<std::string>{} : texts_of(filled.error());
}

TEST(Arguments, stand_in_texts_as_given_a_figure_with_its_document) {
    const auto filled = fill_procedure(swap_procedure, whole);
    ASSERT_TRUE(filled) << testing::PrintToString(texts_of(filled.error()));
    const Procedure& procedure = filled->procedure;
    EXPECT_EQ(procedure.tools.at(2), "torque driver set to 0.9 N·m (handbook 4-2)");
    EXPECT_THAT(procedure.steps.at(2).cautions.at(1),
                HasSubstr("the tray may be out for 10 min (site rule 7)."));
    EXPECT_THAT(procedure.steps.at(4).act, HasSubstr("the spare QL40100099, part QF-6 in"));
    EXPECT_EQ(procedure.back_out.at(1).step.act, "Seat fan tray TRAY2 again.");
    EXPECT_EQ(filled->given.at("planes"), "3, 4");
    EXPECT_EQ(filled->given.at("cooling-limit"), "10 min (site rule 7)");
}

TEST(Arguments, give_how_long_the_rehearsal_took) {
    Procedure procedure = swap_procedure;
    EXPECT_EQ(fill_procedure(procedure, whole)->takes, std::nullopt);
    procedure.cooling->takes = "cooling-limit";
    EXPECT_EQ(fill_procedure(procedure, whole)->takes, std::chrono::minutes(10));
}

TEST(Arguments, make_sentences_that_are_canonical) {
    const auto filled = fill_procedure(swap_procedure, given("module", "FAB 3"));
    ASSERT_TRUE(filled);
    EXPECT_EQ(filled->procedure.rules.at(0).holds, "every plane except 3, 4 up");
    EXPECT_EQ(filled->procedure.steps.at(1).fact,
              "every plane served by module \"FAB 3\" shut for 10 s within 5 min");
    EXPECT_THAT(filled->procedure.steps.at(1).act, StartsWith("Shut down module FAB 3."));
    for (const Step& step : filled->procedure.steps) {
        const auto sentence = sentences::parse(step.fact);
        ASSERT_TRUE(sentence) << step.fact;
        EXPECT_EQ(sentences::to_text(*sentence), step.fact);
    }
}

TEST(Arguments, name_the_work_slot_and_what_cools_it) {
    const auto filled = fill_procedure(swap_procedure, whole);
    ASSERT_TRUE(filled);
    EXPECT_EQ(filled->work_slot, (sentences::Named{state::Kind::module, "FAB3"}));
    EXPECT_EQ(filled->tray, "TRAY2");
    EXPECT_EQ(filled->limit, std::chrono::minutes{10});
}

TEST(Arguments, are_asked_for_all_at_once) {
    EXPECT_THAT(
        said_of(swap_procedure, {{"mood", "good"}, {"modul", "FAB3"}, {"tray", " "}}),
        ElementsAre(
            AllOf(StartsWith("parameter cooling-limit: "),
                  HasSubstr("how long the tray may be out"), HasSubstr("by DOCUMENT")),
            AllOf(StartsWith("parameter ejector-torque: "), HasSubstr("NUMBER N·m by DOCUMENT")),
            AllOf(StartsWith("parameter module: "), HasSubstr("Name one module")),
            AllOf(StartsWith("parameter planes: "), HasSubstr("Name each plane")),
            StartsWith("parameter spare: "), StartsWith("parameter tray: "),
            AllOf(StartsWith("argument modul: "), HasSubstr("Did you mean \"module\"?")),
            AllOf(StartsWith("argument mood: "), HasSubstr("Leave it out."))));
}

TEST(Arguments, a_figure_names_its_document_and_has_its_unit) {
    const auto of_torque = [](const std::string& value) {
        return said_of(swap_procedure, given("ejector-torque", value));
    };
    EXPECT_THAT(of_torque("0.9 N·m"), ElementsAre(HasSubstr("the document that it comes from")));
    EXPECT_THAT(of_torque("0.9 N·m by "), ElementsAre(HasSubstr("the document")));
    EXPECT_THAT(of_torque("0.9 by handbook"),
                ElementsAre(HasSubstr("a number with its unit, N·m")));
    EXPECT_THAT(of_torque("0.9 W by handbook"), ElementsAre(HasSubstr("found \"0.9 W\"")));
    EXPECT_THAT(of_torque("hand-tight by feel"),
                ElementsAre(HasSubstr("parameter ejector-torque")));
}

TEST(Arguments, a_time_limit_names_its_document_and_ends) {
    const auto of_limit = [](const std::string& value) {
        return said_of(swap_procedure, given("cooling-limit", value));
    };
    EXPECT_THAT(of_limit("10 min"), ElementsAre(HasSubstr("the document that it comes from")));
    EXPECT_THAT(of_limit("0 s by site rule 7"), ElementsAre(HasSubstr("a time above 0")));
    EXPECT_THAT(of_limit("400 d by site rule 7"), ElementsAre(HasSubstr("at most 366 d")));
    EXPECT_THAT(of_limit("10 minutes by site rule 7"), ElementsAre(HasSubstr("\"10 minutes\"")));
    EXPECT_THAT(of_limit("1 h 30 min by site rule 7"), IsEmpty());
}

TEST(Arguments, are_one_line_that_people_can_read) {
    EXPECT_THAT(said_of(swap_procedure, given("spare", "a\nb")),
                ElementsAre(HasSubstr("without control characters")));
    EXPECT_THAT(said_of(swap_procedure, given("spare", "\xff")), ElementsAre(HasSubstr("UTF-8")));
    EXPECT_THAT(said_of(swap_procedure, given("spare", std::string(201, 'x'))),
                ElementsAre(HasSubstr("at most 200 bytes")));
}

TEST(Arguments, several_names_are_each_there_once) {
    EXPECT_THAT(said_of(swap_procedure, given("planes", "3, 4, 3")),
                ElementsAre(HasSubstr("each name once")));
    EXPECT_THAT(said_of(swap_procedure, given("planes", "3,,4")),
                ElementsAre(HasSubstr("on both sides of each comma")));
}

TEST(Arguments, hold_no_places_of_their_own) {
    const auto filled = fill_procedure(swap_procedure, given("spare", "<tray>"));
    ASSERT_TRUE(filled);
    EXPECT_THAT(filled->procedure.steps.at(4).act, HasSubstr("the spare <tray> in"));
}

TEST(Arguments, a_sentence_that_no_longer_parses_is_named_with_its_parameter) {
    // The hold comes to exceed its deadline only with what is given.
    const Procedure procedure =
        procedure_of(replaced(swap_text(), "fan-tray <tray> operational for 10 s within 2 min",
                              "fan-tray <tray> operational for 10 s within <cooling-limit>"));
    const auto filled = fill_procedure(procedure, whole);
    ASSERT_TRUE(filled);
    EXPECT_EQ(filled->procedure.steps.at(6).fact,
              "fan-tray TRAY2 operational for 10 s within 10 min");
    EXPECT_THAT(said_of(procedure, given("cooling-limit", "5 s by site rule 7")),
                testing::Contains(AllOf(StartsWith("step seat-tray, effect: "),
                                        HasSubstr("a deadline longer than the hold"),
                                        HasSubstr("Give another <tray>, <cooling-limit>"))));
}

TEST(Arguments, eight_pound_force_inches_are_nine_tenths_of_a_newton_metre) {
    // 1 lbf·in = 0.1129848290276 N·m: NIST SP 811, appendix B.8. The figure itself: common
    // practice, no source.
    const Procedure procedure =
        procedure_of(replaced(swap_text(), "effect = \"module <module> present within 3 min\"",
                              "effect = \"module <module> below <ejector-torque> within 3 min\""));
    const auto filled =
        fill_procedure(procedure, given("ejector-torque", "8 lbf·in by handbook 4-2"));
    ASSERT_TRUE(filled) << testing::PrintToString(texts_of(filled.error()));
    EXPECT_EQ(filled->given.at("ejector-torque"), "8 lbf·in (handbook 4-2)");
    const auto effect = sentences::parse(filled->procedure.steps.at(4).effect.value());
    ASSERT_TRUE(effect);
    const auto& one = std::get<sentences::OneIs>(effect->condition.node);
    const units::Quantity torque = std::get<sentences::Measured>(one.predicate).limit;
    EXPECT_EQ(torque.unit, units::Unit::newton_metres);
    EXPECT_GE(torque.value, units::Decimal::parse("0.85").value());
    EXPECT_LT(torque.value, units::Decimal::parse("0.95").value());
}

} // namespace
} // namespace slotwitness::procedures
