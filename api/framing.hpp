#pragma once

#include "http.hpp"

#include <slotwitness/desk/desk.hpp>

#include <chrono>
#include <string>

/// A response as bytes: status line and fields, as all responses have them, and the body. Pure.
namespace slotwitness::api {

/// The bytes of a response with the fields that all have. `date` is Unix time; a response to HEAD
/// and a 304 carry no body.
struct Framing {
    bool head_only = false;
    bool close = false;
    std::chrono::sys_seconds date{};
    bool secure = false; ///< it goes over TLS
};
/// What stands in Date now.
[[nodiscard]] std::chrono::sys_seconds date_of(const desk::Desk& desk);
[[nodiscard]] std::string to_bytes(const Response& response, const Framing& framing);
/// The same at the end of `bytes`: who sends much uses one buffer for all.
void append_bytes(std::string& bytes, const Response& response, const Framing& framing);

} // namespace slotwitness::api
