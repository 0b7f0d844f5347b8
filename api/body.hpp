#pragma once

#include "problem.hpp"

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>

/// JSON bodies: the one way in and the one way out.
namespace slotwitness::api {

/// Deepest nesting of objects and arrays; ours have one level.
inline constexpr std::size_t deepest_json = 8;
/// Values and members in one body.
inline constexpr std::size_t most_json_values = 256;

/// A body that was read, with the place of each value by its JSON pointer (RFC 6901); a member's
/// place is that of its name.
struct Document {
    nlohmann::json value;
    std::map<std::string, state::Position> places;
};

/// Reads one JSON text (RFC 8259) within the bounds above. A duplicate member is refused (RFC 8259
/// §4 leaves its meaning open), as are bytes after the text. Never throws; `text` may be any bytes.
[[nodiscard]] tl::expected<Document, ProblemDetails> read_json(std::string_view text);

/// A member that a body may have.
struct Known {
    std::string_view name;
    bool required = false;
    bool has_members = false; ///< an object of strings: each is found under `name/member`
};

/// The string members of a body that is one flat object. A member that is not known, one that is
/// required and missing and one that is no string are refused by name and place.
[[nodiscard]] tl::expected<std::map<std::string, std::string>, ProblemDetails>
read_strings(std::string_view text, std::span<const Known> known);

inline constexpr std::string_view json_type = "application/json";
/// Why the request's body is not taken for JSON: 415. A page elsewhere may post a form or plain
/// text to a loopback address, but no JSON without asking first: insisting on the type shuts that
/// door.
[[nodiscard]] std::optional<ProblemDetails> not_json(const Request& request);
/// The response to a body that is not taken.
[[nodiscard]] Response refused_body(const Request& request, const ProblemDetails& problem);

/// A JSON value on one line, as `to_body` otherwise.
template <class Json>
[[nodiscard]] std::string to_line(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// The bytes of a JSON value and a line feed. Bytes that are no UTF-8 (devices print any) become
/// U+FFFD.
template <class Json>
[[nodiscard]] std::string to_body(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

} // namespace slotwitness::api
