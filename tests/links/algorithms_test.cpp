#include <slotwitness/links/algorithms.hpp>

#include <gtest/gtest.h>
#include <libssh/libssh.h>

#include <memory>
#include <string>

namespace slotwitness::links::test {
namespace {

// libssh drops names that it does not know from a list without a word, so each is offered alone.
TEST(AlgorithmsTest, libssh_knows_each_name_that_we_offer) {
    const std::vector<std::pair<ssh_options_e, algorithms::Names>> lists{
        {SSH_OPTIONS_KEY_EXCHANGE, algorithms::key_exchange},
        {SSH_OPTIONS_HOSTKEYS, algorithms::host_keys},
        {SSH_OPTIONS_PUBLICKEY_ACCEPTED_TYPES, algorithms::host_keys},
        {SSH_OPTIONS_CIPHERS_C_S, algorithms::ciphers},
        {SSH_OPTIONS_CIPHERS_S_C, algorithms::ciphers},
        {SSH_OPTIONS_HMAC_C_S, algorithms::macs},
        {SSH_OPTIONS_HMAC_S_C, algorithms::macs},
    };
    const std::unique_ptr<ssh_session_struct, decltype(&ssh_free)> session(ssh_new(), ssh_free);
    for (const auto& [option, names] : lists) {
        for (const auto name : names) {
            EXPECT_EQ(ssh_options_set(session.get(), option, std::string(name).c_str()), SSH_OK)
                << name;
        }
        EXPECT_NE(ssh_options_set(session.get(), option, "no-such-algorithm"), SSH_OK);
    }
}

TEST(AlgorithmsTest, nothing_weak_is_offered) {
    for (const auto* list : {&algorithms::key_exchange, &algorithms::host_keys,
                             &algorithms::ciphers, &algorithms::macs}) {
        for (const auto name : *list) {
            for (const auto* weak : {"sha1", "md5", "cbc", "arcfour", "dss", "group1-", "gcm"}) {
                EXPECT_EQ(name.find(weak), std::string_view::npos) << name;
            }
            EXPECT_NE(name, "ssh-rsa"); // signs with SHA-1 (RFC 8332)
        }
    }
}

} // namespace
} // namespace slotwitness::links::test
