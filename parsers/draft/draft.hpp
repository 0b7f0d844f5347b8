#pragma once

#include <span>
#include <string>

/// A first profile from captured text. It finds how the text is laid out; what the text means only
/// a person with the device's handbook can say, so nothing is guessed that a gate could pass on.
namespace slotwitness::draft {

struct Sample {
    std::string name; ///< names the query: "slots" of slots.txt
    std::string text; ///< the answer as the device sent it
};

/// TOML that profiles::parse_profile accepts, a query a sample (there is one at
/// least). Words of the device stand in
/// [words.…] as comments to be mapped; until then a word is a fact that is unknown, with a remark.
/// Numbers are read only where their unit says what they measure. What could not be found out, and
/// lines that the draft does not read, are named in comments. Commands are not known: `ask` holds a
/// word that stands for one.
[[nodiscard]] std::string draft_profile(std::span<const Sample> samples);

} // namespace slotwitness::draft
