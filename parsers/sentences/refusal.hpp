#pragma once

#include <slotwitness/state/problem.hpp>

#include <string>
#include <string_view>

namespace slotwitness::sentences {

/// What a person is told at one error point of the grammar.
struct Message {
    std::string_view expected;
    std::string_view remedy; ///< one sentence with an example
    std::string_view words =
        {}; ///< the words that may stand there, blank-separated: a near one is proposed
};

/// Thrown inside the parser, never out of it.
struct Refusal {
    std::size_t column = 1; ///< from 1; one past the end at most
    Message message;
    std::string found = {}; ///< empty: the token that stands at the column
};

/// The token at a column, in valid UTF-8 without control characters; "end of text" behind the last.
[[nodiscard]] std::string token_at(std::string_view text, std::size_t column);

/// The word of a blank-separated list that somebody who wrote `text` most likely meant; empty if
/// none is near.
[[nodiscard]] std::string_view nearest_word(std::string_view text, std::string_view words);

[[nodiscard]] state::Problem to_problem(std::string_view text, const Refusal& refusal);

} // namespace slotwitness::sentences
