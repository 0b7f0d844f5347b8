#pragma once

#include "desk.hpp"

#include <slotwitness/links/link.hpp>

#include <string>

// What is recorded and shown of a router session, by what its link tells.
namespace slotwitness::desk {

/// Why there was no answer, by what a person does about it.
[[nodiscard]] witness::NoAnswer no_answer(links::LinkError::Kind kind);
/// What a session is that could not be set up so: whether trying again may help, an operator must
/// mend something first, or trying again may harm.
[[nodiscard]] Session session_after(links::LinkError::Kind kind);
/// What is recorded of a session; `serial`: as the chassis told it, or empty.
[[nodiscard]] witness::SessionOpened opened(const links::Reached& reached, std::string serial);

} // namespace slotwitness::desk
