#pragma once

#include "link.hpp"

namespace slotwitness::links {

// What a device says when it refuses, each reason with its own remedy. The texts quote the
// profile's words, never the device's own: those may be long, and made to mislead.

/// Of a refused login; `who` tells where, and as whom if that was said.
[[nodiscard]] LinkError refused_login(const std::string& who, const profiles::Refusals::Told& told);
/// Why the device did not run a query; empty where it says nothing that the profile knows.
[[nodiscard]] std::string refused_answer(const profiles::Refusals& refusals, std::string_view said);
/// The same where no exit status tells a refusal from an answer: of a short answer alone, for the
/// words may stand in the midst of any long one.
[[nodiscard]] std::string refused_shell_answer(const profiles::Refusals& refusals,
                                               std::string_view answer);
/// Of a channel that the device did not open, by libssh's complaint about it: for want of resources
/// (RFC 4254, section 5.1), or by the profile's words; nothing where neither tells why.
[[nodiscard]] std::optional<LinkError> refused_channel(const std::string& where,
                                                       const profiles::Refusals& refusals,
                                                       std::string_view complaint);

/// What libssh says, for behind a sentence: " (…)"; empty where it says nothing.
[[nodiscard]] std::string in_brackets(const std::string& complaint);

} // namespace slotwitness::links
