#include "../../daemon/program/rack_address.hpp"
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
    const Ran kept = live::run({"cat", folder_.file("tokens")});
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

TEST_F(TokenVerb, tells_where_the_page_of_a_rack_token_is) {
    const std::vector<std::string> rack{"--role",  "rack",        "--name",
                                        "G. Hand", "--procedure", "k7fq2mxd"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.end(), rack.begin(), rack.end());
        return token("make", more);
    };
    const Ran told = with({"--address", "https://watch.example.net:8443/"});
    EXPECT_EQ(told.status, 0);
    const std::string secret = told.output.substr(0, told.output.find('\n'));
    EXPECT_THAT(told.output,
                AllOf(HasSubstr("\nhttps://watch.example.net:8443/rack/k7fq2mxd#token=" + secret),
                      HasSubstr("Whoever sees this holds the token"), Not(HasSubstr("█"))));
    EXPECT_THAT(with({"--qr", "--address", "https://watch.example.net"}).output, HasSubstr("█"));
    EXPECT_THAT(with({}).output, AllOf(HasSubstr("where no phone reaches it"),
                                       HasSubstr("--address https://NAME:PORT")));
}

TEST_F(TokenVerb, gives_programs_the_address_beside_the_token) {
    const auto made = make("R. Ack", "rack",
                           {"--procedure", "k7fq2mxd", "--address", "https://watch.example.net"});
    EXPECT_EQ(made["address"],
              "https://watch.example.net/rack/k7fq2mxd#token=" + made["token"].get<std::string>());
    EXPECT_FALSE(make("A", "viewer").contains("address"));
}

TEST_F(TokenVerb, makes_no_token_where_its_address_cannot_be) {
    const std::vector<std::pair<std::vector<std::string>, std::string>> wrong{
        {{"--address", "watch.example.net"}, "write for example https://"},
        {{"--address", "https://"}, "is no address of a daemon"},
        {{"--address", "https://watch.example.net/rack"}, "is no address of a daemon"},
        {{"--address", "http://watch.example.net"}, "would carry the token in plain"},
        {{"--qr"}, "where no phone reaches it"}};
    for (const auto& [words, told] : wrong) {
        std::vector<std::string> all{"--role", "rack", "--name", "A", "--procedure", "k7fq2mxd"};
        all.insert(all.end(), words.begin(), words.end());
        const Ran ran = token("make", all);
        EXPECT_EQ(ran.status, 64) << ran.output;
        EXPECT_THAT(ran.output, HasSubstr(told));
    }
    EXPECT_FALSE(std::filesystem::exists(folder_.file("tokens")));
}

struct Reached {
    std::string name;
    AccessSettings access;
    std::string address; ///< or the beginning of why there is none
};
class reached : public testing::TestWithParam<Reached> {};

TEST_P(reached, by_phones_as_the_configuration_tells) {
    const auto address = address_for_phones(GetParam().access, "");
    EXPECT_THAT(address ? *address : address.error(), testing::StartsWith(GetParam().address));
}

AccessSettings over_tls(const std::string& address, std::uint16_t port,
                        std::vector<std::string> names = {}) {
    return {address, port, "", "tokens", std::move(names), "certificate.pem", "key.pem"};
}

INSTANTIATE_TEST_SUITE_P(
    daemons, reached,
    testing::Values(
        Reached{"by_name", over_tls("0.0.0.0", 8443, {"watch.example.net", "other"}),
                "https://watch.example.net:8443"},
        Reached{"by_address", over_tls("192.0.2.1", 443), "https://192.0.2.1"},
        Reached{"by_address_of_version_6", over_tls("2001:db8::1", 8443),
                "https://[2001:db8::1]:8443"},
        Reached{"not_by_every_address", over_tls("::", 8443), "the configuration tells no name"},
        Reached{"not_by_a_port_to_come", over_tls("192.0.2.1", 0), "the daemon takes another port"},
        Reached{"not_by_loopback", {}, "the daemon listens on this machine alone"},
        Reached{"by_the_name_of_a_proxy",
                {"", 0, "/run/api", "tokens", {"watch.example.net"}, "", ""},
                "https://watch.example.net"},
        Reached{"not_by_a_socket",
                {"", 0, "/run/api", "tokens", {}, "", ""},
                "the configuration tells no name of the proxy"}),
    [](const auto& info) { return info.param.name; });

TEST_F(TokenVerb, says_what_is_wrong_with_a_wish) {
    const std::vector<std::pair<std::vector<std::string>, std::string>> wrong{
        {{"--name", "A", "--role", "boss"}, "\"boss\" is no role"},
        {{"--name", "A", "--role", "rack"}, "--procedure"},
        {{"--name", "A", "--role", "viewer", "--procedure", "k7fq2mxd"}, "only a rack token"},
        {{"--name", "A", "--role", "viewer", "--expires", "soon"}, "\"soon\" is no duration"},
        {{"--name", "A", "--role", "viewer", "--expires", "400d"}, "366 d"},
        {{"--name", "A", "--role", "viewer", "--qr"}, "only a rack token has an address"},
        {{"--name", "", "--role", "viewer"}, "1 to 64"}};
    for (const auto& [words, told] : wrong) {
        const Ran ran = token("make", words);
        EXPECT_EQ(ran.status, 64) << ran.output;
        EXPECT_THAT(ran.output, HasSubstr(told));
    }
    EXPECT_FALSE(std::filesystem::exists(folder_.file("tokens")));
}

TEST_F(TokenVerb, needs_a_configuration_that_names_the_file) {
    const Ran ran = run({"token", "list", "--config", config(whole_chassis())});
    EXPECT_EQ(ran.status, 78);
    EXPECT_THAT(ran.output, HasSubstr("add tokens = \"tokens\" to its [daemon]"));
}

TEST_F(TokenVerb, is_revoked_while_a_chassis_of_the_configuration_is_wrong) {
    const std::string id = make("A", "viewer")["id"];
    const std::string file =
        config("name = \"edge-7\"\nkey = \"credential:watcher\"\n", "tokens = \"tokens\"\n");
    EXPECT_EQ(run({"token", "revoke", "--config", file, id}).status, 0);
    EXPECT_EQ(run({"serve", "--config", file}).status, 78);
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
