#pragma once

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// One reference token of a JSON Pointer, with "~1" and "~0" undone.
struct Token {
    std::string text;
    bool any = false; ///< `*`: every member of an object, every element of an array
    friend bool operator==(const Token&, const Token&) = default;
};

/// Which tokens `*` a pointer may have. Where it may have any, a member whose own name is "*"
/// cannot be named.
enum class Wildcards { none, one, many };

/// A JSON Pointer (RFC 6901) as a list of tokens; no token at all is the whole document.
struct Pointer {
    std::vector<Token> tokens;
    friend bool operator==(const Pointer&, const Pointer&) = default;
};

/// Reads "" or "/token/token" as RFC 6901, section 3, writes it. The problem's column counts bytes
/// from 1; `where` is for the caller.
[[nodiscard]] tl::expected<Pointer, state::Problem> parse_pointer(std::string_view text,
                                                                  Wildcards wildcards);

/// The pointer as RFC 6901 writes it, of its first `count` tokens only.
[[nodiscard]] std::string to_text(const Pointer& pointer,
                                  std::size_t count = static_cast<std::size_t>(-1));

/// The token names this member of an object.
[[nodiscard]] bool is_member(const Token& token, std::string_view name);
/// The token names the element `index` of an array: digits without a leading zero (RFC 6901,
/// section 4). "-" names none, for it means the one after the last.
[[nodiscard]] bool is_element(const Token& token, std::size_t index);

} // namespace slotwitness::layouts
