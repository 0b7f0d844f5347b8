#include "files.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>

namespace slotwitness::profiles {
namespace {

const std::map<std::string, std::string> answers{
    {"alarms", "alarms"},           {"alarms-none", "alarms"}, {"chassis", "chassis"},
    {"controllers", "controllers"}, {"modules", "modules"},    {"module-detail", "module-detail"},
    {"planes", "planes"},           {"ports", "ports"},        {"sensors", "sensors"},
    {"supplies", "supplies"},       {"trays", "trays"}};

/// The whole answer has this row, and each fact of it unless it is unknown.
bool is_part_of(const state::Reading& whole, const state::Row& row) {
    return std::any_of(whole.rows.begin(), whole.rows.end(), [&](const state::Row& one) {
        return one.kind == row.kind && one.name == row.name && one.at == row.at &&
               std::all_of(row.facts.begin(), row.facts.end(), [&](const auto& fact) {
                   const auto known = one.facts.find(fact.first);
                   return std::holds_alternative<state::Unknown>(fact.second.value) ||
                          (known != one.facts.end() && known->second == fact.second);
               });
    });
}

TEST(CutAnswers, hold_no_fact_that_the_whole_lacks) {
    const Profile profile = profile_of("quillon/profile.toml");
    for (const auto& [file, query] : answers) {
        const std::string text = fixture("quillon/answers/" + file + ".txt");
        const state::Reading whole = read(profile, query, text, true);
        ASSERT_FALSE(text.empty());
        for (std::size_t size = 0; size < text.size(); ++size) {
            const state::Reading cut =
                read(profile, query, std::string_view{text}.substr(0, size), false);
            for (const state::Row& row : cut.rows)
                EXPECT_TRUE(is_part_of(whole, row))
                    << file << " cut to " << size << ": " << row.text;
            const bool torn = size > 0 && text[size - 1] != '\n';
            EXPECT_FALSE(torn && cut.wholly_read()) << file << " cut to " << size;
        }
    }
}

std::size_t lines_in(std::string_view text) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

bool wraps(const Query& query) {
    const auto* table = std::get_if<layouts::TableSpec>(&query.layout);
    return table != nullptr && table->wraps;
}

// A row above the changed line reads as before, or not at all. Where rows wrap, the changed line
// may have continued the row right above it, and cannot be told from a row of its own once it has a
// name.
TEST(ChangedAnswers, with_any_one_byte_changed_keep_the_rows_above_as_they_were) {
    const Profile profile = profile_of("quillon/profile.toml");
    for (const auto& [file, query] : answers) {
        const std::string text = fixture("quillon/answers/" + file + ".txt");
        const state::Reading whole = read(profile, query, text, true);
        const std::size_t apart = wraps(profile.queries.at(query)) ? 2 : 1;
        for (std::size_t at = 0; at < text.size(); ++at) {
            if (text[at] == '\n')
                continue;
            const std::size_t line = lines_in(std::string_view{text}.substr(0, at)) + 1;
            for (const char byte :
                 {'\0', '\r', '\t', ' ', '-', ':', 'x', '\x1b', '\x7f', '\xc2', '\xff'}) {
                std::string changed = text;
                changed[at] = byte;
                for (const state::Row& row : read(profile, query, changed, true).rows) {
                    if (row.at.line + lines_in(row.text) + apart <= line) {
                        EXPECT_TRUE(is_part_of(whole, row))
                            << file << ", byte " << at << ": " << row.text;
                    }
                }
            }
        }
    }
}

TEST(ChangedAnswers, with_any_one_byte_lost_or_doubled_are_read_without_harm) {
    const Profile profile = profile_of("quillon/profile.toml");
    for (const auto& [file, query] : answers) {
        const std::string text = fixture("quillon/answers/" + file + ".txt");
        for (std::size_t at = 0; at < text.size(); ++at) {
            for (const std::size_t copies : {0U, 2U}) {
                std::string changed = text;
                changed.replace(at, 1, copies, text[at]);
                const state::Reading reading = read(profile, query, changed, true);
                for (const state::Row& row : reading.rows)
                    EXPECT_FALSE(row.name.empty()) << file << ", byte " << at;
            }
        }
    }
}

} // namespace
} // namespace slotwitness::profiles
