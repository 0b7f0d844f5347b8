#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <sstream>

namespace slotwitness::live {
namespace {

using testing::HasSubstr;

class Capture : public testing::Test {
  protected:
    void SetUp() override {
        site_.start_chassis();
        site_.configure("serial = \"" + std::string(Site::serial) + "\"");
    }
    [[nodiscard]] Ran capture(const std::string& to) const {
        return run({program("slotwitness"), "capture", "--config", site_.file("slotwitness.toml"),
                    "edge-7", "--to", site_.file(to)});
    }
    [[nodiscard]] Ran check(const std::string& pack, std::vector<std::string> more = {}) const {
        std::vector<std::string> words = {program("slotwitness"), "read", "--check",
                                          site_.file(pack)};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    Site site_;
};

TEST_F(Capture, a_pack_of_a_live_device_reads_as_it_did) {
    const Ran ran = capture("pack");
    ASSERT_EQ(ran.status, 0) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("10 answers saved"));
    const Ran checked = check("pack");
    EXPECT_EQ(checked.status, 0) << checked.output;
    EXPECT_THAT(checked.output, HasSubstr("same, 14 rows"));
    EXPECT_EQ(capture("pack").status, 64) << "it is never written over";
}

TEST_F(Capture, another_profile_and_a_damaged_answer_are_told) {
    ASSERT_EQ(capture("pack").status, 0);
    std::stringstream profile;
    profile << std::ifstream(SLOTWITNESS_FIXTURES "/quillon/profile.toml").rdbuf();
    std::string text = profile.str();
    const std::string word = "carrying = \"oper enabled\"";
    text.replace(text.find(word), word.size(), "carrying = \"oper testing\"");
    std::ofstream(site_.file("other.toml")) << text;
    const Ran different = check("pack", {"--profile", site_.file("other.toml"), "--json"});
    EXPECT_EQ(different.status, 65);
    const auto told = nlohmann::json::parse(different.output);
    std::size_t changes = 0;
    for (const auto& answer : told[0]["answers"])
        for (const auto& change : answer["changes"]) {
            ++changes;
            EXPECT_EQ(answer["query"], "planes");
            EXPECT_EQ(change["from"], "enabled");
            EXPECT_EQ(change["to"], "testing");
        }
    EXPECT_EQ(changes, 6U);

    const std::string capture = told[0]["answers"][0]["capture"];
    std::ofstream(site_.file("pack/answers/" + capture)) << "other";
    const Ran damaged = check("pack");
    EXPECT_EQ(damaged.status, 65);
    EXPECT_THAT(damaged.output, HasSubstr(capture));
}

TEST_F(Capture, nothing_is_saved_of_another_chassis) {
    site_.configure("serial = \"QL49999999\"");
    const Ran ran = capture("pack");
    EXPECT_EQ(ran.status, 77) << ran.output;
    EXPECT_FALSE(std::filesystem::exists(site_.file("pack")));
}

TEST_F(Capture, an_answer_that_was_cut_is_kept_as_cut) {
    site_.order("fault cut 20 once");
    const Ran ran = capture("pack");
    EXPECT_EQ(ran.status, 75) << ran.output;
    const Ran checked = check("pack");
    EXPECT_EQ(checked.status, 0) << checked.output;
}

} // namespace
} // namespace slotwitness::live
