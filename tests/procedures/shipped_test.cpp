#include "shipped.hpp"

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <string>

// What is true of every shipped procedure. The rules of the work: common practice, no source.
namespace slotwitness::procedures {
namespace {

using testing::AnyOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

class Shipped : public testing::TestWithParam<std::string> {
  protected:
    void SetUp() override {
        auto read = parse_procedure({GetParam(), shipped_text(GetParam())});
        ASSERT_TRUE(read) << testing::PrintToString(texts_of(read.error()));
        procedure = *std::move(read);
        for (const Step& step : procedure.steps)
            steps.push_back(&step);
        for (const BackOutStep& back : procedure.back_out)
            steps.push_back(&back.step);
    }

    [[nodiscard]] bool is_hands_on() const { return procedure.work != Work::look_only; }
    /// The place of the first step for which `test` is true; the number of steps if there is none.
    template <class Test>
    [[nodiscard]] std::size_t first(const Test& test) const {
        const auto found = std::find_if(procedure.steps.begin(), procedure.steps.end(), test);
        return static_cast<std::size_t>(found - procedure.steps.begin());
    }
    [[nodiscard]] std::vector<std::string> sentences_of(const Step& step) const {
        return step.effect ? std::vector<std::string>{step.fact, *step.effect}
                           : std::vector<std::string>{step.fact};
    }

    Procedure procedure;
    std::vector<const Step*> steps; ///< forward and back
};

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}
bool takes_something_out(const Step& step) {
    return step.effect && has(*step.effect, " absent");
}
std::string first_word(const std::string& text) {
    return text.substr(0, text.find_first_of(" :"));
}

TEST_P(Shipped, is_filled_and_every_sentence_is_one_that_the_family_can_answer) {
    const auto filled = fill_procedure(procedure, fitting(procedure));
    ASSERT_TRUE(filled) << testing::PrintToString(texts_of(filled.error()));
    const auto profile = profiles::parse_profile(
        text_of(SLOTWITNESS_FIXTURES "/quillon/profile.toml"), "profile.toml");
    ASSERT_TRUE(profile);
    EXPECT_EQ(procedure.family, profile->family);
    const auto ask = [&](const std::string& sentence) {
        const auto read = sentences::parse(sentence);
        ASSERT_TRUE(read) << sentence;
        const auto needs = profiles::needs(*profile, *read);
        EXPECT_TRUE(needs) << sentence << ": " << state::to_text(needs.error());
    };
    for (const Step& step : filled->procedure.steps)
        for (const std::string& sentence : sentences_of(step))
            ask(sentence);
    for (const BackOutStep& back : filled->procedure.back_out)
        for (const std::string& sentence : sentences_of(back.step))
            ask(sentence);
    for (const Rule& rule : filled->procedure.rules)
        ask(rule.holds);
    for (const ReadyCheck& ready : filled->procedure.ready)
        ask(ready.holds);
}

TEST_P(Shipped, is_named_in_the_readme_and_defers_to_who_knows_better) {
    EXPECT_THAT(shipped_text("README.md"), HasSubstr('`' + GetParam() + '`'));
    const std::string text = shipped_text(GetParam());
    const std::string head = replaced(text.substr(0, text.find("[procedure]")), "\n# ", " ");
    EXPECT_THAT(head, HasSubstr("site's rules"));
    if (is_hands_on()) {
        EXPECT_THAT(head, HasSubstr("manufacturer's instructions"));
        EXPECT_THAT(head, HasSubstr("local "));
    }
}

TEST_P(Shipped, holds_no_figure) {
    const std::regex digit{"[0-9]"};
    for (const std::string& tool : procedure.tools)
        EXPECT_FALSE(std::regex_search(tool, digit)) << tool;
    for (const Step* step : steps) {
        for (const std::string& caution : step->cautions)
            EXPECT_FALSE(std::regex_search(caution, digit)) << caution;
        for (const std::string& text : {step->act, step->confirm.value_or(""), step->if_wrong.say})
            EXPECT_FALSE(std::regex_search(text, digit)) << text;
        EXPECT_FALSE(step->takes) << "it comes from your own rehearsal";
        // Counts and times of looking stand in sentences, nothing that is measured.
        const std::regex measured{"(below|above|with) [0-9]|at (most|least) [0-9.]+ "
                                  "(?!controller|module|plane|fan-tray|power-supply|port)"};
        for (const std::string& sentence : sentences_of(*step))
            EXPECT_FALSE(std::regex_search(sentence, measured)) << sentence;
    }
}

TEST_P(Shipped, warns_with_the_words_of_ansi_z535) {
    // ANSI Z535.6 (from memory): NOTICE is for what injures nobody, the others for what may.
    const std::regex injures{"kill|injur|shock|cut fingers|harm|hot|laser|arc as|heavy|live",
                             std::regex::icase};
    for (const Step* step : steps)
        for (const std::string& caution : step->cautions) {
            EXPECT_THAT(caution, AnyOf(StartsWith("DANGER: "), StartsWith("WARNING: "),
                                       StartsWith("CAUTION: "), StartsWith("NOTICE: ")))
                << step->name;
            EXPECT_EQ(std::regex_search(caution, injures), first_word(caution) != "NOTICE")
                << caution;
            EXPECT_EQ(has(caution, "will result in death or serious injury"),
                      first_word(caution) == "DANGER")
                << caution;
        }
}

TEST_P(Shipped, graver_warnings_come_first) {
    const std::vector<std::string> falling{"DANGER", "WARNING", "CAUTION", "NOTICE"};
    for (const Step* step : steps)
        EXPECT_TRUE(
            std::is_sorted(step->cautions.begin(), step->cautions.end(),
                           [&](const std::string& a, const std::string& b) {
                               return std::find(falling.begin(), falling.end(), first_word(a)) <
                                      std::find(falling.begin(), falling.end(), first_word(b));
                           }))
            << step->name;
}

TEST_P(Shipped, whoever_takes_something_out_is_warned_and_asked_what_it_is) {
    for (const Step* step : steps)
        if (step->actor == Actor::technician && takes_something_out(*step)) {
            EXPECT_FALSE(step->cautions.empty()) << step->name;
            EXPECT_TRUE(step->confirm) << step->name;
        }
    if (!procedure.cooling)
        return;
    const Step& begins = procedure.steps.at(
        first([&](const Step& step) { return step.name == procedure.cooling->begins; }));
    const std::string cautions = testing::PrintToString(begins.cautions);
    EXPECT_THAT(cautions, HasSubstr("blades turn"));
    EXPECT_THAT(cautions, HasSubstr("full speed"));
    EXPECT_THAT(cautions, HasSubstr('<' + procedure.cooling->limit + '>'));
}

TEST_P(Shipped, asks_the_technician_open_questions) {
    for (const Step* step : steps) {
        EXPECT_EQ(step->confirm.has_value(), step->actor == Actor::technician) << step->name;
        for (std::string rest = step->confirm.value_or(""); !rest.empty();) {
            const std::size_t end = rest.find('?');
            ASSERT_NE(end, std::string::npos) << "no question: " << rest;
            EXPECT_THAT(first_word(rest), AnyOf("What", "Which", "How", "Where", "Who")) << rest;
            rest.erase(0, end + 1);
            rest.erase(0, rest.find_first_not_of(' '));
        }
    }
}

TEST_P(Shipped, says_what_to_do_when_it_goes_wrong_at_every_step) {
    for (const Step* step : steps)
        EXPECT_GE(step->if_wrong.say.size(), 20U) << step->name;
}

TEST_P(Shipped, has_a_way_back_from_every_step) {
    if (!is_hands_on()) {
        EXPECT_THAT(procedure.back_out, IsEmpty()) << "nothing was done";
        return;
    }
    std::vector<std::string> undone;
    for (const BackOutStep& back : procedure.back_out)
        undone.push_back(back.undoes);
    std::vector<std::string> backwards;
    for (const Step& step : procedure.steps)
        backwards.insert(backwards.begin(), step.name);
    const bool cables_last = GetParam() == "replace-line-module.toml";
    EXPECT_THAT(undone, testing::UnorderedElementsAreArray(backwards));
    // Cables are plugged into a module that works; all else goes back as it came.
    if (!cables_last) {
        EXPECT_EQ(undone, backwards);
    }
}

TEST_P(Shipped, no_plane_is_waited_for_before_its_module_works) {
    for (const bool back : {false, true}) {
        bool out = back;
        bool works = false;
        const auto follow = [&](const Step& step) {
            for (const std::string& sentence : sentences_of(step)) {
                if (has(sentence, "module <module> operational"))
                    works = true;
                if (out && has(sentence, "every plane up")) {
                    EXPECT_TRUE(works) << step.name;
                }
                out = out || has(sentence, "module <module> absent");
            }
        };
        if (!procedure.work_slot || procedure.work_slot != "module")
            continue;
        if (back)
            for (const BackOutStep& step : procedure.back_out)
                follow(step.step);
        else
            for (const Step& step : procedure.steps)
                follow(step);
        EXPECT_TRUE(works);
    }
}

TEST_P(Shipped, all_is_ready_before_anything_is_shut_down_or_comes_out) {
    if (!is_hands_on())
        return;
    EXPECT_EQ(procedure.steps.at(0).name, "prepare");
    EXPECT_THAT(procedure.steps.at(0).act, HasSubstr("wrist strap"));
    EXPECT_FALSE(procedure.steps.at(0).effect) << "nothing has changed after it";
    EXPECT_THAT(testing::PrintToString(procedure.tools), HasSubstr("earth point"));
    EXPECT_THAT(testing::PrintToString(procedure.tools),
                HasSubstr("a second person, if the manufacturer"));
    if (procedure.work == Work::replace) {
        EXPECT_THAT(procedure.steps.at(0).act, HasSubstr("npack the spare"));
        EXPECT_THAT(procedure.steps.at(0).act, HasSubstr("inspect its connectors"));
        EXPECT_THAT(testing::PrintToString(procedure.tools), HasSubstr("anti-static surface"));
    }
}

TEST_P(Shipped, both_ejectors_move_together) {
    for (const Step* step : steps)
        if (has(step->act, "ejector") && !has(step->act, "<ejector-torque>")) {
            EXPECT_TRUE(has(step->act, "both ejectors together")) << step->act;
        }
}

TEST_P(Shipped, one_thing_is_out_at_a_time) {
    const bool watched =
        std::any_of(procedure.rules.begin(), procedure.rules.end(), [](const Rule& rule) {
            return has(rule.holds, "present") && rule.from.empty() && rule.until.empty() &&
                   rule.if_wrong;
        });
    EXPECT_TRUE(watched);
}

TEST_P(Shipped, the_part_is_known_by_its_serial_before_the_work_counts_as_done) {
    std::string all;
    for (const Step& step : procedure.steps)
        for (const std::string& sentence : sentences_of(step))
            all += sentence + '\n';
    EXPECT_EQ(has(all, "serial differs from baseline"), procedure.work == Work::replace);
    EXPECT_EQ(has(all, "serial as in baseline"),
              procedure.work == Work::reseat || procedure.work == Work::refit);
    if (is_hands_on()) {
        EXPECT_THAT(procedure.steps.back().effect.value_or("") + procedure.steps.back().fact,
                    HasSubstr("no new alarm at or above major since baseline"));
    }
}

INSTANTIATE_TEST_SUITE_P(All, Shipped, testing::ValuesIn(shipped_files()),
                         test_name<testing::TestParamInfo<std::string>>);

TEST(ShippedProcedures, are_those_that_the_trade_asks_for) {
    EXPECT_THAT(shipped_files(),
                testing::IsSupersetOf({"health-check.toml", "refit-fabric-module.toml",
                                       "replace-fabric-module.toml", "replace-fan-tray.toml",
                                       "replace-line-module.toml", "replace-power-supply.toml",
                                       "reseat-fabric-module.toml"}));
}

} // namespace
} // namespace slotwitness::procedures
