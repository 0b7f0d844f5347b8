#pragma once

#include "asker.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Requests and responses as plain values: handlers see no HTTP library.
namespace slotwitness::api {

/// The methods of RFC 9110 §9.3 and RFC 5789. `other` is one that none of them names.
enum class Method { get, head, post, put, patch, delete_, options, trace, connect, other };
[[nodiscard]] std::string_view to_word(Method method);
[[nodiscard]] Method method_of(std::string_view token);
/// RFC 9110 §9.2.1, of the methods that are served here.
[[nodiscard]] bool changes_nothing(Method method);

struct Field {
    std::string name;
    std::string value;
    friend bool operator==(const Field&, const Field&) = default;
};

/// Field names compare without case (RFC 9110 §5.1).
[[nodiscard]] bool same_token(std::string_view left, std::string_view right);

struct Request {
    Method method = Method::get;
    std::string path;  ///< as sent, still percent-encoded, from its first slash
    std::string query; ///< without its question mark
    int minor = 1;     ///< of HTTP/1.x
    std::vector<Field> fields;
    std::string body;
    std::string peer; ///< the client's address
    Asker asker;      ///< set at the door

    [[nodiscard]] std::size_t count(std::string_view name) const;
    /// All lines of this name as one value (RFC 9110 §5.3); nothing if there is none.
    [[nodiscard]] std::optional<std::string> field(std::string_view name) const;
};

struct Response {
    int status = 200;
    std::vector<Field> fields;
    std::string body;
    bool is_stream = false; ///< its body goes on until the connection ends

    [[nodiscard]] std::optional<std::string> field(std::string_view name) const;
};

/// "Not Found": the phrase of RFC 9110 §15 (428, 429, 431: RFC 6585).
[[nodiscard]] std::string_view reason_phrase(int status);

/// The members of a comma-separated list, trimmed, without empty ones; commas inside quoted strings
/// do not separate (RFC 9110 §5.6.1, §5.6.4).
[[nodiscard]] std::vector<std::string_view> list_members(std::string_view value,
                                                         char separator = ',');
/// Without blanks and tabs at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);
/// Percent-decoded (RFC 3986 §2.1); nothing if a "%" is not followed by two hex digits.
[[nodiscard]] std::optional<std::string> percent_decoded(std::string_view text);
/// Percent-encoded, so that it can stand as one segment of a path.
[[nodiscard]] std::string percent_encoded(std::string_view segment);

} // namespace slotwitness::api
