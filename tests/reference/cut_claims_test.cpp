#include "compared_fixtures.hpp"

#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/witness/evaluate.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

/// What may be claimed from an answer that stops at any byte, of every invented family.
namespace slotwitness::reference {
namespace {

using profiles::Fixture;
using profiles::Profile;
using witness::Truth;

/// Sentences over all, none, at most and absence, and over each component that the whole lists.
std::vector<sentences::Sentence> claims(const state::Reading& whole, state::Kind kind) {
    const std::string word{to_word(kind)};
    std::set<std::string> names{"ABSENT1"};
    for (const state::Row& row : whole.rows)
        names.insert(row.name);
    std::vector<std::string> texts{"every " + word + " present", "at most 0 " + word + " present",
                                   "at least 1 " + word + " present"};
    if (kind == state::Kind::alarm)
        texts = {"no alarm", "no alarm at or above critical"};
    else
        for (const char* claim : {"up", "down", "operational", "shut"})
            for (const char* all : {"every ", "at most 0 ", "at most 1 "})
                texts.push_back(all + word + " " + claim);
    for (const std::string& name : names)
        for (const char* claim : {"present", "up", "down", "shut", "admin locked"})
            for (const char* sense : {"", "not "}) {
                if (kind == state::Kind::alarm && claim != std::string{"present"})
                    continue;
                texts.push_back(sense + word + " \"" + name + "\" " + claim);
            }
    std::vector<sentences::Sentence> parsed;
    for (const std::string& text : texts) {
        auto sentence = sentences::parse(text);
        EXPECT_TRUE(sentence) << text;
        if (sentence)
            parsed.push_back(std::move(*sentence));
    }
    return parsed;
}

Truth truth_of(const sentences::Sentence& sentence, const state::Reading& reading,
               const witness::Inventory& inventory) {
    const witness::View view{
        {{"asking", "capture", reading.whole, "", std::make_shared<state::Reading>(reading)}}, {}};
    return witness::evaluate(sentence.condition, {view, inventory}).judgement.truth;
}

bool has_control(const std::string& text) {
    return std::any_of(text.begin(), text.end(), [](char byte) {
        return static_cast<unsigned char>(byte) < ' ' && byte != '\n' && byte != '\t';
    });
}

/// Rows that the answer's end may still change by the layout's own rules: the last one where rows
/// wrap, and a list that is open.
bool may_go_on(const profiles::Query& query, const state::Fact& fact) {
    if (const auto* table = std::get_if<layouts::TableSpec>(&query.layout))
        return table->wraps;
    return std::holds_alternative<layouts::RecordSpec>(query.layout) &&
           std::holds_alternative<state::Names>(fact.value);
}

using Place = std::pair<const state::Row*, state::Attribute>;

/// The known facts of `whole` that stand in lines which end before the cut.
std::vector<Place> before(std::size_t cut, const std::string& text, const state::Reading& whole,
                          const profiles::Query& query) {
    const auto lines = static_cast<std::size_t>(
        std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(cut), '\n'));
    std::vector<Place> places;
    for (std::size_t i = 0; i < whole.rows.size(); ++i) {
        const state::Row& row = whole.rows[i];
        const bool followed = i + 1 < whole.rows.size() && whole.rows[i + 1].at.line <= lines;
        for (const auto& [attribute, fact] : row.facts)
            if (row.at.line <= lines && fact.at.line <= lines &&
                !std::holds_alternative<state::Unknown>(fact.value) &&
                (followed || !may_go_on(query, fact)))
                places.emplace_back(&row, attribute);
    }
    return places;
}

bool tells(const state::Reading& reading, const state::Row& row, state::Attribute attribute) {
    return std::any_of(reading.rows.begin(), reading.rows.end(), [&](const state::Row& other) {
        const auto fact = other.facts.find(attribute);
        return other.at == row.at && other.name == row.name && fact != other.facts.end() &&
               fact->second == row.facts.at(attribute);
    });
}

class CutAnswers : public testing::TestWithParam<std::string> {
  protected:
    Profile profile = profiles::profile_of(GetParam() + "/profile.toml");
};

TEST_P(CutAnswers, confirm_nothing_and_refute_only_what_the_whole_does_not_say) {
    std::size_t refuted = 0;
    for (const Fixture& one : compared_fixtures(GetParam())) {
        const profiles::Query& query = profile.queries.at(one.query);
        const std::string text = profiles::fixture(one.path(".txt"));
        const auto whole = read(profile, one.query, text, true);
        witness::Inventory inventory;
        witness::Inventory::Names names;
        for (const state::Row& row : whole.rows)
            names.insert(row.name);
        EXPECT_TRUE(inventory.fix(query.kind, names));
        const auto sentences = claims(whole, query.kind);
        std::vector<Truth> truths;
        for (const auto& sentence : sentences)
            truths.push_back(truth_of(sentence, whole, inventory));
        for (std::size_t size = 0; size < text.size(); ++size) {
            const auto cut = read(profile, one.query, text.substr(0, size), false);
            for (std::size_t i = 0; i < sentences.size(); ++i) {
                const Truth truth = truth_of(sentences[i], cut, inventory);
                EXPECT_NE(truth, Truth::yes) << one.path(".txt") << " cut to " << size << ": "
                                             << sentences::to_text(sentences[i]);
                if (truth != Truth::no)
                    continue;
                ++refuted;
                EXPECT_NE(truths[i], Truth::yes) << one.path(".txt") << " cut to " << size << ": "
                                                 << sentences::to_text(sentences[i]);
            }
        }
    }
    EXPECT_GT(refuted, 100U);
}

// Nor does a line that the cut tears take a fact with it that a line above has told, whether or not
// the transport takes the cut for the end.
TEST_P(CutAnswers, still_tell_each_fact_of_the_lines_before_the_cut) {
    std::size_t told = 0;
    for (const Fixture& one : compared_fixtures(GetParam())) {
        const std::string text = profiles::fixture(one.path(".txt"));
        // A control function that is cut in two makes the lines before it doubtful.
        if (has_control(text))
            continue;
        const profiles::Query& query = profile.queries.at(one.query);
        const auto whole = read(profile, one.query, text, true);
        for (std::size_t size = 0; size < text.size(); ++size)
            for (const bool ended : {false, true}) {
                const auto cut = read(profile, one.query, text.substr(0, size), ended);
                for (const auto& [row, attribute] : before(size, text, whole, query)) {
                    ++told;
                    EXPECT_TRUE(tells(cut, *row, attribute))
                        << one.path(".txt") << " cut to " << size << (ended ? ", ended: " : ": ")
                        << row->name << ' ' << to_word(attribute);
                }
            }
    }
    EXPECT_GT(told, 1000U);
}

INSTANTIATE_TEST_SUITE_P(Families, CutAnswers, testing::ValuesIn(profiles::families),
                         [](const auto& info) { return info.param; });

} // namespace
} // namespace slotwitness::reference
