#include "../twins/folder.hpp"
#include "../twins/sshd.hpp"
#include "process.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>

// How the program comes to a device that is new, old, or whose key systemd keeps: OpenSSH's server
// as sshd_config(5) lets it be one.
namespace slotwitness::live {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

class Reach : public testing::Test {
  protected:
    void SetUp() override {
        if (const auto why = twins::Sshd::missing())
            GTEST_SKIP() << "no OpenSSH server: " << *why;
    }
    void start(twins::Sshd::Setup setup) {
        setup.forced_command = "exit 1"; // what it answers is of no matter
        server_ = twins::Sshd::start(std::move(setup));
    }
    void configure(const std::string& known_hosts, const std::string& more = "") const {
        configure(known_hosts, server_->key_file(), more);
    }
    void configure(const std::string& known_hosts, const std::string& key,
                   const std::string& more) const {
        std::ofstream(folder_.file("slotwitness.toml"))
            << "[daemon]\njournal = \"journal.sqlite\"\n[[chassis]]\nname = \"edge-7\"\n"
            << "profile = \"" SLOTWITNESS_FIXTURES "/linux/ip-s-link.toml\"\n"
            << "address = \"127.0.0.1\"\nport = " << server_->port() << "\n"
            << "user = \"" << twins::Sshd::user() << "\"\n"
            << "key = \"" << key << "\"\n"
            << "known-hosts = \"" << known_hosts << "\"\n"
            << more;
    }
    [[nodiscard]] Ran verb(const std::string& name, const std::vector<std::string>& more) const {
        std::vector<std::string> words{std::string(SLOTWITNESS_BIN) + "/slotwitness", name,
                                       "--config", folder_.file("slotwitness.toml")};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    [[nodiscard]] std::string text(const std::string& name) const {
        std::ifstream stream(folder_.file(name));
        return {std::istreambuf_iterator<char>(stream), {}};
    }

    twins::Folder folder_;
    std::unique_ptr<twins::Sshd> server_;
};

TEST_F(Reach, of_a_device_that_nobody_trusts_yet_shows_host_keys_and_accepts_nothing) {
    twins::Sshd::Setup setup;
    setup.host_key_types = {"ed25519", "ecdsa"};
    start(setup);
    std::ofstream(folder_.file("known")).close();
    configure(folder_.file("known"));
    const Ran shown = verb("look", {"--show-host-key"});
    EXPECT_EQ(shown.status, 0) << shown.output;
    for (const std::string& type : setup.host_key_types) {
        const std::string listed =
            twins::output_of({"ssh-keygen", "-l", "-f", server_->host_key_file(type)});
        const auto fingerprint = listed.find("SHA256:");
        EXPECT_THAT(shown.output, HasSubstr(listed.substr(
                                      fingerprint, listed.find(' ', fingerprint) - fingerprint)));
    }
    EXPECT_THAT(shown.output, HasSubstr("nothing was accepted"));
    EXPECT_EQ(text("known"), "");
    EXPECT_THAT(server_->log(), AllOf(Not(HasSubstr("Accepted")), Not(HasSubstr("Failed"))))
        << "nobody tried to log in";
    EXPECT_EQ(verb("look", {}).status, 77) << "it is as little trusted as before";
}

TEST_F(Reach, by_old_algorithms_needs_their_names_is_warned_of_and_kept_as_evidence) {
    twins::Sshd::Setup setup;
    setup.more = {"KexAlgorithms diffie-hellman-group14-sha1", "Ciphers aes256-cbc",
                  "MACs hmac-sha1"};
    start(setup);
    configure(server_->known_hosts_file());
    EXPECT_THAT(verb("look", {}).output, HasSubstr("name under \"algorithms\""));
    configure(server_->known_hosts_file(),
              "algorithms = { kex = [\"diffie-hellman-group14-sha1\"],"
              " ciphers = [\"aes256-cbc\"], mac = [\"hmac-sha1\"] }\n");
    const std::string weak = "diffie-hellman-group14-sha1, aes256-cbc, hmac-sha1";
    EXPECT_THAT(verb("look", {}).output, HasSubstr("the session uses " + weak + ", which is weak"));
    static_cast<void>(verb("capture", {"edge-7", "--to", folder_.file("pack")}));
    EXPECT_THAT(
        text("pack/events"),
        AllOf(HasSubstr("\"type\":\"session.opened\""),
              HasSubstr(R"("weak":["diffie-hellman-group14-sha1","aes256-cbc","hmac-sha1"])")));
}

// systemd.exec(5), CREDENTIALS: the files stand in the folder that CREDENTIALS_DIRECTORY names.
TEST_F(Reach, with_a_key_that_systemd_gives) {
    start({});
    std::filesystem::create_directory(folder_.file("credentials"));
    std::filesystem::copy_file(server_->key_file(), folder_.file("credentials/watcher"));
    configure(server_->known_hosts_file(), "credential:watcher", "");
    const std::string look = std::string(SLOTWITNESS_BIN) + "/slotwitness look --config " +
                             folder_.file("slotwitness.toml");
    EXPECT_EQ(run({"env", "-u", "CREDENTIALS_DIRECTORY", "sh", "-c", look}).status, 78);
    EXPECT_THAT(server_->log(), Not(HasSubstr("Accepted")));
    static_cast<void>(
        run({"env", "CREDENTIALS_DIRECTORY=" + folder_.file("credentials"), "sh", "-c", look}));
    EXPECT_THAT(server_->log(), HasSubstr("Accepted publickey"));
}

} // namespace
} // namespace slotwitness::live
