#pragma once

#include "token.hpp"

#include <slotwitness/keys/file.hpp>
#include <slotwitness/state/problem.hpp>

#include <functional>
#include <vector>

/// The file that keeps tokens: TOML, a table each, of the daemon's user alone.
namespace slotwitness::tokens {

[[nodiscard]] std::string to_text(std::span<const Token> tokens);
/// Every fault is a problem with its place; with one of them no token counts.
[[nodiscard]] tl::expected<std::vector<Token>, std::vector<state::Problem>>
parse_tokens(const keys::File& file);

/// The error says what is wrong, and the remedy: no such file, one that others may read, a fault.
[[nodiscard]] tl::expected<std::vector<Token>, std::string> load_tokens(const std::string& path);

/// What somebody does to the tokens; the error is a sentence, and nothing changes then.
using Edit = std::function<tl::expected<void, std::string>(std::vector<Token>&)>;
/// Reads the file (none is an empty one), edits, and puts a new one in its place at once, so that a
/// reader sees the one or the other. Two at a time wait for each other.
[[nodiscard]] tl::expected<void, std::string> edit_tokens(const std::string& path,
                                                          const Edit& edit);

/// How many tokens of one rack may count at a time: more people do not stand there.
inline constexpr std::size_t most_of_a_rack = 32;

/// Keeps a new token; what ended long ago is forgotten meanwhile. The error is a sentence with its
/// remedy: the file's, or too many of one rack.
[[nodiscard]] tl::expected<void, std::string> keep_token(const std::string& path,
                                                         const Token& token, WallTime now);

} // namespace slotwitness::tokens
