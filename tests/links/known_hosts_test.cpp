#include <slotwitness/links/known_hosts.hpp>
#include <slotwitness/twins/folder.hpp>
#include <slotwitness/twins/sshd.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::links::test {
namespace {

using ::testing::ElementsAre;

// Two keys that ssh-keygen made for this test.
constexpr auto key_a = "AAAAC3NzaC1lZDI1NTE5AAAAIKBFM1LqfcAzFvxHWH3DswGdIXgc+qkYUe/uXQKSFHza";
constexpr auto key_b = "AAAAC3NzaC1lZDI1NTE5AAAAIJWvT4WkYFFm0fSqxou9nfCACd/IlC6dE9lDPmiR40Ps";
constexpr auto type = "ssh-ed25519";

std::string line(const std::string& hosts, const std::string& key) {
    return hosts + " " + type + " " + key + "\n";
}

KnownHosts read(const std::string& text) {
    auto store = KnownHosts::parse(text, "hosts");
    EXPECT_TRUE(store) << state::to_text(store.error());
    return store ? std::move(*store) : KnownHosts{};
}

TEST(KnownHostsTest, a_host_is_known_under_each_of_its_names) {
    const auto store = read(line("router1,192.0.2.7,2001:db8::7", key_a));
    for (const auto* host : {"router1", "ROUTER1", "192.0.2.7", "2001:db8::7"}) {
        EXPECT_EQ(store.look_up(host, 22, type, key_a), KnownHosts::Answer::known) << host;
        EXPECT_EQ(store.look_up(host, 22, type, key_b), KnownHosts::Answer::changed) << host;
        EXPECT_EQ(store.look_up(host, 2222, type, key_a), KnownHosts::Answer::unknown) << host;
    }
    EXPECT_EQ(store.look_up("router", 22, type, key_a), KnownHosts::Answer::unknown);
    EXPECT_EQ(store.look_up("router11", 22, type, key_a), KnownHosts::Answer::unknown);
    EXPECT_EQ(store.look_up("", 22, type, key_a), KnownHosts::Answer::unknown);
}

TEST(KnownHostsTest, a_port_other_than_22_stands_behind_brackets) {
    const auto store = read(line("[router1]:2222", key_a));
    EXPECT_EQ(store.look_up("router1", 2222, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store.look_up("router1", 22, type, key_a), KnownHosts::Answer::unknown);
}

TEST(KnownHostsTest, one_of_several_keys_of_a_host_is_enough) {
    const auto store = read(line("router1", key_b) + line("router1", key_a));
    EXPECT_EQ(store.look_up("router1", 22, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store.look_up("router1", 22, type, key_b), KnownHosts::Answer::known);
}

TEST(KnownHostsTest, a_key_of_another_type_than_the_known_one_is_a_change) {
    const auto store = read(line("router1", key_a));
    EXPECT_EQ(store.look_up("router1", 22, "ssh-rsa", key_a), KnownHosts::Answer::changed);
}

TEST(KnownHostsTest, revoked_outranks_known_wherever_it_stands) {
    const auto revoked = "@revoked " + line("router1", key_a);
    for (const auto& text : {revoked + line("router1", key_a), line("router1", key_a) + revoked}) {
        EXPECT_EQ(read(text).look_up("router1", 22, type, key_a), KnownHosts::Answer::revoked);
    }
    EXPECT_EQ(read(revoked).look_up("router1", 22, type, key_b), KnownHosts::Answer::unknown);
    EXPECT_THAT(read(revoked).types_of("router1", 22), ElementsAre());
}

TEST(KnownHostsTest, comments_blank_lines_and_line_ends_of_other_systems_are_passed_over) {
    const auto store =
        read("# our routers\n\n   \n  " + std::string("router1 ") + type + "\t" + key_a +
             " in rack 7\r\n#" + line("router2", key_b) + "router3 " + type + " " + key_b);
    EXPECT_EQ(store.look_up("router1", 22, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store.look_up("router2", 22, type, key_b), KnownHosts::Answer::unknown);
    EXPECT_EQ(store.look_up("router3", 22, type, key_b), KnownHosts::Answer::known);
}

TEST(KnownHostsTest, types_of_a_host_come_once_and_in_order) {
    // A key whose blob names its type and nothing more is enough for the store.
    const auto rsa = "ssh-rsa AAAAB3NzaC1yc2E=";
    const auto store = read(std::string("router1 ") + rsa + "\n" + line("router1", key_a) +
                            line("router1", key_b));
    EXPECT_THAT(store.types_of("router1", 22), ElementsAre("ssh-rsa", type));
    EXPECT_THAT(store.types_of("router2", 22), ElementsAre());
}

// The outside check: names hashed by OpenSSH's own ssh-keygen -H (HMAC-SHA1, sshd(8)).
TEST(KnownHostsTest, names_that_ssh_keygen_hashed_are_found) {
    if (const auto missing = twins::Sshd::missing()) {
        GTEST_SKIP() << *missing;
    }
    const twins::Folder folder;
    const auto file =
        folder.write("hosts", line("router1,192.0.2.7", key_a) + line("[router2]:2222", key_b));
    ::testing::internal::CaptureStderr(); // ssh-keygen warns about the copy that it leaves
    twins::output_of({"ssh-keygen", "-q", "-H", "-f", file});
    static_cast<void>(::testing::internal::GetCapturedStderr());
    const auto store = KnownHosts::load(file);
    ASSERT_TRUE(store) << state::to_text(store.error());
    EXPECT_EQ(store->look_up("router1", 22, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store->look_up("Router1", 22, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store->look_up("192.0.2.7", 22, type, key_a), KnownHosts::Answer::known);
    EXPECT_EQ(store->look_up("router2", 2222, type, key_b), KnownHosts::Answer::known);
    EXPECT_EQ(store->look_up("router2", 2222, type, key_a), KnownHosts::Answer::changed);
    EXPECT_EQ(store->look_up("router2", 22, type, key_b), KnownHosts::Answer::unknown);
}

struct Bad {
    std::string text;
    std::size_t column;
};

TEST(KnownHostsTest, a_bad_line_is_a_problem_with_its_place_and_voids_the_store) {
    const std::string good = line("router9", key_a);
    const std::string key = std::string(" ") + type + " " + key_a;
    const std::vector<Bad> bads{
        {"@cert-authority router1" + key, 1},
        {"@trusted router1" + key, 1},
        {"*.example.net" + key, 1},
        {"router1,router?" + key, 9},
        {"router1,!router2" + key, 9},
        {"router1,,router2" + key, 9},
        {"router1," + key, 9},
        {"[router1" + key, 1},
        {"|1|bad" + key, 1},
        {"|1|AAAA|AAAA" + key, 1},
        {"|2|AAAA|AAAA" + key, 1},
        {"router1", 8},
        {std::string("router1 ") + type, 20},
        {std::string("router1 ") + type + " not-base64!", 21},
        {std::string("router1 ") + type + " AAAA====", 21},
        {std::string("router1 ssh-rsa ") + key_a, 9},
        {"router1 1024 65537 1234567", 14},
        {"@revoked", 9},
    };
    for (const auto& bad : bads) {
        const auto store = KnownHosts::parse(good + bad.text + "\n" + good, "hosts");
        ASSERT_FALSE(store) << bad.text;
        EXPECT_EQ(store.error().where, "hosts") << bad.text;
        EXPECT_EQ(store.error().at, (state::Position{2, bad.column})) << bad.text;
        EXPECT_FALSE(store.error().found.empty()) << bad.text;
        EXPECT_FALSE(store.error().expected.empty()) << bad.text;
        EXPECT_FALSE(store.error().remedy.empty()) << bad.text;
    }
}

TEST(KnownHostsTest, a_file_that_is_not_there_is_a_problem_that_names_it) {
    const auto store = KnownHosts::load("/nonexistent/known_hosts");
    ASSERT_FALSE(store);
    EXPECT_EQ(store.error().where, "/nonexistent/known_hosts");
    EXPECT_EQ(store.error().found, "No such file or directory");
    EXPECT_FALSE(KnownHosts::load("/"));
}

TEST(KnownHostsTest, an_empty_file_knows_nobody) {
    const auto store = KnownHosts::load("/dev/null");
    ASSERT_TRUE(store) << state::to_text(store.error());
    EXPECT_EQ(store->look_up("router1", 22, type, key_a), KnownHosts::Answer::unknown);
}

} // namespace
} // namespace slotwitness::links::test
