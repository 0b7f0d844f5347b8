#pragma once

#include "answer.hpp"
#include "body.hpp"
#include "http.hpp"
#include "preconditions.hpp"
#include "problem.hpp"
#include "rendered.hpp"

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

/// What gates and procedures have in common as resources: how they are shown, and how a body comes.
namespace slotwitness::api {

inline constexpr std::string_view text_type = "text/plain";

/// A body and what it is.
struct Content {
    std::string_view type;
    std::string body;
};
/// The response to a GET of something with a tag: 200 with what `make` gives, 304 or 412.
[[nodiscard]] Response unless_known(const Request& request, const EntityTag& tag,
                                    const std::function<Content()>& make);
/// The same of what is told as JSON or as text: 406 besides.
[[nodiscard]] Response conditional(const Request& request, const EntityTag& tag,
                                   const std::function<std::string()>& make_json,
                                   const std::function<std::string()>& make_text);
/// The same of a gate or a procedure, with what was made of it already; it may have been waited
/// for.
[[nodiscard]] Response conditional(const Request& request, const Rendered& rendered);

/// The response to a GET with `Prefer: wait`: what is shown now, or a wait for `change` from there.
/// `revision` is that of what is shown; `is_over`: it is decided, or closed.
[[nodiscard]] Next shown_or_awaited(const Request& request, Response shown, AwaitChange change,
                                    std::uint64_t revision, bool is_over);

/// 406. `made`: the media types that are.
[[nodiscard]] Response not_acceptable(const Request& request, std::string_view made);

[[nodiscard]] Response precondition_failed(const Request& request, const EntityTag& current);

/// draft-ietf-httpapi-idempotency-key-header-07 §2.1: a string in double quotes (RFC 8941 §3.3.3);
/// a bare word is taken as well. It counts for the asker's token alone (§2.3 leaves the scope to
/// the server), and so begins with its id. Empty without the field.
[[nodiscard]] tl::expected<std::string, ProblemDetails> idempotency_key(const Request& request);

/// A read-back code and how it is spoken, as `code` and `code_spelled`; both null if there is none.
void show_code(nlohmann::json& out, const std::string& code);
/// "  code K7F (Kilo Seven Foxtrot)"; empty if there is none.
[[nodiscard]] std::string code_text(const std::string& code);

/// Device text must not drive the terminal of the person who reads it: C0, DEL, and C1 as UTF-8.
[[nodiscard]] std::string printable(std::string_view text);

} // namespace slotwitness::api
