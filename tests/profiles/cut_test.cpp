#include "files.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

namespace slotwitness::profiles {
namespace {

/// Each answer once: what the simulated chassis prints of Quillon shows nothing that `answers` does
/// not.
std::vector<Fixture> answers_of(const std::string& family) {
    std::vector<Fixture> all = fixtures_of(family);
    if (family == "quillon")
        std::erase_if(all, [](const Fixture& one) { return one.folder != "answers"; });
    return all;
}

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

/// The last line does not end. What a terminal would not show of it is not missed either.
bool torn(const std::string& text) {
    const std::string rest = text.substr(text.rfind('\n') + 1);
    return !rest.empty() && std::none_of(rest.begin(), rest.end(), [](char byte) {
        return static_cast<unsigned char>(byte) < ' ';
    });
}

class Answers : public testing::TestWithParam<std::string> {
  protected:
    Profile profile = profile_of(GetParam() + "/profile.toml");
};
INSTANTIATE_TEST_SUITE_P(Families, Answers, testing::ValuesIn(families),
                         [](const auto& info) { return info.param; });

TEST_P(Answers, that_are_cut_hold_no_fact_that_the_whole_lacks) {
    for (const Fixture& one : answers_of(GetParam())) {
        const std::string text = fixture(one.path(".txt"));
        const state::Reading whole = read(profile, one.query, text, true);
        ASSERT_FALSE(text.empty());
        for (std::size_t size = 0; size < text.size(); ++size) {
            const state::Reading cut =
                read(profile, one.query, std::string_view{text}.substr(0, size), false);
            for (const state::Row& row : cut.rows)
                EXPECT_TRUE(is_part_of(whole, row))
                    << one.path(".txt") << " cut to " << size << ": " << row.text;
            EXPECT_FALSE(torn(text.substr(0, size)) && cut.wholly_read())
                << one.path(".txt") << " cut to " << size;
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
TEST_P(Answers, with_any_one_byte_changed_keep_the_rows_above_as_they_were) {
    for (const Fixture& one : answers_of(GetParam())) {
        const std::string text = fixture(one.path(".txt"));
        const state::Reading whole = read(profile, one.query, text, true);
        const std::size_t apart = wraps(profile.queries.at(one.query)) ? 2 : 1;
        for (std::size_t at = 0; at < text.size(); ++at) {
            if (text[at] == '\n')
                continue;
            const std::size_t line = lines_in(std::string_view{text}.substr(0, at)) + 1;
            for (const char byte :
                 {'\0', '\r', '\t', ' ', '-', ':', 'x', '\x1b', '\x7f', '\xc2', '\xff'}) {
                std::string changed = text;
                changed[at] = byte;
                for (const state::Row& row : read(profile, one.query, changed, true).rows) {
                    if (row.at.line + lines_in(row.text) + apart <= line) {
                        EXPECT_TRUE(is_part_of(whole, row))
                            << one.path(".txt") << ", byte " << at << ": " << row.text;
                    }
                }
            }
        }
    }
}

TEST_P(Answers, with_any_one_byte_lost_or_doubled_are_read_without_harm) {
    for (const Fixture& one : answers_of(GetParam())) {
        const std::string text = fixture(one.path(".txt"));
        for (std::size_t at = 0; at < text.size(); ++at) {
            for (const std::size_t copies : {0U, 2U}) {
                std::string changed = text;
                changed.replace(at, 1, copies, text[at]);
                const state::Reading reading = read(profile, one.query, changed, true);
                for (const state::Row& row : reading.rows)
                    EXPECT_FALSE(row.name.empty()) << one.path(".txt") << ", byte " << at;
            }
        }
    }
}

} // namespace
} // namespace slotwitness::profiles
