#include "compared_fixtures.hpp"
#include "sheet_of.hpp"

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::reference {
namespace {

using profiles::Fixture;
using profiles::Profile;

class Family : public testing::TestWithParam<std::string> {
  protected:
    Profile profile = profiles::profile_of(GetParam() + "/profile.toml");
    std::size_t compared = 0;

    /// False, once the readers differ.
    bool agree(const std::string& text, const Fixture& one, bool ended, const std::string& change) {
        const profiles::Layout& layout = profile.queries.at(one.query).layout;
        const auto expected = reference_of(text, layout, ended);
        EXPECT_TRUE(expected) << "the reference takes too long for " << one.path(".txt");
        if (!expected)
            return false;
        ++compared;
        const Sheet found = sheet_of(text, layout, ended);
        if (found == *expected)
            return true;
        ADD_FAILURE() << one.path(".txt") << ' ' << change << (ended ? "" : ", not ended")
                      << "\n--- the reference reads\n"
                      << to_text(*expected) << "--- the layout reads\n"
                      << to_text(found);
        return false;
    }
};

TEST_P(Family, is_read_as_the_reference_reads_it_wherever_it_is_cut) {
    for (const Fixture& one : compared_fixtures(GetParam())) {
        const std::string text = profiles::fixture(one.path(".txt"));
        bool go_on = true;
        for (std::size_t size = 0; size <= text.size() && go_on; ++size)
            for (const bool ended : {true, false})
                go_on = go_on &&
                        agree(text.substr(0, size), one, ended, "cut to " + std::to_string(size));
    }
    EXPECT_GT(compared, 1000U);
}

TEST_P(Family, is_read_as_the_reference_reads_it_with_any_bit_flipped) {
    for (const Fixture& one : compared_fixtures(GetParam())) {
        const std::string text = profiles::fixture(one.path(".txt"));
        bool go_on = true;
        for (std::size_t at = 0; at < text.size() && go_on; ++at)
            for (unsigned bit = 0; bit < 8 && go_on; ++bit) {
                std::string changed = text;
                changed[at] = static_cast<char>(static_cast<unsigned char>(text[at]) ^ (1U << bit));
                const std::string change =
                    "bit " + std::to_string(bit) + " of byte " + std::to_string(at) + " flipped";
                go_on = agree(changed, one, one.whole, change);
                // And the whole way through terminal and words, for the sanitizers.
                const auto reading = read(profile, one.query, changed, one.whole);
                for (const state::Row& row : reading.rows)
                    EXPECT_FALSE(row.name.empty()) << one.path(".txt") << ' ' << change;
            }
    }
    EXPECT_GT(compared, 10'000U);
}

INSTANTIATE_TEST_SUITE_P(Families, Family, testing::ValuesIn(profiles::families),
                         [](const auto& info) { return info.param; });

} // namespace
} // namespace slotwitness::reference
