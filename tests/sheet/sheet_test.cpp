#include "samples.hpp"

#include <slotwitness/sheet/sheet.hpp>
#include <slotwitness/sheet/spoken.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>
#include <string>
#include <vector>

namespace slotwitness::sheet {
namespace {

using procedures::FilledProcedure;
using testing::AnyOf;
using testing::HasSubstr;
using testing::Not;

/// What a reader of the page sees, blanks run together. Fails where elements do not nest.
std::string shown(const std::string& html) {
    std::string text;
    std::vector<std::string> open;
    for (std::size_t at = 0; at < html.size();) {
        if (html[at] != '<') {
            text += html[at++];
            continue;
        }
        const std::size_t end = html.find('>', at);
        if (end == std::string::npos)
            throw std::runtime_error("a tag without end");
        std::string tag = html.substr(at + 1, end - at - 1);
        at = end + 1;
        tag = tag.substr(0, tag.find(' '));
        if (tag == "!doctype" || tag == "meta")
            continue;
        if (tag == "style") {
            at = html.find("</style>", at);
            open.push_back(tag);
            continue;
        }
        if (!tag.starts_with('/')) {
            open.push_back(tag);
            continue;
        }
        if (open.empty() || open.back() != tag.substr(1))
            throw std::runtime_error("</" + tag.substr(1) + "> ends nothing");
        open.pop_back();
        text += ' ';
    }
    if (!open.empty())
        throw std::runtime_error("<" + open.back() + "> does not end");
    for (const auto& [entity, letter] :
         {std::pair{"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}})
        text = procedures::replaced(text, entity, letter);
    return std::regex_replace(text, std::regex{" +"}, " ");
}

class Sheet : public testing::TestWithParam<std::string> {
  protected:
    const FilledProcedure filled = procedures::filled_shipped(GetParam());
    const std::string html = run_sheet(filled, facts());
    const std::string page = shown(html);
};

TEST_P(Sheet, has_every_step_with_all_that_is_said_of_it) {
    std::vector<const procedures::Step*> steps;
    for (const procedures::Step& step : filled.procedure.steps)
        steps.push_back(&step);
    for (const procedures::BackOutStep& back : filled.procedure.back_out)
        steps.push_back(&back.step);
    for (const procedures::Step* step : steps) {
        EXPECT_THAT(page, HasSubstr(step->act));
        EXPECT_THAT(page, HasSubstr(step->if_wrong.say));
        if (step->confirm) {
            EXPECT_THAT(page, HasSubstr("Ask: " + *step->confirm));
        }
        for (const std::string& caution : step->cautions)
            EXPECT_THAT(page, HasSubstr(std::string{caution}.erase(caution.find(':'), 1)));
        for (const std::string& sentence : {step->fact, step->effect.value_or(step->fact)})
            for (const std::string& clause : spoken(sentences::parse(sentence).value()).clauses)
                EXPECT_THAT(page, HasSubstr(clause));
    }
    const std::regex boxes{"<div class=\"code\"><i></i><i></i><i></i>"};
    EXPECT_EQ(std::distance(std::sregex_iterator{html.begin(), html.end(), boxes}, {}),
              static_cast<std::ptrdiff_t>(steps.size()))
        << "three characters are read back at every step";
}

TEST_P(Sheet, names_what_was_given_with_its_document) {
    for (const auto& [name, value] : filled.given)
        EXPECT_THAT(page, HasSubstr(filled.procedure.parameters.at(name).say + " " + value));
    for (const std::string& tool : filled.procedure.tools)
        EXPECT_THAT(page, HasSubstr(tool));
    for (const procedures::Rule& rule : filled.procedure.rules)
        EXPECT_THAT(page, HasSubstr(rule.say));
}

TEST_P(Sheet, speaks_as_people_at_the_rack_do) {
    const std::string spoken_page = procedures::replaced(page, "fabric plane", "");
    EXPECT_FALSE(std::regex_search(page, std::regex{"is shut[^ ]|is shut (?!down)"})) << page;
    EXPECT_FALSE(std::regex_search(spoken_page, std::regex{"every plane|plane [0-9]"}));
    EXPECT_THAT(page,
                Not(AnyOf(HasSubstr("safe"), HasSubstr("fan-tray"), HasSubstr("power-supply"))));
}

TEST_P(Sheet, says_what_it_is_and_defers) {
    EXPECT_THAT(page, HasSubstr("what the device reports"));
    EXPECT_THAT(page, HasSubstr("gives no permission"));
    EXPECT_THAT(page, HasSubstr("manufacturer's instructions, this site's rules and local codes"));
}

TEST_P(Sheet, needs_nothing_from_elsewhere) {
    EXPECT_FALSE(std::regex_search(
        html, std::regex{"<script|<link|<img|<iframe|@import|url\\(|http|src=|href=| on[a-z]+=",
                         std::regex::icase}));
}

INSTANTIATE_TEST_SUITE_P(All, Sheet, testing::ValuesIn(procedures::shipped_files()),
                         procedures::test_name<testing::TestParamInfo<std::string>>);

FilledProcedure swap_filled() {
    return procedures::filled_shipped("replace-fabric-module.toml");
}

TEST(RunSheet, takes_nothing_that_is_given_for_markup) {
    const std::string hostile = "<script>alert('x')</script>&\"";
    const std::string expected = "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;&amp;&quot;";
    FilledProcedure filled = swap_filled();
    filled.procedure.title = hostile;
    filled.procedure.tools = {hostile};
    filled.procedure.rules.at(0).say = hostile;
    filled.procedure.steps.at(0).act = hostile;
    filled.procedure.steps.at(0).cautions = {"DANGER: " + hostile};
    filled.procedure.steps.at(0).confirm = hostile;
    filled.procedure.steps.at(0).if_wrong.say = hostile;
    filled.procedure.steps.at(0).fact =
        "module " + sentences::name_text(hostile) + " shut within 5 min";
    filled.given.at("spare") = hostile;
    filled.work_slot->name = hostile;
    filled.tray = hostile;
    for (const bool with_face : {true, false}) {
        SheetFacts facts{hostile, std::nullopt, hostile, hostile, hostile, hostile};
        if (with_face)
            facts.face = Face{hostile, {{{hostile, ""}, {"x", hostile}}}};
        const std::string html = run_sheet(filled, facts);
        EXPECT_THAT(html, Not(HasSubstr("<script")));
        EXPECT_NO_THROW(static_cast<void>(shown(html)));
        std::size_t times = 0;
        for (std::size_t at = html.find(expected); at != std::string::npos;
             at = html.find(expected, at + 1))
            ++times;
        EXPECT_GE(times, 16U);
    }
}

TEST(RunSheet, has_no_control_characters) {
    SheetFacts bell = facts();
    bell.ticket = "a\x07\x1b[31m";
    EXPECT_THAT(run_sheet(swap_filled(), bell), HasSubstr("a\xEF\xBF\xBD\xEF\xBF\xBD[31m"));
}

TEST(RunSheet, marks_the_work_slot_and_what_comes_out_first_on_the_face_looked_at) {
    const std::string html = run_sheet(swap_filled(), facts());
    EXPECT_THAT(html, HasSubstr("Slots, seen from the rear"));
    EXPECT_THAT(html, HasSubstr("<td class=\"work\"><b>REAR 3</b><i>FAB3</i><em>work slot</em>"));
    EXPECT_THAT(html, HasSubstr("<td class=\"tray\"><b>T2</b><i>TRAY2</i>"));
    EXPECT_THAT(html, HasSubstr("<td><b>REAR 6</b><i>FAB6</i></td>"));
    EXPECT_THAT(html, HasSubstr("<td><b>PSU1</b></td>")) << "nothing else is printed there";
    EXPECT_EQ(html.find("class=\"work\""), html.rfind("class=\"work\""));
}

TEST(RunSheet, marks_what_stands_beside_by_its_looks_and_by_words) {
    const std::string html = run_sheet(swap_filled(), facts());
    for (const char* beside : {"<b>REAR 2</b><i>FAB2</i>", "<b>REAR 4</b><i>FAB4</i>",
                               "<b>T1</b><i>TRAY1</i>", "<b>T3</b><i>TRAY3</i>"})
        EXPECT_THAT(html,
                    HasSubstr(std::string("<td class=\"stays\">") + beside + "<em>stays in</em>"));
    EXPECT_THAT(html, HasSubstr("<td><b>REAR 1</b><i>FAB1</i></td>"));
    EXPECT_THAT(html, HasSubstr("<em>comes out first</em>"));
}

TEST(RunSheet, leaves_a_place_without_a_slot_empty) {
    SheetFacts gapped = facts();
    gapped.face = Face{"rear", {{{"FAB3", ""}, {"", ""}, {"FAB4", ""}}}};
    EXPECT_THAT(run_sheet(swap_filled(), gapped),
                HasSubstr("</td><td class=\"gap\"></td><td><b>FAB4</b></td>"));
}

TEST(RunSheet, shows_the_side_on_which_the_work_slot_is) {
    const auto profile = profiles::parse_profile(
        procedures::text_of(SLOTWITNESS_FIXTURES "/quillon/profile.toml"), "profile.toml");
    ASSERT_TRUE(profile);
    const auto none = [](const std::string&) { return std::string(); };
    const auto rear_face = face_of(*profile, swap_filled(), none);
    ASSERT_TRUE(rear_face);
    EXPECT_EQ(rear_face->side, "rear");
    EXPECT_EQ(rear_face->rows.at(1).at(2).name, "FAB3");
    EXPECT_EQ(rear_face->rows.at(1).at(2).label, "");
    EXPECT_EQ(rear_face->rows.at(2).at(2).name, "") << "there is no slot";
    const auto labelled = face_of(*profile, procedures::filled_shipped("replace-line-module.toml"),
                                  [](const std::string& slot) { return "printed " + slot; });
    FilledProcedure line = procedures::filled_shipped("replace-line-module.toml");
    line.work_slot->name = "LINE3";
    EXPECT_EQ(face_of(*profile, line, none)->side, "front");
    EXPECT_EQ(face_of(*profile, procedures::filled_shipped("health-check.toml"), none)->side,
              "front");
    ASSERT_TRUE(labelled);
    EXPECT_EQ(labelled->rows.at(0).at(0).label, "printed " + labelled->rows.at(0).at(0).name);
    line.work_slot->name = "LINE9";
    EXPECT_FALSE(face_of(*profile, line, none)) << "a picture without it would mislead";
}

TEST(RunSheet, of_an_open_procedure_has_two_characters_of_each_code_and_never_the_third) {
    const FilledProcedure filled = swap_filled();
    const std::string html = run_sheet(filled, facts_of_open(filled));
    const auto times = [&](const std::string& part) {
        std::size_t count = 0;
        for (std::size_t at = html.find(part); at != std::string::npos;
             at = html.find(part, at + 1))
            ++count;
        return count;
    };
    EXPECT_EQ(times("<div class=\"code\"><i>K</i><i>7</i><i></i>"), filled.procedure.steps.size());
    EXPECT_EQ(times("<div class=\"code\"><i>2</i><i>W</i><i></i>"),
              filled.procedure.back_out.size());
    EXPECT_EQ(times("K7F") + times("2WM"), 0U);
    EXPECT_THAT(shown(html), HasSubstr("Do not act, and ask."));
    EXPECT_THAT(shown(run_sheet(filled, facts())), Not(HasSubstr("Two characters of each")));
}

TEST(RunSheet, says_how_codes_are_spoken) {
    EXPECT_THAT(shown(run_sheet(swap_filled(), facts())),
                HasSubstr("C Charlie, F Foxtrot, H Hotel, J Juliett, K Kilo"));
}

TEST(RunSheet, says_so_where_the_work_slot_is_on_another_side) {
    const std::string missing = "The work slot FAB3 is not on this side.";
    SheetFacts front = facts();
    EXPECT_THAT(run_sheet(swap_filled(), front), Not(HasSubstr(missing)));
    front.face = Face{"front", {{{"LINE1", "FRONT 1"}, {"LINE2", "FRONT 2"}}}};
    EXPECT_THAT(run_sheet(swap_filled(), front), HasSubstr(missing));
    EXPECT_THAT(run_sheet(procedures::filled_shipped("health-check.toml"), front),
                Not(HasSubstr("is not on this side")));
}

TEST(RunSheet, leaves_a_frame_to_draw_in_where_the_face_is_not_known) {
    SheetFacts unknown = facts();
    unknown.face.reset();
    const std::string page = shown(run_sheet(swap_filled(), unknown));
    EXPECT_THAT(page, HasSubstr("Mark with X the work slot FAB3."));
    EXPECT_THAT(page, HasSubstr("Mark with T fan tray TRAY2."));
    EXPECT_THAT(page, HasSubstr("☐ front ☐ rear"));
}

TEST(RunSheet, a_tray_that_is_the_work_slot_is_marked_as_that) {
    const std::string html =
        run_sheet(procedures::filled_shipped("replace-fan-tray.toml"), facts());
    EXPECT_THAT(html, HasSubstr("<td class=\"work\"><b>T2</b><i>TRAY2</i><em>work slot</em>"));
    EXPECT_THAT(html, Not(HasSubstr("comes out first")));
}

TEST(RunSheet, what_is_not_known_is_a_line_to_write_on) {
    const auto lines = [](const SheetFacts& facts) {
        const std::string html = run_sheet(swap_filled(), facts);
        std::size_t times = 0;
        for (std::size_t at = html.find("<b class=\"line\"></b>"); at != std::string::npos;
             at = html.find("<b class=\"line\"></b>", at + 1))
            ++times;
        return times;
    };
    SheetFacts named = facts();
    const std::size_t before = lines(named);
    named.engineer = "A. Example";
    EXPECT_EQ(lines(named), before - 1);
    EXPECT_THAT(run_sheet(swap_filled(), named), HasSubstr("A. Example"));
}

TEST(RunSheet, an_open_question_is_asked_where_the_procedure_has_none) {
    FilledProcedure filled = swap_filled();
    for (procedures::Step& step : filled.procedure.steps)
        step.confirm.reset();
    EXPECT_THAT(shown(run_sheet(filled, facts())),
                HasSubstr("Ask: What do you see at the work slot?"));
}

TEST(RunSheet, what_the_next_step_waits_for_is_said_once) {
    FilledProcedure filled = swap_filled();
    auto& steps = filled.procedure.steps;
    steps = {steps.at(2), steps.at(3)};
    filled.procedure.back_out.clear();
    ASSERT_EQ(steps.at(0).effect, steps.at(1).fact);
    const std::string said = "module FAB3 is shut down by the engineer";
    const std::string page = shown(run_sheet(filled, facts()));
    EXPECT_THAT(page, HasSubstr(said));
    EXPECT_EQ(page.find(said), page.rfind(said));
}

} // namespace
} // namespace slotwitness::sheet
