#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

namespace slotwitness::live {
namespace {

using testing::HasSubstr;

class BadDay : public testing::Test {
  protected:
    Site site;

    void begin(const std::string& lines = "") {
        site.start_chassis({"--boot-time", "2 s", "--refresh", "200 ms"});
        site.configure(lines);
        ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
    }
    nlohmann::json seen_once(const std::string& id) {
        return site.gate_until(
            id, [](const nlohmann::json& gate) { return !gate.at("last_look").is_null(); });
    }
};

TEST_F(BadDay, a_daemon_killed_in_mid_hold_comes_back_with_the_gate_its_deadline_and_a_new_hold) {
    begin();
    const std::string id = site.open_gate("plane 1 up for 12 s within 5 min");
    const auto before = site.gate_until(
        id, [](const nlohmann::json& gate) { return gate.at("held_s").get<double>() >= 4; });
    site.kill_daemon();
    ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
    const auto after = site.gate(id);
    EXPECT_EQ(after["deadline"], before["deadline"]);
    EXPECT_EQ(after["opened"], before["opened"]);
    if (after["verdict"] == "pending") {
        EXPECT_LT(after["held_s"].get<double>(), before["held_s"].get<double>());
    }
    const auto end = site.decided(id);
    EXPECT_EQ(end["verdict"], "pass");
    EXPECT_GE(end["held_s"].get<double>(), 12);
    EXPECT_EQ(site.stop_daemon(), 0);
    const Ran replayed = run({program("slotwitness"), "replay", site.file("journal.sqlite")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;
}

TEST_F(BadDay, a_changed_host_key_is_refused_with_its_fingerprint_and_nothing_passes) {
    begin();
    const std::string id = site.open_gate("plane 1 up within 2 min");
    EXPECT_EQ(site.decided(id)["verdict"], "pass");
    site.order("fault change-host-key");
    site.order("drop sessions");
    const std::string second = site.open_gate("plane 1 up for 3 s within 8 s");
    const auto end = site.decided(second);
    EXPECT_EQ(end["verdict"], "fail");
    EXPECT_EQ(end["failure"], "not_seen");
    const auto chassis = site.get("/v1/chassis/edge-7");
    EXPECT_EQ(chassis["session"], "refused") << chassis;
    EXPECT_THAT(chassis["session_text"].get<std::string>(), HasSubstr("SHA256:"));
}

TEST_F(BadDay, an_unknown_host_key_is_refused) {
    site.start_chassis();
    std::filesystem::remove(site.file("known_hosts"));
    ASSERT_EQ(run({"touch", site.file("known_hosts")}).status, 0);
    site.configure();
    ASSERT_TRUE(site.start_daemon());
    const auto end = site.decided(site.open_gate("plane 1 up within 4 s"));
    EXPECT_EQ(end["verdict"], "fail");
    EXPECT_EQ(end["failure"], "not_seen");
    EXPECT_THAT(site.get("/v1/chassis/edge-7")["session_text"].get<std::string>(),
                HasSubstr("SHA256:"));
    const Ran asked = run({program("slotwitness"), "ask", "--config", site.file("slotwitness.toml"),
                           "edge-7", "plane 1 up within 2 s"});
    EXPECT_EQ(asked.status, 77) << asked.output;
}

TEST_F(BadDay, a_refused_key_is_a_credential_error) {
    begin();
    site.order("fault refuse-auth");
    site.order("drop sessions");
    const auto end = site.decided(site.open_gate("plane 1 up for 3 s within 8 s"));
    EXPECT_NE(end["verdict"], "pass");
    const auto chassis = site.get("/v1/chassis/edge-7");
    EXPECT_EQ(chassis["session"], "halted") << chassis;
    EXPECT_EQ(chassis["session_reason"], "credential") << chassis;
}

TEST_F(BadDay, an_unreachable_host_is_not_seen) {
    site.start_chassis();
    site.configure();
    const std::string config = site.text("slotwitness.toml");
    // Port 1 of loopback: nobody listens there.
    std::string elsewhere = config;
    elsewhere.replace(elsewhere.find("port = "),
                      elsewhere.find('\n', elsewhere.find("port = ")) - elsewhere.find("port = "),
                      "port = 1");
    ASSERT_NE(elsewhere, config);
    std::ofstream(site.file("slotwitness.toml")) << elsewhere;
    ASSERT_TRUE(site.start_daemon());
    const auto end = site.decided(site.open_gate("plane 1 up within 3 s"));
    EXPECT_EQ(end["verdict"], "fail");
    EXPECT_EQ(end["failure"], "not_seen");
}

TEST_F(BadDay, an_answer_that_is_cut_never_passes) {
    begin();
    site.order("fault cut 200");
    const auto end = site.decided(site.open_gate("plane 1 up within 4 s"));
    EXPECT_EQ(end["verdict"], "fail");
    EXPECT_EQ(end["failure"], "not_seen");
}

TEST_F(BadDay, contradicting_rows_never_pass_and_both_are_shown) {
    begin();
    site.order("fault contradict plane 3");
    const std::string id = site.open_gate("plane 3 up within 4 s");
    const auto seen = seen_once(id);
    EXPECT_EQ(seen["truth"], "unknown") << seen;
    EXPECT_GE(seen["because"]["cites"].size(), 2u) << seen;
    EXPECT_EQ(site.decided(id)["verdict"], "fail");
}

TEST_F(BadDay, a_line_nobody_reads_leaves_claims_about_all_unknown) {
    begin();
    site.order("fault pager");
    const std::string id = site.open_gate("every plane up within 4 s");
    EXPECT_EQ(site.decided(id)["verdict"], "fail");
}

TEST_F(BadDay, a_refused_command_never_passes) {
    begin();
    site.order("fault refuse-command");
    EXPECT_EQ(site.decided(site.open_gate("plane 1 up within 4 s"))["failure"], "not_seen");
}

TEST_F(BadDay, a_pulled_tray_is_absent_and_neither_up_nor_shut) {
    begin();
    ASSERT_EQ(site.decided(site.open_gate("fan-tray TRAY2 operational within 1 min"))["verdict"],
              "pass");
    site.order("technician pull tray TRAY2");
    EXPECT_EQ(site.decided(site.open_gate("fan-tray TRAY2 absent within 1 min"))["verdict"],
              "pass");
    const auto up = site.decided(site.open_gate("fan-tray TRAY2 operational within 4 s"));
    EXPECT_EQ(up["failure"], "seen_false") << up;
    const auto shut = site.decided(site.open_gate("fan-tray TRAY2 shut within 4 s"));
    EXPECT_EQ(shut["failure"], "not_seen") << shut;
}

TEST_F(BadDay, a_mistyped_module_is_refused_with_the_names_that_there_are) {
    begin();
    ASSERT_EQ(site.decided(site.open_gate("module FAB3 present within 1 min"))["verdict"], "pass");
    EXPECT_THAT(site.open_gate("module FAB33 shut", 422), HasSubstr("FAB3"));
}

// Nobody knows the names when `ask` opens its gate; without a deadline it would wait for ever.
TEST_F(BadDay, ask_ends_as_soon_as_the_first_look_shows_that_there_is_no_such_module) {
    site.start_chassis();
    site.configure();
    const Ran asked = run({program("slotwitness"), "ask", "--config", site.file("slotwitness.toml"),
                           "edge-7", "module FAB9 operational"});
    EXPECT_EQ(asked.status, 65) << asked.output;
    EXPECT_THAT(asked.output, HasSubstr("sentence:1:8"));
    EXPECT_THAT(asked.output, HasSubstr("FAB1, FAB2"));
}

TEST_F(BadDay, another_chassis_at_the_address_is_refused) {
    begin("serial = \"QL49999999\"");
    const auto end = site.decided(site.open_gate("plane 1 up within 4 s"));
    EXPECT_EQ(end["verdict"], "fail");
    EXPECT_THAT(site.get("/v1/chassis/edge-7")["session_text"].get<std::string>(),
                HasSubstr("QL40000017"));
}

TEST_F(BadDay, a_chassis_that_cannot_be_reached_does_not_hold_up_another) {
    site.start_chassis({"--refresh", "200 ms"});
    site.configure();
    std::string config = site.text("slotwitness.toml");
    std::string lost = config.substr(config.find("[[chassis]]"));
    lost.replace(lost.find("edge-7"), 6, "edge-8");
    lost.replace(lost.find("port = "), lost.find('\n', lost.find("port = ")) - lost.find("port = "),
                 "port = 1");
    std::ofstream(site.file("slotwitness.toml")) << config << lost;
    ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
    EXPECT_EQ(site.decided(site.open_gate("plane 1 up for 1 s within 1 min"))["verdict"], "pass");
    EXPECT_EQ(site.get("/v1/chassis/edge-7")["session"], "connected");
    EXPECT_NE(site.get("/v1/chassis/edge-8")["session"], "connected");
}

TEST_F(BadDay, a_second_daemon_on_the_same_journal_does_not_start) {
    begin();
    const Ran second =
        run({program("slotwitness"), "serve", "--config", site.file("slotwitness.toml")});
    EXPECT_EQ(second.status, 69);
    EXPECT_THAT(second.output, HasSubstr("journal"));
}

} // namespace
} // namespace slotwitness::live
