#include "../twins/folder.hpp"
#include "../twins/sshd.hpp"
#include "process.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <map>

// Every kind of secret in real use: the daemon and the command line log in by a password, by
// keyboard-interactive, by a key with a passphrase, and people come in by tokens. Then all that
// they left behind is searched for each of them.

namespace slotwitness::live {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

std::string bytes_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

std::string in_hex(const std::string& text, const char* digits) {
    std::string hex;
    for (const char byte : text) {
        const auto value = static_cast<unsigned char>(byte);
        hex.append(1, digits[value / 16]).append(1, digits[value % 16]);
    }
    return hex;
}

/// RFC 4648, section 4, of a text that stands `before` bytes after a whole group; only the
/// characters that no neighbour has a part in.
std::string in_base64(const std::string& text, std::size_t before) {
    constexpr std::string_view alphabet =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const std::string bytes = std::string(before, 'x') + text;
    std::string coded;
    for (std::size_t bit = 0; bit + 6 <= bytes.size() * 8; bit += 6) {
        std::size_t value = 0;
        for (std::size_t at = bit; at < bit + 6; ++at)
            value = value * 2 + ((static_cast<unsigned char>(bytes[at / 8]) >> (7 - at % 8)) & 1U);
        coded += alphabet[value];
    }
    return coded.substr((before * 8 + 5) / 6);
}

std::vector<std::string> forms_of(const std::string& secret) {
    std::vector<std::string> forms{secret, in_hex(secret, "0123456789abcdef"),
                                   in_hex(secret, "0123456789ABCDEF")};
    for (std::size_t before = 0; before < 3; ++before)
        forms.push_back(in_base64(secret, before));
    return forms;
}

// RFC 4648, section 10: the test vectors, and "foobar" behind other bytes as base64(1) codes it.
TEST(FormsOfASecret, are_those_of_rfc_4648) {
    EXPECT_EQ(in_base64("foobar", 0), "Zm9vYmFy");
    EXPECT_EQ(in_hex("foobar", "0123456789ABCDEF"), "666F6F626172");
    const std::string behind_one = run({"sh", "-c", "printf 1foobar | base64"}).output;
    const std::string behind_two = run({"sh", "-c", "printf 12foobar | base64"}).output;
    EXPECT_THAT(behind_one, HasSubstr(in_base64("foobar", 1)));
    EXPECT_THAT(behind_two, HasSubstr(in_base64("foobar", 2)));
    EXPECT_GE(in_base64("foobar", 2).size(), 7U);
}

class Secrets : public testing::Test {
  protected:
    void SetUp() override {
        if (const auto why = twins::Sshd::missing_passwords())
            GTEST_SKIP() << *why;
        fs::create_directories(folder_.file("kept"));
        fs::create_directories(folder_.file("left"));
    }
    void TearDown() override {
        daemon_.reset();
        servers_.clear();
    }
    [[nodiscard]] std::string kept(const std::string& name) const {
        return folder_.path() / "kept" / name;
    }
    /// What may be looked at by anybody: nothing of a secret is in it.
    [[nodiscard]] std::string left(const std::string& name) const {
        return folder_.path() / "left" / name;
    }

    void keep(const std::string& name, const std::string& secret) {
        secrets_[name] = secret;
        std::ofstream(kept(name)) << secret << '\n';
        fs::permissions(kept(name), fs::perms::owner_read | fs::perms::owner_write);
    }
    /// A device that takes this password by that method.
    const twins::Sshd& device(const std::string& method, const std::string& password) {
        twins::Sshd::Setup setup;
        setup.password = password;
        setup.more = {"PermitRootLogin yes", method + " yes"};
        servers_.push_back(twins::Sshd::start(std::move(setup)));
        return *servers_.back();
    }
    void add_chassis(const std::string& name, const twins::Sshd& sshd, const std::string& lines) {
        chassis_ += "[[chassis]]\nname = \"" + name +
                    "\"\nprofile = \"" SLOTWITNESS_FIXTURES
                    "/linux/ip-br-link.toml\"\naddress = \"127.0.0.1\"\nport = " +
                    std::to_string(sshd.port()) + "\nuser = \"" + twins::Sshd::user() +
                    "\"\nknown-hosts = \"" + sshd.known_hosts_file() + "\"\n" + lines +
                    "[chassis.pace]\npending = \"300 ms\"\n";
    }
    void prepare() {
        keep("password", "Tr0ub4dor&3-of-edge-1");
        keep("interactive", "correct-horse-of-edge-2");
        keep("wrong", "battery-staple-of-edge-3");
        keep("phrase", "open-sesame-of-edge-4");
        const auto& first = device("PasswordAuthentication", secrets_["password"]);
        const auto& second = device("KbdInteractiveAuthentication", secrets_["interactive"]);
        fs::copy_file(first.key_file(), kept("key"));
        ASSERT_EQ(
            run({"ssh-keygen", "-q", "-p", "-P", "", "-N", secrets_["phrase"], "-f", kept("key")})
                .status,
            0);
        // Of the key's own bytes a piece from amid.
        std::istringstream lines(bytes_of(kept("key")));
        std::string line;
        for (int count = 0; count < 4; ++count)
            std::getline(lines, line);
        secrets_["key"] = line;
        add_chassis("edge-1", first, "password = \"" + kept("password") + "\"\n");
        add_chassis("edge-2", second, "password = \"" + kept("interactive") + "\"\n");
        add_chassis("edge-3", second, "password = \"" + kept("wrong") + "\"\n");
        add_chassis("edge-4", first,
                    "key = \"" + kept("key") + "\"\nkey-passphrase = \"" + kept("phrase") + "\"\n");
        std::ofstream(left("slotwitness.toml"))
            << "[daemon]\nlisten = \"127.0.0.1:0\"\njournal = \"journal.sqlite\"\n"
            << "tokens = \"" << kept("tokens") << "\"\n"
            << chassis_;
        make_token("engineer");
        make_token("viewer");
    }
    [[nodiscard]] static std::string slotwitness() {
        return std::string(SLOTWITNESS_BIN) + "/slotwitness";
    }
    Ran verb(std::vector<std::string> words) const {
        words.insert(words.begin(), slotwitness());
        words.insert(words.end(), {"--config", left("slotwitness.toml")});
        Ran ran = run(words);
        std::ofstream(left("output"), std::ios::app) << ran.output;
        return ran;
    }
    void make_token(const std::string& role) {
        const Ran made = run({slotwitness(), "token", "make", "--config", left("slotwitness.toml"),
                              "--name", "A. Person", "--role", role, "--json"});
        ASSERT_EQ(made.status, 0) << made.output;
        tokens_[role] = nlohmann::json::parse(made.output).at("token");
        // Behind its id, by which it is known to everybody.
        constexpr std::size_t secret_at = 13;
        secrets_["token of a " + role] = tokens_[role].substr(secret_at);
    }
    void start_daemon() {
        daemon_ = std::make_unique<Process>(
            std::vector<std::string>{"sh", "-c",
                                     "cd " + folder_.file("left") + "; ulimit -c unlimited; exec " +
                                         slotwitness() + " serve --config slotwitness.toml"},
            left("daemon.err"));
        const auto line = daemon_->next_line();
        ASSERT_TRUE(line) << bytes_of(left("daemon.err"));
        address_ = line->substr(line->find("http"));
    }
    std::string curl(const std::string& role, const std::string& target,
                     std::vector<std::string> more = {}) {
        std::vector<std::string> words{"curl", "-sS", "-H",
                                       "Authorization: Bearer " + tokens_[role], address_ + target};
        words.insert(words.end(), more.begin(), more.end());
        const Ran ran = run(words);
        std::ofstream(left("responses"), std::ios::app) << ran.output;
        return ran.output;
    }
    std::string decided(const std::string& chassis) {
        const std::string body =
            R"({"chassis": ")" + chassis + R"(", "sentence": "port lo present within 60 s"})";
        const std::string opened =
            curl("engineer", "/v1/gates", {"-H", "Content-Type: application/json", "-d", body});
        return curl("viewer",
                    "/v1/gates/" + nlohmann::json::parse(opened).at("id").get<std::string>(),
                    {"-H", "Prefer: wait=90"});
    }
    void expect_no_secret_left() const {
        std::size_t files = 0;
        for (const auto& entry : fs::recursive_directory_iterator(folder_.file("left"))) {
            if (!entry.is_regular_file())
                continue;
            ++files;
            const std::string bytes = bytes_of(entry.path());
            for (const auto& [name, secret] : secrets_)
                for (const std::string& form : forms_of(secret))
                    EXPECT_EQ(bytes.find(form), std::string::npos)
                        << "the " << name << " stands in " << entry.path();
        }
        EXPECT_GE(files, 6U); // log, journal, outputs, the pack's
    }

    twins::Folder folder_;
    std::string chassis_;
    std::string address_;
    std::map<std::string, std::string> secrets_;
    std::map<std::string, std::string> tokens_;
    std::vector<std::unique_ptr<twins::Sshd>> servers_;
    std::unique_ptr<Process> daemon_;
};

TEST_F(Secrets, stand_in_no_log_journal_pack_output_or_response) {
    prepare();
    start_daemon();
    for (const std::string chassis : {"edge-1", "edge-2", "edge-4"})
        EXPECT_THAT(decided(chassis), HasSubstr("\"pass\"")) << bytes_of(left("daemon.err"));
    EXPECT_THAT(curl("viewer", "/v1/chassis/edge-3"), HasSubstr("was refused"));
    EXPECT_THAT(curl("engineer", "/metrics"), HasSubstr("# EOF"));
    // Who puts a token where none belongs gets it back, and nobody else finds it.
    EXPECT_EQ(run({"curl", "-sS", address_ + "/v1/gates?token=" + tokens_["engineer"]}).status, 0);
    EXPECT_EQ(verb({"look", "edge-1"}).status, 0);
    EXPECT_EQ(verb({"look", "edge-3"}).status, 77);
    EXPECT_EQ(verb({"capture", "edge-2", "--to", left("pack")}).status, 0);
    EXPECT_EQ(verb({"ask", "--journal", left("ask.sqlite"), "edge-4", "port lo present"}).status,
              0);
    EXPECT_EQ(verb({"token", "list"}).status, 0);
    daemon_->signal(SIGTERM);
    EXPECT_EQ(daemon_->wait(), 0);
    expect_no_secret_left();
}

TEST_F(Secrets, are_not_left_in_a_core_however_it_ends) {
    prepare();
    Process other(
        {"sh", "-c", "cd " + folder_.file("kept") + "; ulimit -c unlimited; kill -ABRT $$"},
        left("other.err"));
    other.wait();
    if (!other.left_core())
        GTEST_SKIP() << "this machine makes no core of any program";
    start_daemon();
    daemon_->signal(SIGABRT);
    EXPECT_EQ(daemon_->wait(), 128 + SIGABRT);
    EXPECT_FALSE(daemon_->left_core());
}

} // namespace
} // namespace slotwitness::live
