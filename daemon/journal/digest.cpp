#include "store.hpp"

#include <openssl/evp.h>

#include <array>
#include <new>

namespace slotwitness::journal {

std::string digest_of(std::string_view bytes) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> raw{};
    unsigned int length = 0;
    // It fails only when OpenSSL cannot allocate.
    if (EVP_Digest(bytes.data(), bytes.size(), raw.data(), &length, EVP_sha256(), nullptr) != 1)
        throw std::bad_alloc();
    constexpr std::string_view hex = "0123456789abcdef";
    std::string out;
    out.reserve(2 * length);
    for (unsigned int i = 0; i < length; ++i) {
        out += hex[raw[i] >> 4];
        out += hex[raw[i] & 0xF];
    }
    return out;
}

} // namespace slotwitness::journal
