#include "http.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::api {

namespace {

constexpr std::array<std::pair<Method, std::string_view>, 9> methods{{
    {Method::get, "GET"},
    {Method::head, "HEAD"},
    {Method::post, "POST"},
    {Method::put, "PUT"},
    {Method::patch, "PATCH"},
    {Method::delete_, "DELETE"},
    {Method::options, "OPTIONS"},
    {Method::trace, "TRACE"},
    {Method::connect, "CONNECT"},
}};

constexpr std::array<std::pair<int, std::string_view>, 28> phrases{{
    {100, "Continue"},
    {200, "OK"},
    {201, "Created"},
    {202, "Accepted"},
    {204, "No Content"},
    {304, "Not Modified"},
    {400, "Bad Request"},
    {401, "Unauthorized"},
    {403, "Forbidden"},
    {404, "Not Found"},
    {405, "Method Not Allowed"},
    {406, "Not Acceptable"},
    {408, "Request Timeout"},
    {409, "Conflict"},
    {412, "Precondition Failed"},
    {413, "Content Too Large"},
    {414, "URI Too Long"},
    {415, "Unsupported Media Type"},
    {417, "Expectation Failed"},
    {421, "Misdirected Request"},
    {422, "Unprocessable Content"},
    {428, "Precondition Required"},
    {429, "Too Many Requests"},
    {431, "Request Header Fields Too Large"},
    {500, "Internal Server Error"},
    {501, "Not Implemented"},
    {503, "Service Unavailable"},
    {505, "HTTP Version Not Supported"},
}};

constexpr char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

std::optional<std::string> joined(const std::vector<Field>& fields, std::string_view name) {
    std::optional<std::string> all;
    for (const Field& field : fields) {
        if (!same_token(field.name, name))
            continue;
        if (all)
            all->append(", ").append(field.value);
        else
            all = field.value;
    }
    return all;
}

constexpr std::string_view hex = "0123456789ABCDEF";

std::optional<int> hex_digit(char c) {
    const auto at = hex.find(c >= 'a' && c <= 'f' ? static_cast<char>(c - 'a' + 'A') : c);
    return at == std::string_view::npos ? std::nullopt : std::optional{static_cast<int>(at)};
}

} // namespace

std::string_view to_word(Method method) {
    for (const auto& [value, word] : methods)
        if (value == method)
            return word;
    return "other";
}

Method method_of(std::string_view token) {
    for (const auto& [value, word] : methods)
        if (word == token)
            return value;
    return Method::other;
}

bool changes_nothing(Method method) {
    return method == Method::get || method == Method::head;
}

bool same_token(std::string_view left, std::string_view right) {
    return left.size() == right.size() &&
           std::ranges::equal(left, right, [](char a, char b) { return lower(a) == lower(b); });
}

std::size_t Request::count(std::string_view name) const {
    return static_cast<std::size_t>(std::ranges::count_if(
        fields, [&](const Field& field) { return same_token(field.name, name); }));
}

std::optional<std::string> Request::field(std::string_view name) const {
    return joined(fields, name);
}

std::optional<std::string> Response::field(std::string_view name) const {
    return joined(fields, name);
}

std::string_view reason_phrase(int status) {
    for (const auto& [value, phrase] : phrases)
        if (value == status)
            return phrase;
    return "";
}

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos)
        return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::vector<std::string_view> list_members(std::string_view value, char separator) {
    std::vector<std::string_view> members;
    const auto take = [&](std::string_view member) {
        if (member = trimmed(member); !member.empty())
            members.push_back(member);
    };
    bool quoted = false;
    std::size_t begin = 0;
    for (std::size_t at = 0; at < value.size(); ++at) {
        if (quoted && value[at] == '\\')
            ++at;
        else if (value[at] == '"')
            quoted = !quoted;
        else if (!quoted && value[at] == separator) {
            take(value.substr(begin, at - begin));
            begin = at + 1;
        }
    }
    take(value.substr(begin));
    return members;
}

std::optional<std::string> percent_decoded(std::string_view text) {
    std::string decoded;
    if (text.find('%') == std::string_view::npos)
        return decoded.assign(text);
    decoded.reserve(text.size());
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (text[at] != '%') {
            decoded += text[at];
            continue;
        }
        if (text.size() - at < 3)
            return std::nullopt;
        const auto high = hex_digit(text[at + 1]);
        const auto low = hex_digit(text[at + 2]);
        if (!high || !low)
            return std::nullopt;
        decoded += static_cast<char>(*high * 16 + *low);
        at += 2;
    }
    return decoded;
}

std::string percent_encoded(std::string_view segment) {
    std::string encoded;
    for (const char c : segment) {
        const bool unreserved = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
                                (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' ||
                                c == '~';
        if (unreserved) {
            encoded += c;
            continue;
        }
        const auto byte = static_cast<unsigned char>(c);
        encoded += '%';
        encoded += hex[byte >> 4U];
        encoded += hex[byte & 15U];
    }
    return encoded;
}

} // namespace slotwitness::api
