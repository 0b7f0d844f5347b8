#include <slotwitness/links/algorithms.hpp>

#include <gtest/gtest.h>
#include <libssh/libssh.h>

#include <memory>
#include <string>

namespace slotwitness::links::test {
namespace {

const algorithms::Names& of(const Algorithms& set, ssh_options_e option) {
    switch (option) {
    case SSH_OPTIONS_KEY_EXCHANGE:
        return set.key_exchange;
    case SSH_OPTIONS_HOSTKEYS:
    case SSH_OPTIONS_PUBLICKEY_ACCEPTED_TYPES:
        return set.host_keys;
    case SSH_OPTIONS_CIPHERS_C_S:
    case SSH_OPTIONS_CIPHERS_S_C:
        return set.ciphers;
    default:
        return set.macs;
    }
}

// libssh drops names that it does not know from a list without a word, so each is offered alone.
TEST(AlgorithmsTest, libssh_knows_each_name_that_we_offer) {
    std::vector<std::pair<ssh_options_e, algorithms::Names>> lists;
    for (const auto* set : {&algorithms::ours(), &algorithms::by_name_alone()})
        for (const auto option :
             {SSH_OPTIONS_KEY_EXCHANGE, SSH_OPTIONS_HOSTKEYS, SSH_OPTIONS_PUBLICKEY_ACCEPTED_TYPES,
              SSH_OPTIONS_CIPHERS_C_S, SSH_OPTIONS_CIPHERS_S_C, SSH_OPTIONS_HMAC_C_S,
              SSH_OPTIONS_HMAC_S_C})
            lists.emplace_back(option, of(*set, option));
    const std::unique_ptr<ssh_session_struct, decltype(&ssh_free)> session(ssh_new(), ssh_free);
    for (const auto& [option, names] : lists) {
        for (const auto& name : names) {
            EXPECT_EQ(ssh_options_set(session.get(), option, name.c_str()), SSH_OK) << name;
        }
        EXPECT_NE(ssh_options_set(session.get(), option, "no-such-algorithm"), SSH_OK);
    }
}

TEST(AlgorithmsTest, nothing_weak_is_offered_unless_it_is_named) {
    const auto& ours = algorithms::ours();
    for (const auto* list : {&ours.key_exchange, &ours.host_keys, &ours.ciphers, &ours.macs}) {
        for (const auto& name : *list) {
            EXPECT_FALSE(algorithms::is_weak(name)) << name;
            for (const auto* weak : {"sha1", "md5", "cbc", "arcfour", "dss", "group1-", "gcm"}) {
                EXPECT_EQ(name.find(weak), std::string_view::npos) << name;
            }
            EXPECT_NE(name, "ssh-rsa"); // signs with SHA-1 (RFC 8332)
        }
    }
}

} // namespace
} // namespace slotwitness::links::test
