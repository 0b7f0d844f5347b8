#pragma once

#include "role.hpp"

#include <tl/expected.hpp>

#include <chrono>
#include <optional>
#include <span>
#include <string>
#include <string_view>

/// Bearer tokens (RFC 6750): each is one person's, in one role, until it expires.
namespace slotwitness::tokens {

/// The wall clock's: a token is made by another process than the daemon.
using WallTime = std::chrono::sys_seconds;

/// What is kept of a token: never the token itself.
struct Token {
    std::string id;     ///< a part of the token that is no secret: names it in logs and lists
    std::string digest; ///< SHA-256 of the whole token, in hex
    std::string person;
    Role role = Role::viewer;
    std::string procedure; ///< of a rack token: the one that it is for
    WallTime made;
    WallTime expires;
    std::optional<WallTime> revoked;
    friend bool operator==(const Token&, const Token&) = default;
};

/// What somebody wants a token for.
struct Wish {
    std::string person;
    Role role = Role::viewer;
    std::string procedure;
    std::chrono::seconds lasts{};
};

struct Made {
    Token token;
    std::string text; ///< shown once, to the one who made it
};

inline constexpr std::size_t longest_person = 64;
inline constexpr std::chrono::seconds longest_life = std::chrono::days(366);

/// What is wrong with a person's name; empty if nothing is.
[[nodiscard]] std::string wrong_person(std::string_view person);

/// A new token, "sw1.ID.SECRET", of 158 random bits. The error is a sentence with its remedy.
///
/// A fast hash suffices: a slow one protects secrets that people think up, since those can be
/// guessed; these cannot, and the daemon computes the hash at each request.
[[nodiscard]] tl::expected<Made, std::string> make_token(const Wish& wish, WallTime now);

/// The token that the text is; null if it is none of these. Takes as long for a text that is nearly
/// right as for any other with the same id.
[[nodiscard]] const Token* find(std::span<const Token> tokens, std::string_view text);

} // namespace slotwitness::tokens
