#include "site.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <sstream>

namespace slotwitness::live {
namespace {

using testing::HasSubstr;
using testing::Not;

/// The daemon with tokens and TLS, asked by curl.
class NamedPeople : public testing::Test {
  protected:
    void begin(const std::vector<std::string>& options = {}) {
        site.start_chassis({"--refresh", "200 ms"});
        const Ran made = live::run({"openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt",
                                    "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2", "-subj",
                                    "/CN=localhost", "-addext", "subjectAltName=DNS:localhost",
                                    "-keyout", site.file("tls.key"), "-out", site.file("tls.pem")});
        ASSERT_EQ(made.status, 0) << made.output;
        site.configure("", "tokens = \"tokens\"\n"
                           "[daemon.tls]\ncertificate = \"tls.pem\"\nkey = \"tls.key\"\n");
        engineer = make_token("E. Engineer", "engineer");
        viewer = make_token("V. Viewer", "viewer");
        ASSERT_TRUE(site.start_daemon(options)) << site.text("daemon.err");
    }
    Ran token(const std::string& verb, std::vector<std::string> more) {
        std::vector<std::string> words{program("slotwitness"), "token", verb, "--config",
                                       site.file("slotwitness.toml")};
        words.insert(words.end(), more.begin(), more.end());
        return live::run(words);
    }
    std::string make_token(const std::string& name, const std::string& role) {
        const Ran ran = token("make", {"--name", name, "--role", role, "--json"});
        EXPECT_EQ(ran.status, 0) << ran.output;
        return nlohmann::json::parse(ran.output).at("token");
    }
    /// The body and, in its last line, the status.
    Ran curl(const std::string& target, const std::string& with_token,
             std::vector<std::string> more = {}) {
        std::vector<std::string> words{"curl",
                                       "-sS",
                                       "--cacert",
                                       site.file("tls.pem"),
                                       "-w",
                                       "\n%{http_code}",
                                       "-H",
                                       "Authorization: Bearer " + with_token,
                                       "https://localhost:" + std::to_string(site.daemon_port()) +
                                           target};
        words.insert(words.end(), more.begin(), more.end());
        return live::run(words);
    }
    Ran open_gate(const std::string& with_token) {
        return curl("/v1/gates", with_token,
                    {"-H", "Content-Type: application/json", "-d",
                     R"({"chassis": "edge-7", "sentence": "plane 1 up within 2 min"})"});
    }

    /// In no file that the daemon or its maker wrote.
    void no_token_is_left() {
        for (const auto& entry :
             std::filesystem::directory_iterator(std::filesystem::path(site.file("")))) {
            const std::string bytes = site.text(entry.path().filename());
            for (const std::string& token : {engineer, viewer})
                EXPECT_THAT(bytes, Not(HasSubstr(token.substr(13)))) << entry.path();
        }
    }

    Site site;
    std::string engineer;
    std::string viewer;
};

TEST_F(NamedPeople, open_gates_over_tls_under_their_own_names_as_far_as_their_role_goes) {
    begin();
    const Ran refused = open_gate(viewer);
    EXPECT_THAT(refused.output, testing::EndsWith("\n403"));
    const Ran opened = open_gate(engineer);
    ASSERT_THAT(opened.output, testing::EndsWith("\n201"));
    const auto gate = nlohmann::json::parse(opened.output.substr(0, opened.output.rfind('\n')));
    EXPECT_EQ(gate["opened_by"], "E. Engineer");
    const Ran decided =
        curl("/v1/gates/" + gate["id"].get<std::string>(), viewer, {"-H", "Prefer: wait=120"});
    EXPECT_THAT(decided.output, HasSubstr("\"verdict\": \"pass\""));
    EXPECT_EQ(site.stop_daemon(), 0) << site.text("daemon.err");
    const Ran replayed = live::run({program("slotwitness"), "replay", site.file("journal.sqlite")});
    EXPECT_EQ(replayed.status, 0) << replayed.output;
}

TEST_F(NamedPeople, are_refused_from_the_revocation_on_without_a_restart) {
    begin();
    EXPECT_THAT(curl("/v1/gates", viewer).output, testing::EndsWith("\n200"));
    const std::string id = viewer.substr(4, 8);
    EXPECT_EQ(token("revoke", {id}).status, 0);
    EXPECT_THAT(curl("/v1/gates", viewer).output, testing::EndsWith("\n401"));
    EXPECT_THAT(curl("/v1/gates", engineer).output, testing::EndsWith("\n200"));
    EXPECT_THAT(token("list", {}).output, HasSubstr(id + "  revoked"));
}

TEST_F(NamedPeople, leave_their_names_in_journal_and_log_and_their_tokens_nowhere) {
    begin();
    EXPECT_THAT(open_gate(engineer).output, testing::EndsWith("\n201"));
    EXPECT_THAT(open_gate(viewer).output, testing::EndsWith("\n403"));
    EXPECT_EQ(site.stop_daemon(), 0);
    EXPECT_THAT(site.text("journal.sqlite"), HasSubstr("E. Engineer"));
    EXPECT_THAT(site.text("daemon.err"), HasSubstr("E. Engineer, token " + engineer.substr(4, 8)));
    no_token_is_left();
}

TEST_F(NamedPeople, are_told_to_programs_as_one_object_a_line) {
    begin({"--log", "json"});
    EXPECT_THAT(open_gate(engineer).output, testing::EndsWith("\n201"));
    EXPECT_THAT(open_gate(viewer).output, testing::EndsWith("\n403"));
    EXPECT_EQ(site.stop_daemon(), 0);
    std::istringstream lines(site.text("daemon.err"));
    std::map<std::string, nlohmann::json> last; // by event
    for (std::string line; std::getline(lines, line);) {
        const auto told = nlohmann::json::parse(line);
        for (const char* member : {"time", "level", "event", "text"})
            EXPECT_TRUE(told.contains(member)) << line;
        last[told["event"]] = told;
    }
    EXPECT_EQ(last["session"]["chassis"], "edge-7");
    EXPECT_EQ(last["request"]["status"], 201);
    EXPECT_EQ(last["request"]["person"], "E. Engineer");
    EXPECT_EQ(last["request"]["token"], engineer.substr(4, 8));
    EXPECT_EQ(last["refused"]["status"], 403);
    EXPECT_EQ(last["refused"]["path"], "/v1/gates");
    EXPECT_EQ(last["stop"]["level"], "info");
    no_token_is_left();
}

} // namespace
} // namespace slotwitness::live
