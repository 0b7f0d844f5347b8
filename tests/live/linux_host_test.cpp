#include "../twins/folder.hpp"
#include "../twins/sshd.hpp"
#include "namespace.hpp"
#include "process.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <csignal>
#include <fstream>
#include <optional>

namespace slotwitness::live {
namespace {

class LinuxHost : public testing::Test {
  protected:
    void SetUp() override {
        if (const auto why = twins::Sshd::missing())
            GTEST_SKIP() << "no OpenSSH server: " << *why;
        std::string why;
        space_ = Namespace::make(file("namespace.err"), why);
        if (!space_)
            GTEST_SKIP() << "no network namespace: " << why;
        std::string door;
        for (const std::string& word : space_->door())
            door += word + " ";
        twins::Sshd::Setup setup;
        setup.forced_command = door + "sh -c \"$SSH_ORIGINAL_COMMAND\"";
        server_ = twins::Sshd::start(std::move(setup));
        std::ofstream(file("slotwitness.toml"))
            << "[daemon]\njournal = \"journal.sqlite\"\n[[chassis]]\nname = \"this-host\"\n"
            << "profile = \"" SLOTWITNESS_FIXTURES "/linux/ip-s-link.toml\"\n"
            << "address = \"127.0.0.1\"\nport = " << server_->port() << "\n"
            << "user = \"" << twins::Sshd::user() << "\"\n"
            << "key = \"" << server_->key_file() << "\"\n"
            << "known-hosts = \"" << server_->known_hosts_file() << "\"\n"
            << "[chassis.pace]\npending = \"300 ms\"\n";
    }
    void TearDown() override {
        server_.reset();
        space_.reset();
    }
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }

    [[nodiscard]] std::unique_ptr<Process> ask(const std::string& sentence) const {
        return std::make_unique<Process>(
            std::vector<std::string>{std::string(SLOTWITNESS_BIN) + "/slotwitness", "ask", "--json",
                                     "--config", file("slotwitness.toml"), "--journal",
                                     file("ask.journal"), "this-host", sentence},
            file("ask.err"));
    }
    [[nodiscard]] std::string errors() const { return folder_.text("ask.err"); }

    twins::Folder folder_;
    std::unique_ptr<Namespace> space_;
    std::unique_ptr<twins::Sshd> server_;
};

TEST_F(LinuxHost, a_gate_on_a_port_passes_when_the_port_is_set_down_from_outside) {
    const auto asking = ask("port swv0 down for 2 s within 30 s");
    // The first look must show the port up: only then is it set down.
    std::optional<std::string> line;
    bool seen_up = false;
    while (!seen_up && (line = asking->next_line()))
        seen_up = nlohmann::json::parse(*line)["truth"] == "false";
    ASSERT_TRUE(seen_up) << errors();
    const Ran down = space_->inside("ip link set swv0 down");
    ASSERT_EQ(down.status, 0) << down.output;
    nlohmann::json last;
    while ((line = asking->next_line()))
        last = nlohmann::json::parse(*line);
    EXPECT_EQ(asking->wait(), 0) << errors();
    EXPECT_EQ(last["verdict"], "pass");
    EXPECT_GE(last["held_s"].get<double>(), 2);
    EXPECT_THAT(last["because"]["cites"][0]["text"].get<std::string>(), testing::HasSubstr("swv0"));
}

TEST_F(LinuxHost, a_gate_on_a_port_fails_at_its_deadline_when_nothing_is_done) {
    ASSERT_EQ(space_->inside("ip link set swv0 down").status, 0);
    const auto asking = ask("port swv0 up for 1 s within 4 s");
    nlohmann::json last;
    while (const auto line = asking->next_line())
        last = nlohmann::json::parse(*line);
    EXPECT_EQ(asking->wait(), 1) << errors();
    EXPECT_EQ(last["verdict"], "fail");
    EXPECT_EQ(last["failure"], "seen_false");
}

// The profile reads the administrative state from a flag, so that the port is shut and not only
// down.
TEST_F(LinuxHost, a_gate_passes_on_the_administrative_state_that_a_flag_tells) {
    ASSERT_EQ(space_->inside("ip link set swv0 down").status, 0);
    const auto asking = ask("port swv0 shut and port swv1 admin unlocked within 30 s");
    nlohmann::json last;
    while (const auto line = asking->next_line())
        last = nlohmann::json::parse(*line);
    EXPECT_EQ(asking->wait(), 0) << errors();
    EXPECT_EQ(last["verdict"], "pass");
}

TEST_F(LinuxHost, look_prints_the_ports_that_the_host_reports_with_their_counters) {
    const Ran looked = run({std::string(SLOTWITNESS_BIN) + "/slotwitness", "look", "--config",
                            file("slotwitness.toml")});
    EXPECT_EQ(looked.status, 0) << looked.output;
    EXPECT_THAT(looked.output, testing::HasSubstr("swv0"));
    EXPECT_THAT(looked.output, testing::HasSubstr("oper enabled"));
    EXPECT_THAT(looked.output, testing::HasSubstr("errors 0"));
}

} // namespace
} // namespace slotwitness::live
