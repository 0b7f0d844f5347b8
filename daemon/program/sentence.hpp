#pragma once

#include <slotwitness/sentences/sentence.hpp>

#include <tl/expected.hpp>

#include <string>

namespace slotwitness::program {

/// The gate sentence, or what is wrong in it is printed with its place marked. The error is the
/// exit code.
[[nodiscard]] tl::expected<sentences::Sentence, int> parse_sentence_or_say(const std::string& text);

} // namespace slotwitness::program
