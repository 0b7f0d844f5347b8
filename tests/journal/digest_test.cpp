#include <slotwitness/journal/store.hpp>

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::journal {

/// FIPS 180-4, SHA-256, with the messages of NIST's "Secure Hashing" example values
/// (https://csrc.nist.gov/projects/cryptographic-standards-and-guidelines/example-values): one
/// block, two blocks, a million letters; and the empty message.
TEST(Digest, has_the_published_values_of_sha_256) {
    EXPECT_EQ(digest_of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    EXPECT_EQ(digest_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(digest_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
              "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    EXPECT_EQ(digest_of(std::string(1'000'000, 'a')),
              "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Digest, covers_every_byte_also_behind_a_zero) {
    EXPECT_NE(digest_of(std::string_view("a\0b", 3)), digest_of(std::string_view("a\0c", 3)));
}

} // namespace slotwitness::journal
