#include "command_line.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::program {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

class TokenVerb : public CommandLine {
  protected:
    Ran token(const std::string& verb, std::vector<std::string> more) {
        more.insert(more.begin(),
                    {"token", verb, "--config", config(whole_chassis(), "tokens = \"tokens\"\n")});
        return run(more);
    }
    /// What `make --json` prints.
    nlohmann::json make(const std::string& name, const std::string& role,
                        std::vector<std::string> more = {}) {
        more.insert(more.begin(), {"--json", "--name", name, "--role", role});
        const Ran ran = token("make", more);
        EXPECT_EQ(ran.status, 0) << ran.output;
        return nlohmann::json::parse(ran.output);
    }
};

TEST_F(TokenVerb, shows_a_token_once_and_keeps_its_digest) {
    const Ran made = token("make", {"--name", "A. Person", "--role", "engineer"});
    EXPECT_EQ(made.status, 0);
    EXPECT_THAT(made.output, AllOf(testing::StartsWith("sw1."), HasSubstr("of A. Person, engineer"),
                                   HasSubstr("It is shown this once.")));
    const std::string secret = made.output.substr(13, 32);
    const Ran listed = token("list", {});
    EXPECT_THAT(listed.output, AllOf(HasSubstr("valid    until "), HasSubstr("A. Person, engineer"),
                                     Not(HasSubstr(secret))));
    const Ran kept = live::run({"cat", (folder_ / "tokens").string()});
    EXPECT_THAT(kept.output, Not(HasSubstr(secret)));
}

TEST_F(TokenVerb, makes_one_for_a_rack_and_revokes_it_by_id) {
    const auto made = make("R. Ack", "rack", {"--procedure", "k7fq2mxd", "--expires", "2h"});
    EXPECT_EQ(made["procedure"], "k7fq2mxd");
    EXPECT_EQ(made["state"], "valid");
    const std::string id = made["id"];
    const Ran revoked = token("revoke", {id});
    EXPECT_EQ(revoked.status, 0);
    EXPECT_THAT(revoked.output, HasSubstr("Token " + id + " is revoked"));
    const Ran listed = token("list", {"--json"});
    EXPECT_EQ(nlohmann::json::parse(listed.output).at(0)["state"], "revoked");
    EXPECT_EQ(token("revoke", {"xxxxxxxx"}).status, 65);
}

TEST_F(TokenVerb, says_what_is_wrong_with_a_wish) {
    const std::vector<std::pair<std::vector<std::string>, std::string>> wrong{
        {{"--name", "A", "--role", "boss"}, "\"boss\" is no role"},
        {{"--name", "A", "--role", "rack"}, "--procedure"},
        {{"--name", "A", "--role", "viewer", "--procedure", "k7fq2mxd"}, "only a rack token"},
        {{"--name", "A", "--role", "viewer", "--expires", "soon"}, "\"soon\" is no duration"},
        {{"--name", "A", "--role", "viewer", "--expires", "400d"}, "366 d"},
        {{"--name", "", "--role", "viewer"}, "1 to 64"}};
    for (const auto& [words, told] : wrong) {
        const Ran ran = token("make", words);
        EXPECT_EQ(ran.status, 64) << ran.output;
        EXPECT_THAT(ran.output, HasSubstr(told));
    }
    EXPECT_FALSE(std::filesystem::exists(folder_ / "tokens"));
}

TEST_F(TokenVerb, needs_a_configuration_that_names_the_file) {
    const Ran ran = run({"token", "list", "--config", config(whole_chassis())});
    EXPECT_EQ(ran.status, 78);
    EXPECT_THAT(ran.output, HasSubstr("add tokens = \"tokens\" to its [daemon]"));
}

struct BadAccess {
    std::string name;
    std::string daemon;
    std::string told;
};
class bad_access : public CommandLine, public testing::WithParamInterface<BadAccess> {};

TEST_P(bad_access, is_refused_with_place_and_remedy) {
    const Ran ran = run({"serve", "--config", config(whole_chassis(), GetParam().daemon)});
    EXPECT_EQ(ran.status, 78) << ran.output;
    EXPECT_THAT(ran.output, AllOf(HasSubstr("slotwitness.toml:3:"), HasSubstr(GetParam().told)));
}

INSTANTIATE_TEST_SUITE_P(
    daemons, bad_access,
    testing::Values(
        BadAccess{"beyond_loopback_in_plain", "listen = \"192.0.2.1:8470\"\ntokens = \"tokens\"\n",
                  "Add certificate and key in [daemon.tls] and tokens"},
        BadAccess{"beyond_loopback_without_tokens",
                  "listen = \"[::]:8470\"\n[daemon.tls]\ncertificate = \"c\"\nkey = \"k\"\n",
                  "and tokens = \"tokens\", or listen on 127.0.0.1"},
        BadAccess{"socket_without_tokens", "listen = \"unix:api\"\n",
                  "Add tokens = \"tokens\", so that it is known who comes through the proxy."},
        BadAccess{"socket_of_no_path", "listen = \"unix:\"\n", "a path after unix:"},
        BadAccess{"name_with_scheme", "names = [\"https://watch.example.net\"]\n",
                  "without scheme and port"},
        BadAccess{"no_port", "listen = \"127.0.0.1\"\n", "address:port, or unix:PATH"}),
    [](const auto& info) { return info.param.name; });

} // namespace
} // namespace slotwitness::program
