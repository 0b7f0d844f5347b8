#include "../scenario/player.hpp"
#include "../twins/yanglint.hpp"
#include "site.hpp"

#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>

#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace slotwitness::live {
namespace {

/// What `explain` lists as sendable, as patterns over the words of a request.
class Explained {
  public:
    Explained() {
        const Ran ran = run({program("slotwitness"), "explain", "--json", "--profile",
                             SLOTWITNESS_FIXTURES "/quillon/profile.toml"});
        EXPECT_EQ(ran.status, 0) << ran.output;
        told_ = nlohmann::json::parse(ran.output);
    }
    [[nodiscard]] bool lists(const std::string& request) const {
        std::vector<std::string> words;
        std::istringstream stream(request);
        for (std::string word; std::getline(stream, word, ' ');)
            words.push_back(word);
        for (const auto& query : told_["queries"])
            if (matches(query["sends"], words))
                return true;
        return false;
    }

  private:
    static bool matches(const nlohmann::json& sends, const std::vector<std::string>& words) {
        if (sends.size() != words.size())
            return false;
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (sends[i].is_string()
                    ? sends[i] != words[i]
                    : words[i].size() > sends[i]["longest"].get<std::size_t>() ||
                          words[i].empty() ||
                          words[i].find_first_not_of(sends[i]["characters"].get<std::string>()) !=
                              std::string::npos)
                return false;
        }
        return true;
    }
    nlohmann::json told_;
};

TEST(WholeSwap, every_verdict_is_as_written_nothing_unlisted_is_sent_and_replay_says_the_same) {
    Site site;
    site.start_chassis({"--boot-time", "3 s"});
    site.configure("serial = \"" + std::string(Site::serial) + "\"");
    ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");

    const auto script = scenario::load(SLOTWITNESS_FIXTURES "/scenarios/fabric-module-swap.toml");
    ASSERT_TRUE(script) << script.error();
    const auto otherwise = scenario::Player(site.daemon_port(), site.file("control")).play(*script);
    ASSERT_TRUE(otherwise) << otherwise.error() << site.text("daemon.err");
    EXPECT_EQ(*otherwise, 0u);

    // Replay of the journal equals the live verdicts.
    std::map<std::string, std::string> live;
    const nlohmann::json listed = site.get("/v1/gates");
    for (const auto& gate : listed.at("gates"))
        live[gate["id"]] = gate["verdict"].get<std::string>() + " " + gate["decided"].dump();
    EXPECT_GE(live.size(), script->steps.size());
    if (!twins::Yanglint::is_missing()) {
        const std::string hardware = site.get("/v1/chassis/edge-7/hardware").dump();
        EXPECT_EQ(twins::Yanglint::complaint_about(hardware), "") << hardware;
    }
    EXPECT_EQ(site.stop_daemon(), 0) << site.text("daemon.err");
    const Ran replayed =
        run({program("slotwitness"), "replay", "--json", site.file("journal.sqlite")});
    ASSERT_EQ(replayed.status, 0) << replayed.output;
    std::map<std::string, std::string> again;
    const nlohmann::json told = nlohmann::json::parse(replayed.output);
    for (const auto& gate : told.at(0).at("gates"))
        again[gate["id"]] = gate["verdict"].get<std::string>() + " " + gate["decided"].dump();
    EXPECT_EQ(again, live);
    const Ran reported = run({program("slotwitness"), "report", site.file("journal.sqlite")});
    EXPECT_EQ(reported.status, 0) << reported.output;
    for (const auto& [id, verdict] : live)
        EXPECT_THAT(reported.output, testing::HasSubstr("  " + id + "  "));

    // Read-only, proven from outside: the server's own record of every request.
    const Explained explained;
    std::ifstream requests(site.file("requests.jsonl"));
    std::size_t asked = 0;
    for (std::string line; std::getline(requests, line);) {
        const nlohmann::json request = nlohmann::json::parse(line);
        const std::string type = request.at("type");
        const std::string bytes = request.at("bytes");
        if (type == "exec") {
            EXPECT_TRUE(explained.lists(bytes)) << line;
            ++asked;
        } else {
            // What every SSH session begins with (RFC 4252, RFC 4254): logging in, opening a
            // channel.
            EXPECT_TRUE((type == "service" && bytes == "ssh-userauth") ||
                        (type == "auth" && bytes == "watcher") ||
                        (type == "channel" && bytes == "session"))
                << line;
        }
    }
    EXPECT_GT(asked, 50u) << "the record is not of a whole swap";
}

} // namespace
} // namespace slotwitness::live
