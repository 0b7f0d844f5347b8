#include "files.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <string>

namespace slotwitness::profiles {

/// In the names of the tests.
void PrintTo(const Fixture& fixture, std::ostream* out) {
    *out << fixture.path(".txt");
}

namespace {

bool exists(const Fixture& one, const char* extension) {
    return std::filesystem::exists(std::filesystem::path{SLOTWITNESS_FIXTURES} /
                                   one.path(extension));
}

std::vector<Fixture> all_fixtures() {
    std::vector<Fixture> all;
    for (const std::string& family : families)
        std::ranges::copy(fixtures_of(family), std::back_inserter(all));
    return all;
}

class FixtureAnswer : public testing::TestWithParam<Fixture> {};

TEST_P(FixtureAnswer, reads_as_its_fixture_says) {
    const Fixture& one = GetParam();
    const Profile profile = profile_of(one.family + "/profile.toml");
    const auto reading = read(profile, one.query, fixture(one.path(".txt")), one.whole);
    EXPECT_EQ(reading.whole, one.whole);
    if (exists(one, ".reading")) {
        EXPECT_EQ(to_text(reading), fixture(one.path(".reading")));
    }
    // What is in order leaves nothing to say.
    if (one.folder == "healthy" || one.folder == "mid-swap") {
        EXPECT_THAT(reading.unread, testing::IsEmpty()) << to_text(reading);
        EXPECT_THAT(reading.remarks, testing::IsEmpty()) << to_text(reading);
    }
}

INSTANTIATE_TEST_SUITE_P(Fixtures, FixtureAnswer, testing::ValuesIn(all_fixtures()),
                         [](const auto& info) {
                             std::string name = info.param.family + "_" + info.param.folder + "_" +
                                                info.param.stem;
                             std::ranges::replace(name, '-', '_');
                             return name;
                         });

// The simulated chassis prints the other folders of Quillon, and compares them with its own model.
TEST(Fixtures, have_their_readings_beside_them) {
    for (const Fixture& one : all_fixtures())
        EXPECT_TRUE(exists(one, ".reading") || (one.family == "quillon" && one.folder != "answers"))
            << one.path(".reading");
}

} // namespace
} // namespace slotwitness::profiles
