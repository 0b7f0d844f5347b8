#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

// A whole procedure over HTTP, by the real daemon on simulated chassis: as its people do it, up to
// the card.
namespace slotwitness::live {
namespace {

using nlohmann::json;
using testing::HasSubstr;

/// Short, so that nobody waits for holds; the shipped ones are played in virtual time (tests/days).
constexpr const char* tray_swap = R"(
[procedure]
format    = 1
title     = "Swap a fan tray"
family    = "Quillon"
work      = "replace"
work-slot = "tray"
spare     = "spare"
[parameter.tray]
is  = "fan-tray"
say = "the fan tray to be replaced"
[parameter.spare]
is  = "words"
say = "serial of the spare"
[[rule]]
name  = "others"
say   = "Every other fan tray works"
holds = "every fan-tray except <tray> operational"
[[step]]
name   = "pull"
actor  = "technician"
act    = "Pull fan tray <tray>."
fact   = "every fan-tray operational within 1 min"
effect = "fan-tray <tray> absent within 1 min"
if-wrong = { first = "put-back", say = "Seat it again." }
[[step]]
name   = "seat"
actor  = "technician"
act    = "Seat the spare <spare>."
fact   = "fan-tray <tray> absent within 1 min"
effect = "fan-tray <tray> operational and fan-tray <tray> serial differs from baseline within 1 min"
if-wrong = { first = "call", say = "Leave it as it is." }
)";

class WholeProcedure : public testing::Test {
  protected:
    /// Two chassis of one risk group.
    void begin() {
        site.start_chassis({"--chassis", "2", "--refresh", "200 ms"});
        const json& other = site.all_chassis().at(1);
        std::ofstream(site.file("known_hosts"), std::ios::app)
            << "[127.0.0.1]:" << other.at("port").get<int>() << ' '
            << other.at("host_key").get<std::string>() << '\n';
        std::ofstream(site.file("swap.toml")) << tray_swap;
        site.configure("risk-group = \"core-a\"", "procedures = [\"swap.toml\"]\n");
        std::string config = site.text("slotwitness.toml");
        std::string second = config.substr(config.find("[[chassis]]"));
        replace(second, "\"edge-7\"", "\"edge-8\"");
        replace(second, "port = " + std::to_string(site.chassis_port()),
                "port = " + std::to_string(other.at("port").get<int>()));
        std::ofstream(site.file("slotwitness.toml")) << config << second;
        ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
        // Before a look nobody knows the parts, and no procedure is opened.
        for (const char* chassis : {"edge-7", "edge-8"})
            for (const char* sentence :
                 {"every fan-tray operational", "sensor inlet below 100 C"}) {
                const auto gate = post("/v1/gates", {{"chassis", chassis}, {"sentence", sentence}});
                ASSERT_EQ(gate.status, 201) << gate.body;
                ASSERT_EQ(site.decided(gate.body.at("id"))["verdict"], "pass");
            }
    }
    static void replace(std::string& in, const std::string& what, const std::string& by) {
        in.replace(in.find(what), what.size(), by);
    }
    scenario::HttpAnswer post(const std::string& target, const json& body,
                              const std::string& revision = "") {
        const auto answer = scenario::request("POST", site.daemon_port(), target, body, "", "",
                                              revision.empty() ? "" : "\"" + revision + "\"");
        if (!answer)
            throw std::runtime_error(answer.error());
        return *answer;
    }
    scenario::HttpAnswer open(const std::string& chassis) {
        return post("/v1/procedures",
                    {{"chassis", chassis},
                     {"procedure", "swap"},
                     {"ticket", "T-17"},
                     {"arguments", {{"tray", "TRAY2"}, {"spare", "QL40300099"}}},
                     {"accepted", {{"sensor inlet", "it is replaced next week"}}}});
    }
    /// One step: released once its fact is seen, done by `order`, confirmed by voice.
    void step(const std::string& path, std::size_t number, const std::string& order) {
        const auto released = [&] {
            const json now = site.get(path).at("steps").at(number);
            return post(path + "/releases", {{"step", now.at("name")}}, now.at("revision"));
        };
        site.until(path, [&](const json& shown) {
            return shown.at("steps").at(number).at("stage") == "fact" && released().status == 200;
        });
        const json shown =
            site.until(path, [](const json& now) { return now.at("word") == "STATE MET"; });
        site.order(order);
        const json now = shown.at("steps").at(number);
        const auto confirmed = post(path + "/confirmations",
                                    {{"step", now.at("name")},
                                     {"on_behalf_of", "T. Technician"},
                                     {"read_back", now.at("code")}},
                                    now.at("revision"));
        ASSERT_EQ(confirmed.status, 200) << confirmed.body;
    }

    Site site;
};

TEST_F(WholeProcedure, goes_to_done_and_its_card_while_the_other_chassis_of_the_group_is_refused) {
    begin();
    const auto opened = open("edge-7");
    ASSERT_EQ(opened.status, 201) << opened.body;
    const std::string path = "/v1/procedures/" + opened.body.at("id").get<std::string>();
    const auto refused = open("edge-8");
    EXPECT_EQ(refused.status, 422) << refused.body;
    EXPECT_THAT(refused.body.dump(), HasSubstr("under way on edge-7"));
    EXPECT_THAT(refused.body.dump(), HasSubstr("risk group core-a"));

    const auto named =
        post(path + "/acts",
             {{"act", "at-chassis"}, {"serial_end", "0017"}, {"on_behalf_of", "T. Technician"}});
    ASSERT_EQ(named.status, 200) << named.body;
    const std::string first = site.all_chassis().at(0).at("name");
    step(path, 0, "at " + first + " technician pull tray TRAY2");
    const json handover = site.get(path + "/card");
    ASSERT_FALSE(handover["now"]["out"].empty());
    EXPECT_EQ(handover["now"]["out"][0]["what"], "fan tray TRAY2");
    step(path, 1, "at " + first + " technician seat tray TRAY2 serial QL40300099");
    site.until(path, [&](const json& shown) {
        return shown.at("step") == "" &&
               post(path + "/acts", {{"act", "close"}, {"outcome", "done"}}).status == 200;
    });

    const json card = site.get(path + "/card");
    EXPECT_EQ(card["outcome"], "done");
    EXPECT_EQ(card["ticket"], "T-17");
    EXPECT_EQ(card["now"], nullptr);
    EXPECT_EQ(card["newest"]["serial"], "QL40300099");
    EXPECT_NE(card["before"]["serial"], card["newest"]["serial"]);
    EXPECT_EQ(card["right_part"]["right"], "true");
    EXPECT_EQ(card["accepted"][0]["component"]["name"], "inlet");
    EXPECT_EQ(card["steps"][1]["on_behalf_of"], "T. Technician");
    const Ran page =
        run({"curl", "-sS", "-H", "Accept: text/html",
             "http://127.0.0.1:" + std::to_string(site.daemon_port()) + path + "/card"});
    EXPECT_THAT(page.output, HasSubstr("Close-out card"));
    EXPECT_EQ(open("edge-8").status, 201) << "the group is free again";
    EXPECT_EQ(site.stop_daemon(), 0) << site.text("daemon.err");
    const Ran replayed = run({program("slotwitness"), "replay", site.file("journal.sqlite")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;
}

} // namespace
} // namespace slotwitness::live
