#include "expected_rows.hpp"
#include "random_life.hpp"

#include <slotwitness/chassis/answers.hpp>
#include <slotwitness/chassis/captured.hpp>
#include <slotwitness/chassis/device.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace slotwitness::chassis {
namespace {

using checks::ExpectedRow;

std::string text_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

const profiles::Profile& quillon() {
    static const profiles::Profile profile = [] {
        const std::string file = SLOTWITNESS_FIXTURES "/quillon/profile.toml";
        auto read = profiles::parse_profile(text_of(file), file);
        if (!read)
            throw std::runtime_error(state::to_text(read.error().front()));
        return *read;
    }();
    return profile;
}

/// What differs between a reading and what must be read; empty if nothing does.
std::string difference(const state::Reading& reading, const std::vector<ExpectedRow>& expected) {
    std::ostringstream text;
    for (const auto& line : reading.unread)
        text << "unread line " << line.line << ": " << line.text << ", expected " << line.expected
             << "\n";
    if (reading.rows.size() != expected.size())
        text << reading.rows.size() << " rows, expected " << expected.size() << "\n";
    for (std::size_t index = 0; index < std::min(reading.rows.size(), expected.size()); ++index) {
        const auto& row = reading.rows[index];
        const auto& must = expected[index];
        if (row.name != must.name || row.kind != must.kind)
            text << "row " << index << " is " << row.name << ", expected " << must.name << "\n";
        for (const auto& [attribute, value] : must.facts)
            if (!row.facts.contains(attribute))
                text << row.name << ": no " << to_word(attribute) << "\n";
        for (const auto& [attribute, fact] : row.facts)
            if (const auto known = must.facts.find(attribute); known == must.facts.end())
                text << row.name << ": unexpected " << to_word(attribute) << "\n";
            else if (!(known->second == fact.value))
                text << row.name << ": " << to_word(attribute) << " is "
                     << state::to_text(fact.value) << ", expected " << state::to_text(known->second)
                     << "\n";
    }
    return text.str();
}

std::string differences(const Snapshot& now) {
    std::string all;
    for (const auto& query : tell_words()) {
        const auto given = answer("tell " + query, now, now);
        all += difference(profiles::read(quillon(), query, given.out, true),
                          checks::expected_rows(query, now));
    }
    for (const auto& module : now.modules) {
        const auto given = answer("tell module " + module.slot, now, now);
        all += difference(profiles::read(quillon(), "module-detail", given.out, true),
                          {checks::expected_detail(module)});
    }
    return all;
}

TEST(Reading, a_whole_chassis_reads_back_as_what_it_is) {
    EXPECT_EQ(differences(Model(Fitting{}).snapshot()), "");
}

TEST(Reading, a_chassis_without_trays_supplies_and_line_modules_reads_back) {
    Model model{Fitting{}};
    for (const std::string number : {"1", "2", "3", "4", "5", "6", "7", "8"}) {
        static_cast<void>(model.pull(Part::tray, "TRAY" + number));
        static_cast<void>(model.pull(Part::supply, "PSU" + number));
        static_cast<void>(model.pull(Part::module, "LINE" + number));
        static_cast<void>(model.pull(Part::module, "FAB" + number));
    }
    const auto now = model.snapshot();
    ASSERT_TRUE(now.trays.empty() && now.supplies.empty() && now.modules.empty() &&
                now.neighbours.empty());
    EXPECT_EQ(differences(now), "");
}

RC_GTEST_PROP(ReadingProperty, whatever_happened_every_table_reads_back_as_the_model, ()) {
    Model model{Fitting{}};
    checks::live(model, checks::random_acts(30), [](Model& one, Time to) { one.advance(to); });
    RC_ASSERT(differences(model.snapshot()) == "");
}

TEST(Reading, every_query_of_the_profile_is_one_that_the_chassis_answers) {
    const auto now = Model(Fitting{}).snapshot();
    for (const auto& asking : profiles::all_queries(quillon())) {
        const auto bytes = profiles::request_bytes(quillon(), asking);
        ASSERT_TRUE(bytes) << state::to_text(bytes.error());
        EXPECT_EQ(answer(*bytes, now, now).status, 0) << *bytes;
    }
    EXPECT_EQ(profiles::all_queries(quillon()).size(), tell_words().size());
}

TEST(Reading, a_fault_in_an_answer_never_reads_as_a_whole_and_clean_table) {
    for (const auto& captured : captured_answers()) {
        if (captured.condition != "hostile")
            continue;
        const std::string query = captured.name.substr(0, captured.name.find('-'));
        const bool cut = captured.name.ends_with("-cut");
        const auto reading = profiles::read(quillon(), query, captured.text, !cut);
        std::map<std::string, int> named;
        for (const auto& row : reading.rows)
            ++named[row.name];
        const bool twice =
            std::any_of(named.begin(), named.end(), [](const auto& one) { return one.second > 1; });
        EXPECT_TRUE(!reading.unread.empty() || twice) << captured.name;
        EXPECT_EQ(captured.name.ends_with("-contradicting"), twice) << captured.name;
    }
}

TEST(Fixtures, are_what_the_chassis_answers_and_nothing_else) {
    const std::filesystem::path folder = SLOTWITNESS_FIXTURES "/quillon";
    std::size_t files = 0;
    for (const std::string condition : {"healthy", "mid-swap", "broken", "hostile"})
        for (const auto& entry : std::filesystem::directory_iterator(folder / condition))
            files += entry.path().extension() == ".txt";
    const auto all = captured_answers();
    EXPECT_EQ(files, all.size());
    for (const auto& captured : all)
        EXPECT_EQ(text_of(folder / captured.condition / (captured.name + ".txt")), captured.text)
            << captured.condition << "/" << captured.name
            << ": if the chassis changed on purpose, write them anew with --print-fixtures";
}

} // namespace
} // namespace slotwitness::chassis
