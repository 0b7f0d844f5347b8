#include "samples.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace slotwitness::procedures {
namespace {

using testing::Contains;
using testing::Each;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string model = swap_text();

std::string with(const std::string& old, const std::string& other) {
    return replaced(model, old, other);
}

std::vector<std::string> problems(const std::string& text) {
    const auto procedure = parse_procedure({"swap.toml", text});
    return procedure ? std::vector<std::string>{} : texts_of(procedure.error());
}

TEST(Procedure, the_model_is_read) {
    const auto procedure = parse_procedure({"swap.toml", model});
    ASSERT_TRUE(procedure) << testing::PrintToString(problems(model));
    EXPECT_EQ(procedure->work, Work::replace);
    EXPECT_EQ(procedure->steps.size(), 8U);
    EXPECT_EQ(procedure->steps[2].until, "seat-spare");
    EXPECT_EQ(procedure->steps[3].if_wrong.first, IfWrong::First::finish_seating);
    EXPECT_EQ(procedure->back_out[0].undoes, "pull-module");
    EXPECT_EQ(
        procedure->parameters.at("ejector-torque").is,
        (std::variant<ComponentOf, Figure, TimeLimit, Words>{Figure{units::Unit::newton_metres}}));
}

TEST(Procedure, an_unknown_place_is_named_with_what_it_may_have_meant) {
    const auto said = problems(with("absent within 1 min", "absent within <coling-limit>"));
    EXPECT_THAT(said, Each(HasSubstr("Did you mean \"cooling-limit\"?"))) << "and nothing else";
    EXPECT_FALSE(said.empty());
}

TEST(Procedure, a_bad_sentence_is_named_with_its_column_in_the_text_as_written) {
    EXPECT_THAT(problems(with("\"module <module> absent within 1 min\"",
                              "\"module <module> absnt within 1 min\"")),
                Contains(HasSubstr("at column 17 of the sentence")));
}

TEST(Procedure, words_do_not_stand_in_what_is_judged) {
    EXPECT_THAT(problems(with("module <module> present within 3 min",
                              "module <spare> present within 3 min")),
                Contains(HasSubstr("words are not judged")));
}

TEST(Procedure, what_people_are_asked_for_is_used) {
    EXPECT_THAT(problems(model + "\n[parameter.mood]\nis = \"words\"\nsay = \"how are you\"\n"),
                ElementsAre(HasSubstr("a place <mood> in some text")));
}

TEST(Procedure, a_step_that_is_named_is_there_and_comes_later) {
    EXPECT_THAT(problems(with("until = \"seat-spare\"", "until = \"seat-spares\"")),
                Contains(HasSubstr("Did you mean \"seat-spare\"?")));
    EXPECT_THAT(problems(with("until = \"seat-spare\"", "until = \"shut-planes\"")),
                Contains(HasSubstr("a step after pull-tray")));
}

TEST(Procedure, several_stand_only_where_one_and_more_can_be_named) {
    EXPECT_THAT(problems(with("every plane except <planes> up\"", "plane <planes> up\"")),
                ElementsAre(HasSubstr("of the sentence")));
    EXPECT_THAT(problems(with("is  = \"module\"\n", "is  = \"module\"\nseveral = true\n")),
                Contains(HasSubstr("a parameter that is one component")));
}

TEST(Procedure, what_is_cooled_by_is_a_fan_tray) {
    EXPECT_THAT(problems(with("tray   = \"tray\"", "tray   = \"module\"")),
                Contains(HasSubstr("a parameter that is one fan-tray")));
}

TEST(Procedure, asks_for_how_long_the_rehearsal_took_and_for_no_limit_that_the_device_states) {
    const std::string by_device =
        with("out    = \"pull-module\"",
             "out    = \"pull-module\"\ntakes  = \"cooling-limit\"\nsensors = \"warm\"") +
        "\n[parameter.warm]\nis = \"sensor\"\nsay = \"what warms\"\n";
    const auto procedure = parse_procedure({"swap.toml", by_device});
    ASSERT_TRUE(procedure) << testing::PrintToString(problems(by_device));
    EXPECT_EQ(procedure->cooling->takes, "cooling-limit");
    EXPECT_EQ(procedure->cooling->hottest, "");
    EXPECT_THAT(problems(with("out    = \"pull-module\"",
                              "out    = \"pull-module\"\ntakes  = \"ejector-torque\"")),
                Contains(HasSubstr("a parameter that is a time-limit")));
    EXPECT_THAT(problems(with("out    = \"pull-module\"", "takes  = \"cooling-limit\"")),
                Contains(HasSubstr("takes")))
        << "nobody turns back where nothing comes out";
}

TEST(Procedure, the_old_part_leaves_while_its_tray_is_out) {
    const auto procedure = parse_procedure({"swap.toml", model});
    ASSERT_TRUE(procedure);
    EXPECT_EQ(procedure->cooling->out, "pull-module");
    EXPECT_THAT(problems(with("out    = \"pull-module\"", "out    = \"pull-tray\"")), IsEmpty())
        << "one act may take both";
    EXPECT_THAT(problems(with("out    = \"pull-module\"\n", "")), IsEmpty());
    for (const std::string step : {"shut-module", "seat-tray", "start-module"})
        EXPECT_THAT(problems(with("out    = \"pull-module\"", "out    = \"" + step + "\"")),
                    ElementsAre(HasSubstr("a step from pull-tray on, before seat-tray")));
    EXPECT_THAT(problems(with("out    = \"pull-module\"", "out    = \"pull-modul\"")),
                ElementsAre(HasSubstr("Did you mean \"pull-module\"?")));
}

TEST(Procedure, a_step_says_how_long_it_took_when_rehearsed) {
    const auto taking = [](const std::string& time) {
        return with("name  = \"seat-spare\"\n", "name  = \"seat-spare\"\ntakes = " + time + "\n");
    };
    const auto procedure = parse_procedure({"swap.toml", taking("\"2 min\"")});
    ASSERT_TRUE(procedure);
    EXPECT_EQ(procedure->steps[4].takes, std::chrono::minutes{2});
    EXPECT_EQ(procedure->steps[3].takes, std::nullopt);
    EXPECT_THAT(problems(taking("\"0 s\"")), ElementsAre(HasSubstr("takes")));
    EXPECT_THAT(problems(taking("2")), ElementsAre(HasSubstr("takes")));
}

TEST(Procedure, no_plane_is_waited_for_before_its_module_works) {
    std::string text = with("effect = \"module <module> operational for 30 s within 15 min\"",
                            "effect = \"module <module> present within 15 min\"");
    const std::string fact = "fact  = \"module <module> operational for 30 s within 15 min\"";
    text.replace(text.find(fact), fact.size(), "fact  = \"every plane up within 15 min\"");
    EXPECT_THAT(problems(text), ElementsAre(HasSubstr("a step before it that waits for <module>")));
}

TEST(Procedure, a_rule_has_neither_hold_nor_deadline) {
    EXPECT_THAT(problems(with("every plane except <planes> up\"",
                              "every plane except <planes> up for 5 s\"")),
                Contains(HasSubstr("a condition without for and within")));
}

TEST(Procedure, advice_is_never_left_out) {
    EXPECT_THAT(
        problems(
            with("if-wrong = { first = \"freeze\", say = \"Look at the module first.\" }\n", "")),
        ElementsAre(HasSubstr("the key \"if-wrong\"")));
}

TEST(Procedure, broken_toml_is_named_with_its_line) {
    EXPECT_THAT(problems("[procedure]\ntitle = \n"), ElementsAre(HasSubstr("swap.toml:2:")));
}

const std::string ready_check = R"(
[[ready]]
name   = "other-controller"
say    = "The other controller can take over, with <tray> out"
holds  = "at least 1 controller standby hot-standby"
remedy = "Let it come up first."
)";

TEST(Procedure, what_must_be_so_beforehand_is_read) {
    const auto procedure = parse_procedure({"swap.toml", model + ready_check});
    ASSERT_TRUE(procedure) << testing::PrintToString(problems(model + ready_check));
    ASSERT_EQ(procedure->ready.size(), 1U);
    EXPECT_EQ(procedure->ready[0].holds, "at least 1 controller standby hot-standby");
    EXPECT_EQ(procedure->ready[0].remedy, "Let it come up first.");
}

TEST(Procedure, a_ready_check_looks_once_and_says_what_to_do) {
    EXPECT_THAT(problems(model + replaced(ready_check, "hot-standby\"", "hot-standby for 10 s\"")),
                ElementsAre(HasSubstr("the ready check looks once")));
    EXPECT_THAT(problems(model + replaced(ready_check, "remedy = \"Let it come up first.\"", "")),
                ElementsAre(HasSubstr("remedy")));
    EXPECT_THAT(problems(model + replaced(ready_check, "<tray>", "<try>")),
                ElementsAre(HasSubstr("Did you mean \"tray\"?")));
}

const std::string compatible = R"(
[parameter.spare-part]
is  = "words"
say = "the spare's part number"
[parameter.spare-revision]
is  = "words"
say = "the spare's revision"
[compatibility]
document = "parts list 12-7"
part     = "spare-part"
revision = "spare-revision"
[[compatibility.fits]]
part      = "QF-32-2"
revisions = ["R3", "R4"]
[[compatibility.fits]]
part = "QF-32-3"
)";

TEST(Procedure, the_parts_that_fit_are_read) {
    const auto procedure = parse_procedure({"swap.toml", model + compatible});
    ASSERT_TRUE(procedure) << testing::PrintToString(problems(model + compatible));
    ASSERT_TRUE(procedure->compatibility);
    const Compatibility& list = *procedure->compatibility;
    EXPECT_EQ(fit_of(list, "QF-32-2", "R4"), Fit::listed);
    EXPECT_EQ(fit_of(list, "QF-32-2", "R5"), Fit::other_revision);
    EXPECT_EQ(fit_of(list, "QF-32-3", "R5"), Fit::listed) << "no revision is stated: any";
    EXPECT_EQ(fit_of(list, "QF-32", "R3"), Fit::not_listed);
    EXPECT_EQ(fit_of(list, "qf-32-2", "R3"), Fit::not_listed) << "as the label has it";
}

TEST(Procedure, a_list_of_parts_names_its_document_its_parts_and_who_gives_them) {
    const auto with_list = [](const std::string& old, const std::string& other) {
        return problems(model + replaced(compatible, old, other));
    };
    EXPECT_THAT(with_list("document = \"parts list 12-7\"", ""),
                ElementsAre(HasSubstr("document")));
    EXPECT_THAT(with_list("part     = \"spare-part\"", "part     = \"tray\""),
                Contains(HasSubstr("a parameter that is words")));
    EXPECT_THAT(with_list("part = \"QF-32-3\"", ""), ElementsAre(HasSubstr("part")));
    EXPECT_THAT(problems(model + compatible.substr(0, compatible.find("[[compat"))),
                ElementsAre(HasSubstr("[[compatibility.fits]]")));
}

const std::string spare_serial = R"(
[parameter.spare-serial]
is  = "words"
say = "the spare's serial"
)";

std::string naming_a_spare(const std::string& parameter, const std::string& work = "replace") {
    return with("work      = \"replace\"\n",
                "work      = \"" + work + "\"\nspare     = \"" + parameter + "\"\n") +
           spare_serial;
}

TEST(Procedure, names_the_serial_of_what_goes_in_by_words_of_a_replacement_alone) {
    const std::string text = naming_a_spare("spare-serial");
    const auto procedure = parse_procedure({"swap.toml", text});
    ASSERT_TRUE(procedure) << testing::PrintToString(problems(text));
    EXPECT_EQ(procedure->spare, "spare-serial");
    EXPECT_THAT(problems(naming_a_spare("tray")), Contains(HasSubstr("a parameter that is words")));
    EXPECT_THAT(problems(naming_a_spare("spare-serial", "refit")),
                Contains(HasSubstr("the same part goes in again")));
}

} // namespace
} // namespace slotwitness::procedures
