#include "token.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/journal/utf8.hpp>

#include <openssl/crypto.h>
#include <openssl/rand.h>

#include <stdexcept>

namespace slotwitness::tokens {

namespace {

/// Ids are read over the phone, and a token may have to be typed: no letter looks like a digit.
constexpr std::string_view alphabet = "abcdefghjkmnpqrstuvwxyz23456789";
constexpr std::size_t id_letters = 8;
/// 32 · log2(31) = 158 bits: RFC 6749 §10.10 asks for 128 at least, better 160.
constexpr std::size_t secret_letters = 32;
constexpr std::string_view prefix = "sw1."; // a name by which a leaked one can be searched for

std::string random_letters(std::size_t count) {
    std::string letters;
    while (letters.size() < count) {
        unsigned char byte = 0;
        if (RAND_bytes(&byte, 1) != 1)
            throw std::runtime_error("the system gives no random numbers");
        // Bytes past the last whole multiple would make the first letters likelier.
        if (byte < 256 / alphabet.size() * alphabet.size())
            letters += alphabet[byte % alphabet.size()];
    }
    return letters;
}

/// C0, DEL, and C1 as UTF-8: a name is printed on terminals.
bool has_controls(std::string_view text) {
    for (std::size_t at = 0; at < text.size(); ++at) {
        const auto byte = static_cast<unsigned char>(text[at]);
        const bool c1 =
            byte == 0xC2 && at + 1 < text.size() && static_cast<unsigned char>(text[at + 1]) < 0xA0;
        if (byte < 0x20 || byte == 0x7F || c1)
            return true;
    }
    return false;
}

} // namespace

std::string wrong_person(std::string_view person) {
    if (person.empty() || person.size() > longest_person)
        return "a person's name has 1 to " + std::to_string(longest_person) + " bytes";
    if (!journal::is_utf8(person) || has_controls(person))
        return "a person's name is printable UTF-8";
    if (person.front() == ' ' || person.back() == ' ')
        return "a person's name begins and ends with a letter";
    return "";
}

tl::expected<Made, std::string> make_token(const Wish& wish, WallTime now) {
    if (std::string wrong = wrong_person(wish.person); !wrong.empty())
        return tl::unexpected(std::move(wrong));
    if (wish.lasts <= std::chrono::seconds::zero() || wish.lasts > longest_life)
        return tl::unexpected<std::string>("a token lasts from 1 s to 366 d");
    if (wish.role == Role::rack && wish.procedure.empty())
        return tl::unexpected<std::string>(
            "a rack token is for one procedure: name it with --procedure");
    if (wish.role != Role::rack && !wish.procedure.empty())
        return tl::unexpected<std::string>("only a rack token is for one procedure: leave "
                                           "--procedure out, or make it a rack token");
    Made made;
    Token& token = made.token;
    token.id = random_letters(id_letters);
    token.person = wish.person;
    token.role = wish.role;
    token.procedure = wish.procedure;
    token.made = now;
    token.expires = now + wish.lasts;
    made.text = std::string(prefix) + token.id + '.' + random_letters(secret_letters);
    token.digest = journal::digest_of(made.text);
    return made;
}

const Token* find(std::span<const Token> tokens, std::string_view text) {
    if (!text.starts_with(prefix))
        return nullptr;
    const std::string_view id = text.substr(prefix.size(), id_letters);
    const std::string digest = journal::digest_of(text);
    for (const Token& token : tokens)
        if (token.id == id && token.digest.size() == digest.size() &&
            CRYPTO_memcmp(token.digest.data(), digest.data(), digest.size()) == 0)
            return &token;
    return nullptr;
}

} // namespace slotwitness::tokens
