#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <map>
#include <sstream>

// The verb, on the simulated chassis over SSH: what it prints and its exit codes. Each thing that
// can hold work up has its test in tests/ready.
namespace slotwitness::live {
namespace {

using testing::HasSubstr;
using testing::Not;

const std::string peak = "[chassis.peak]\nload = \"9 Tb/s\"\n";
const std::string procedures = SLOTWITNESS_FIXTURES "/quillon/procedures/";

class Ready : public testing::Test {
  protected:
    void SetUp() override {
        site_.start_chassis();
        site_.configure("serial = \"" + std::string(Site::serial) + "\"\n" + peak);
    }

    [[nodiscard]] Ran check(const std::vector<std::string>& more = {}) const {
        std::vector<std::string> words = {program("slotwitness"),         "ready",  "--config",
                                          site_.file("slotwitness.toml"), "edge-7", procedure_};
        for (const auto& [name, value] : arguments_) {
            words.emplace_back("--with");
            words.push_back(name + "=" + value);
        }
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }

    Site site_;
    std::string procedure_ = procedures + "replace-fabric-module.toml";
    std::map<std::string, std::string> arguments_ = {{"module", "FAB3"},
                                                     {"planes", "3, 4"},
                                                     {"other-planes", "1, 2, 5, 6"},
                                                     {"tray", "TRAY2"},
                                                     {"spare", "QL40100099"},
                                                     {"spare-part", "QF-32-2"},
                                                     {"spare-revision", "R4"},
                                                     {"ejector-torque", "0.9 N·m by handbook 4-2"},
                                                     {"margin", "10 % by capacity plan 3"},
                                                     {"cooling-limit", "10 min by site rule 7"},
                                                     {"swap-time", "3 min by rehearsal 8"},
                                                     {"warming-sensors", "FAB4-core"},
                                                     {"sensor-limit", "92 C by handbook 6-1"}};
};

TEST_F(Ready, nothing_holds_up_work_on_a_healthy_chassis_and_it_says_what_it_cannot_see) {
    const Ran ran = check();
    EXPECT_EQ(ran.status, 0) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("Nothing that this look found holds the work up."));
    EXPECT_THAT(ran.output, HasSubstr("What this check cannot see"));
    EXPECT_THAT(ran.output, HasSubstr("it gives no permission"));
    EXPECT_THAT(ran.output, Not(HasSubstr("safe")));
    std::istringstream lines(ran.output);
    for (std::string line; std::getline(lines, line);)
        EXPECT_LE(std::count_if(line.begin(), line.end(),
                                [](char byte) { return (byte & 0xC0) != 0x80; }),
                  80)
            << line;
}

TEST_F(Ready, a_program_reads_the_same) {
    site_.order("fault refuse-command once");
    const Ran ran = check({"--json"});
    EXPECT_EQ(ran.status, 1) << ran.output;
    const auto told = nlohmann::json::parse(ran.output);
    EXPECT_EQ(told.at("holds_up"), 1);
    ASSERT_EQ(told.at("queries").size(), 10U);
    EXPECT_EQ(told.at("queries")[0].at("whole"), false);
    EXPECT_EQ(told.at("queries")[1].at("whole"), true);
    for (const auto& finding : told.at("findings"))
        if (finding.at("weight") == "holds-up") {
            EXPECT_EQ(finding.at("about"), "query alarms");
            EXPECT_THAT(finding.at("says").get<std::string>(), HasSubstr("may not ask that"));
        }
}

TEST_F(Ready, an_answer_that_was_cut_holds_the_work_up) {
    site_.order("fault cut 20");
    const Ran ran = check();
    EXPECT_EQ(ran.status, 1) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("query planes\n    the answer is not whole"));
}

TEST_F(Ready, a_second_plane_that_is_down_holds_the_work_up_with_the_devices_own_line) {
    site_.order("engineer release plane 5");
    // Until the tables are renewed and the plane is dark.
    Ran ran = check();
    while (ran.output.find("released  dark") == std::string::npos)
        ran = check();
    EXPECT_EQ(ran.status, 1) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("1.  every plane except 3, 4 up"));
    EXPECT_THAT(ran.output, HasSubstr("needed by  rule other-planes; step prepare"));
}

TEST_F(Ready, what_was_given_is_compared_with_the_chassis_and_the_list) {
    arguments_["tray"] = "TRAY9";
    arguments_["spare-part"] = "QF-32-9";
    const Ran ran = check();
    EXPECT_EQ(ran.status, 1) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("names seen: TRAY1, TRAY2,"));
    EXPECT_THAT(ran.output, HasSubstr("QF-32-9 revision R4 is not among the parts that fit"));
    EXPECT_THAT(ran.output, HasSubstr("2 things hold the work up: fan-tray TRAY9 present; spare."));
}

TEST_F(Ready, a_procedure_for_another_family_holds_the_work_up) {
    std::string text = site_.text(procedure_);
    text.replace(text.find("\"Quillon\""), 9, "\"Vennick\"");
    procedure_ = site_.file("other.toml");
    std::ofstream(procedure_) << text;
    const Ran ran = check();
    EXPECT_EQ(ran.status, 1) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("is for Vennick"));
}

TEST_F(Ready, a_missing_argument_is_told_before_anything_is_asked) {
    arguments_.erase("spare-part");
    const Ran ran = check();
    EXPECT_EQ(ran.status, 65) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("parameter spare-part"));
    EXPECT_EQ(site_.text("requests.jsonl"), "");
}

TEST_F(Ready, a_router_that_is_not_reached_is_75_and_one_that_is_not_trusted_77) {
    site_.order("fault change-host-key once");
    const Ran untrusted = check();
    EXPECT_EQ(untrusted.status, 77) << untrusted.output;
    EXPECT_THAT(untrusted.output, HasSubstr("1.  router session"));
    site_.stop_chassis();
    const Ran gone = check();
    EXPECT_EQ(gone.status, 75) << gone.output;
    EXPECT_THAT(gone.output, HasSubstr("Mend that and look again"));
}

TEST_F(Ready, a_journal_that_cannot_be_written_holds_the_work_up) {
    std::string text = site_.text("slotwitness.toml");
    text.replace(text.find("journal.sqlite"), 14, "nowhere/journal");
    std::ofstream(site_.file("slotwitness.toml")) << text;
    const Ran ran = check();
    EXPECT_EQ(ran.status, 1) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("there is no folder"));
}

TEST_F(Ready, a_rehearsal_without_its_chassis_is_not_one_that_went_wrong) {
    site_.stop_chassis();
    const Ran ran = run({program("slotwitness"), "rehearse", "--config",
                         site_.file("slotwitness.toml"), "--control", site_.file("control"),
                         "edge-7", SLOTWITNESS_FIXTURES "/quillon/rehearsals/good-day.toml"});
    EXPECT_EQ(ran.status, 75) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("no whole answer to every query"));
}

} // namespace
} // namespace slotwitness::live
