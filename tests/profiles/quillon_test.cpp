#include "files.hpp"

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::profiles {
namespace {

TEST(Quillon, profile_is_read_key_by_key) {
    using namespace std::chrono_literals;
    const Profile profile = profile_of("quillon/profile.toml");
    EXPECT_EQ(profile.family, "Quillon");
    EXPECT_EQ(profile.identity, "chassis");
    EXPECT_EQ(profile.reach.parallel, 1U);
    EXPECT_EQ(profile.reach.timeout, 15s);
    EXPECT_EQ(profile.reach.longest_answer, 1'000'000U);
    EXPECT_EQ(profile.text, fixture("quillon/profile.toml"));
    ASSERT_EQ(profile.queries.size(), 11U);

    const Query& planes = profile.queries.at("planes");
    EXPECT_EQ(planes.ask, (std::vector<Word>{"tell", "planes"}));
    EXPECT_EQ(planes.refresh, 2s);
    EXPECT_EQ(planes.kind, state::Kind::plane);
    EXPECT_TRUE(planes.lists);
    const auto& table = std::get<layouts::TableSpec>(planes.layout);
    EXPECT_EQ(table.edges, layouts::TableSpec::Edges::rule);
    EXPECT_EQ(table.columns.size(), 7U);
    EXPECT_EQ(table.right_aligned,
              (std::vector<std::string>{"PATHS", "OF", "CARRIES UP TO", "FAULTS"}));
    EXPECT_FALSE(table.wraps);
    EXPECT_EQ(planes.cells.at("DRIVE").as, Meaning::As::word);
    EXPECT_EQ(planes.cells.at("DRIVE").words, "drive");
    EXPECT_EQ(planes.cells.at("FAULTS").attribute, state::Attribute::errors);

    const Query& detail = profile.queries.at("module-detail");
    EXPECT_EQ(detail.ask, (std::vector<Word>{"tell", "module", Parameter{"module"}}));
    EXPECT_FALSE(detail.lists);
    EXPECT_EQ(detail.refresh, 2s);
    EXPECT_EQ(std::get<layouts::RecordSpec>(detail.layout).heading, "Module");
    EXPECT_FALSE(profile.queries.at("modules").cells.at("SERIAL").required);
    EXPECT_EQ(std::get<layouts::RecordSpec>(profile.queries.at("trays").layout).empty,
              (std::vector<std::string>{"No trays."}));

    const WordList& drive = profile.words.at("drive");
    ASSERT_EQ(drive.at("released").size(), 1U);
    EXPECT_EQ(drive.at("released")[0].attribute, state::Attribute::admin);
    EXPECT_EQ(drive.at("released")[0].value, state::Value{state::AdminState::locked});
    EXPECT_EQ(profile.parameters.at("module").longest, 8U);
}

} // namespace
} // namespace slotwitness::profiles
