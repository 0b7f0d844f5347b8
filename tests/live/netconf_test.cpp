#include "../scenario/http.hpp"
#include "../twins/folder.hpp"
#include "../twins/netconfd.hpp"
#include "../twins/yanglint.hpp"
#include "namespace.hpp"
#include "process.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <string>
#include <vector>

namespace slotwitness::live {
namespace {

std::string fabric_module(const std::string& admin) {
    return "<component><name>FAB3</name><class "
           "xmlns:c=\"urn:ietf:params:xml:ns:yang:iana-hardware\">"
           "c:module</class><state><admin-state>" +
           admin + "</admin-state></state></component>";
}

/// Reads on until a look has shown that it is not so: only then is it brought about.
bool shows_not_yet(Process& asking) {
    while (const auto line = asking.next_line())
        if (nlohmann::json::parse(*line)["truth"] == "false")
            return true;
    return false;
}

nlohmann::json last_of(Process& asking) {
    nlohmann::json last;
    while (const auto line = asking.next_line())
        last = nlohmann::json::parse(*line);
    return last;
}

/// Debian's netconfd as the device: a profile alone describes it.
class NetconfDevice : public testing::Test {
  protected:
    void SetUp() override {
        if (const auto why = twins::Netconfd::missing())
            GTEST_SKIP() << "no NETCONF server: " << *why;
    }
    void start(const twins::Netconfd::Setup& setup, const std::string& profile) {
        device_ = twins::Netconfd::start(setup);
        std::ofstream(file("slotwitness.toml"))
            << "[daemon]\nlisten = \"127.0.0.1:0\"\njournal = "
               "\"journal.sqlite\"\n[[chassis]]\nname = \"edge-9\"\n"
            << "profile = \"" SLOTWITNESS_FIXTURES "/netconf/" << profile << "\"\n"
            << "address = \"127.0.0.1\"\nport = " << device_->sshd().port() << "\n"
            << "user = \"" << twins::Sshd::user() << "\"\n"
            << "key = \"" << device_->sshd().key_file() << "\"\n"
            << "known-hosts = \"" << device_->sshd().known_hosts_file() << "\"\n"
            << "[chassis.pace]\npending = \"300 ms\"\n";
    }
    void TearDown() override { device_.reset(); }
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }
    [[nodiscard]] std::unique_ptr<Process> ask(const std::string& sentence) const {
        return std::make_unique<Process>(
            std::vector<std::string>{std::string(SLOTWITNESS_BIN) + "/slotwitness", "ask", "--json",
                                     "--config", file("slotwitness.toml"), "--journal",
                                     file("ask.journal"), "edge-9", sentence},
            file("ask.err"));
    }

    twins::Folder folder_;
    std::unique_ptr<twins::Netconfd> device_;
};

TEST_F(NetconfDevice, a_gate_passes_when_another_client_locks_the_module) {
    start({fabric_module("unlocked"), false, {}}, "ietf-hardware.toml");
    const auto asking = ask("module FAB3 admin locked for 1 s within 60 s");
    ASSERT_TRUE(shows_not_yet(*asking)) << std::ifstream(file("ask.err")).rdbuf();
    ASSERT_THAT(device_->edit(fabric_module("locked")), testing::HasSubstr("<ok/>"));
    const nlohmann::json last = last_of(*asking);
    EXPECT_EQ(asking->wait(), 0);
    EXPECT_EQ(last["verdict"], "pass");
    EXPECT_THAT(last["because"]["cites"][0]["text"].get<std::string>(),
                testing::HasSubstr("<admin-state>locked</admin-state>"));
    const Ran replayed =
        run({std::string(SLOTWITNESS_BIN) + "/slotwitness", "replay", file("ask.journal")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;
}

// What the daemon tells of it goes through another house's validator of YANG.
TEST_F(NetconfDevice, is_told_on_as_valid_data_of_ietf_hardware) {
    if (twins::Yanglint::is_missing())
        GTEST_SKIP() << "needs yanglint (Debian libyang2-tools) and the modules of libyuma-base";
    start({fabric_module("unlocked"), false, {}}, "ietf-hardware.toml");
    Process daemon({std::string(SLOTWITNESS_BIN) + "/slotwitness", "serve", "--config",
                    file("slotwitness.toml")},
                   file("daemon.err"));
    const auto listening = daemon.next_line();
    ASSERT_TRUE(listening) << std::ifstream(file("daemon.err")).rdbuf();
    const auto port =
        static_cast<std::uint16_t>(std::stoul(listening->substr(listening->rfind(':') + 1)));
    const auto opened = scenario::request(
        "POST", port, "/v1/gates",
        {{"chassis", "edge-9"}, {"sentence", "module FAB3 admin unlocked within 60 s"}});
    ASSERT_TRUE(opened) << opened.error();
    const auto decided = scenario::request(
        "GET", port, "/v1/gates/" + opened->body.at("id").get<std::string>(), nullptr, "wait=90");
    ASSERT_TRUE(decided) << decided.error();
    EXPECT_EQ(decided->body.at("verdict"), "pass");
    const auto told = scenario::request("GET", port, "/v1/chassis/edge-9/hardware");
    ASSERT_TRUE(told) << told.error();
    EXPECT_EQ(told->body.at("ietf-hardware:hardware").at("component").at(0).at("state"),
              (nlohmann::json{{"admin-state", "unlocked"}}));
    EXPECT_EQ(twins::Yanglint::complaint_about(told->body.dump()), "");
}

// netconfd keeps no operational state of hardware: a word of the trade that needs it is unknown.
TEST_F(NetconfDevice, what_the_device_does_not_tell_never_passes) {
    start({fabric_module("unlocked"), false, {}}, "ietf-hardware.toml");
    const auto asking = ask("module FAB3 operational within 2 s");
    const nlohmann::json last = last_of(*asking);
    EXPECT_EQ(asking->wait(), 75);
    EXPECT_EQ(last["failure"], "not_seen");
}

// netconfd's own module tells the ports of its host, in a network namespace of the test: RFC 7223's
// interfaces-state. Another program sets a port down.
TEST_F(NetconfDevice, a_gate_on_a_port_passes_when_the_kernel_says_that_it_is_down) {
    std::string why;
    const auto space = Namespace::make(file("namespace.err"), why);
    if (!space)
        GTEST_SKIP() << "no network namespace: " << why;
    // It reads the states of ports in /sys, where each mount shows one namespace's.
    std::vector<std::string> door = space->door();
    for (const char* word :
         {"unshare", "-m", "sh", "-c", "mount -t sysfs none /sys && exec \"$@\"", "sh"})
        door.emplace_back(word);
    start({fabric_module("unlocked"), true, door}, "ietf-interfaces-2014.toml");
    const auto asking = ask("port swv0 down for 1 s within 60 s");
    ASSERT_TRUE(shows_not_yet(*asking)) << std::ifstream(file("ask.err")).rdbuf();
    const Ran down = space->inside("ip link set swv0 down");
    ASSERT_EQ(down.status, 0) << down.output;
    const nlohmann::json last = last_of(*asking);
    EXPECT_EQ(asking->wait(), 0);
    EXPECT_EQ(last["verdict"], "pass");
    EXPECT_THAT(last["because"]["cites"][0]["text"].get<std::string>(),
                testing::HasSubstr("<oper-status>down</oper-status>"));
}

} // namespace
} // namespace slotwitness::live
