#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <set>

namespace slotwitness::live {
namespace {

/// The simulated chassis by its login shell, and its record of every byte that was typed.
class ByLoginShell : public testing::Test {
  protected:
    void begin(std::vector<std::string> options) {
        site.profile = SLOTWITNESS_FIXTURES "/quillon/shell.toml";
        options.emplace_back("--shell");
        site.start_chassis(std::move(options));
        site.configure("serial = \"" + std::string(Site::serial) + "\"");
        ASSERT_TRUE(site.start_daemon()) << site.text("daemon.err");
    }
    /// What `explain` lists: queries without a parameter, session queries, the return key alone.
    [[nodiscard]] std::set<std::string> listed() const {
        const Ran ran =
            run({program("slotwitness"), "explain", "--json", "--profile", site.profile});
        const auto told = nlohmann::json::parse(ran.output);
        std::set<std::string> lines{""};
        for (const auto& query : told["shell"]["session_queries"])
            lines.insert(query);
        for (const auto& query : told["queries"]) {
            std::string line;
            for (const auto& word : query["sends"])
                if (word.is_string())
                    line += (line.empty() ? "" : " ") + word.get<std::string>();
            lines.insert(line);
        }
        return lines;
    }
    /// By session.
    [[nodiscard]] std::map<int, std::string> typed() const {
        std::map<int, std::string> all;
        std::ifstream requests(site.file("requests.jsonl"));
        for (std::string line; std::getline(requests, line);) {
            const auto request = nlohmann::json::parse(line);
            EXPECT_NE(request["type"], "exec");
            if (request["type"] == "data")
                all[request["session"]] += request["bytes"].get<std::string>();
        }
        return all;
    }
    Site site;
};

TEST_F(ByLoginShell, a_gate_passes_through_remarks_and_a_lost_session_and_only_the_list_is_typed) {
    begin({"--boot-time", "1 s", "--refresh", "200 ms"});
    const std::string shut = site.open_gate("plane 3 shut for 1 s within 60 s");
    site.order("engineer release plane 3");
    site.order("world remark");
    EXPECT_EQ(site.decided(shut)["verdict"], "pass");
    site.order("fault disconnect once");
    const std::string up = site.open_gate("plane 3 up for 1 s within 60 s");
    site.order("engineer engage plane 3");
    site.order("world remark");
    const auto passed = site.decided(up);
    EXPECT_EQ(passed["verdict"], "pass") << passed;
    EXPECT_EQ(site.stop_daemon(), 0) << site.text("daemon.err");
    const Ran replayed = run({program("slotwitness"), "replay", site.file("journal.sqlite")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;

    const auto sessions = typed();
    EXPECT_GE(sessions.size(), 2U);
    const auto lines = listed();
    for (const auto& [session, bytes] : sessions) {
        std::size_t at = 0;
        for (std::size_t end = bytes.find('\r'); end != std::string::npos;
             end = bytes.find('\r', at)) {
            EXPECT_TRUE(lines.contains(bytes.substr(at, end - at))) << bytes.substr(at, end - at);
            at = end + 1;
        }
        EXPECT_EQ(at, bytes.size()) << "a line without its end: " << bytes.substr(at);
    }
}

} // namespace
} // namespace slotwitness::live
