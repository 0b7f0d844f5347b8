#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

// A chassis with two controllers, watched by the real daemon over the way that its configuration
// tells of.
namespace slotwitness::live {
namespace {

using nlohmann::json;
using testing::HasSubstr;

constexpr const char* look_on = R"(
[procedure]
format = 1
title  = "Look on"
family = "Quillon"
work   = "look-only"
[[rule]]
name  = "standby"
say   = "A controller stands ready to take over"
holds = "at least 1 controller standby hot-standby"
if-wrong = { first = "freeze", say = "Touch nothing: one controller carries the chassis alone." }
[[step]]
name  = "look"
actor = "engineer"
act   = "Look on."
fact  = "every plane up within 10 min"
if-wrong = { first = "freeze", say = "Only look." }
)";

class Controllers : public testing::Test {
  protected:
    /// The first address is dead: nobody listens there.
    void begin() {
        site.start_chassis({"--refresh", "200 ms"});
        std::ofstream(site.file("look-on.toml")) << look_on;
        site.configure("also-at = [\"127.0.0.1\"]\nin-band = true",
                       "procedures = [\"look-on.toml\"]\n");
        std::string config = site.text("slotwitness.toml");
        const std::string address = "address = \"127.0.0.1\"";
        config.replace(config.find(address), address.size(), "address = \"127.0.0.9\"");
        std::ofstream(site.file("slotwitness.toml")) << config;
        ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
    }

    Site site;
};

TEST_F(Controllers, a_standby_that_is_lost_stops_the_work_and_the_switchover_is_told_and_kept) {
    begin();
    const auto gate = site.decided(site.open_gate("every plane up"));
    ASSERT_EQ(gate["verdict"], "pass") << gate;
    const json before = site.get("/v1/chassis/edge-7");
    EXPECT_EQ(before["reached"]["address"], "127.0.0.1:" + std::to_string(site.chassis_port()))
        << "the first address is dead";
    EXPECT_THAT(before["reached"]["host_key"].get<std::string>(), HasSubstr("SHA256:"));
    EXPECT_EQ(before["switchover"], nullptr);
    EXPECT_EQ(before["in_band"], true);

    const auto opened = scenario::request("POST", site.daemon_port(), "/v1/procedures",
                                          {{"chassis", "edge-7"}, {"procedure", "look-on"}});
    ASSERT_TRUE(opened && opened->status == 201) << opened->body;
    EXPECT_THAT(opened->body["warnings"].dump(), HasSubstr("through its own fabric"));
    const std::string path = "/v1/procedures/" + opened->body["id"].get<std::string>();
    site.until(path, [](const json& shown) { return shown["rules"][0]["truth"] == "true"; });

    site.order("engineer lead controller CTL1");
    const json stopped =
        site.until(path, [](const json& shown) { return shown["word"] == "STOP"; });
    EXPECT_THAT(stopped["advice"]["say"].get<std::string>(), HasSubstr("one controller"));
    const json after = site.get("/v1/chassis/edge-7");
    EXPECT_EQ(after["switchover"]["of"], "controller") << after["switchover"];
    EXPECT_EQ(after["switchover"]["from"], "CTL0");
    EXPECT_EQ(after["switchover"]["to"], "CTL1");
    const json card = site.get(path + "/card");
    ASSERT_EQ(card["switchovers"].size(), 1U);
    EXPECT_EQ(card["switchovers"][0]["to"], "CTL1");
    EXPECT_THAT(site.get("/v1/chassis/edge-7/timeline")["marks"].dump(),
                HasSubstr("switchover to CTL1"));

    EXPECT_EQ(site.stop_daemon(), 0);
    EXPECT_THAT(site.text("daemon.err"), HasSubstr("CTL0 before, CTL1 now"));
    const Ran replayed = run({program("slotwitness"), "replay", site.file("journal.sqlite")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;
    const std::string id = path.substr(path.rfind('/') + 1);
    const Ran report = run({program("slotwitness"), "report", site.file("journal.sqlite"), id});
    EXPECT_THAT(report.output, HasSubstr("switchover of the controller: CTL0 before, CTL1 now"));
    EXPECT_THAT(report.output, HasSubstr("through its own fabric"));
}

TEST_F(Controllers, what_a_session_comes_to_stands_in_an_evidence_pack) {
    begin();
    const Ran captured = run({program("slotwitness"), "capture", "--config",
                              site.file("slotwitness.toml"), "edge-7", "--to", site.file("pack")});
    ASSERT_EQ(captured.status, 0) << captured.output;
    EXPECT_THAT(site.text("pack/events"), HasSubstr("\"type\":\"session.opened\""));
    const Ran checked = run({program("slotwitness"), "read", "--check", site.file("pack")});
    EXPECT_EQ(checked.status, 0) << checked.output;
    const Ran looked = run({program("slotwitness"), "look", "--config",
                            site.file("slotwitness.toml"), "--json", "edge-7"});
    EXPECT_THAT(looked.output, HasSubstr("\"address\": \"127.0.0.1:"));
}

} // namespace
} // namespace slotwitness::live
