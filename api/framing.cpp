#include "framing.hpp"

#include <string_view>

namespace slotwitness::api {

namespace {

/// IMF-fixdate, "Sun, 06 Nov 1994 08:49:37 GMT" (RFC 9110 §5.6.7), free of any locale.
void append_date(std::string& text, std::chrono::sys_seconds at) {
    static constexpr std::string_view days = "SunMonTueWedThuFriSat";
    static constexpr std::string_view months = "JanFebMarAprMayJunJulAugSepOctNovDec";
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss time{at - day};
    const auto two = [&](auto number) -> std::string& {
        text += static_cast<char>('0' + number / 10 % 10);
        text += static_cast<char>('0' + number % 10);
        return text;
    };
    text.append(days.substr(3 * std::chrono::weekday{day}.c_encoding(), 3)).append(", ");
    two(unsigned{date.day()}).append(" ");
    text.append(months.substr(3 * (unsigned{date.month()} - 1), 3)).append(" ");
    two(int{date.year()} / 100);
    two(int{date.year()}).append(" ");
    two(time.hours().count()).append(":");
    two(time.minutes().count()).append(":");
    two(time.seconds().count()).append(" GMT");
}

} // namespace

std::chrono::sys_seconds date_of(const desk::Desk& desk) {
    return std::chrono::sys_seconds{
        std::chrono::floor<std::chrono::seconds>(desk.now().time_since_epoch())};
}

std::string to_bytes(const Response& response, const Framing& framing) {
    std::string bytes;
    append_bytes(bytes, response, framing);
    return bytes;
}

void append_bytes(std::string& bytes, const Response& response, const Framing& framing) {
    const bool bodiless = response.status == 304 || response.status == 204 || response.is_stream;
    using namespace std::string_view_literals;
    bytes.append("HTTP/1.1 "sv).append(std::to_string(response.status)).append(" "sv);
    bytes += reason_phrase(response.status);
    const auto put = [&](std::string_view name, std::string_view value) {
        bytes.append("\r\n"sv).append(name).append(": "sv).append(value);
    };
    bytes += "\r\nDate: "sv;
    append_date(bytes, framing.date);
    bool has_caching = false;
    bool has_policy = false;
    for (const Field& field : response.fields) {
        put(field.name, field.value);
        has_caching = has_caching || same_token(field.name, "Cache-Control"sv);
        has_policy = has_policy || same_token(field.name, "Content-Security-Policy"sv);
    }
    if (!bodiless) // RFC 9112 §6.3: a stream ends with its connection
        put("Content-Length"sv, std::to_string(response.body.size()));
    // What is true now is not true later; and nothing here is for a page of another origin.
    if (!has_caching)
        bytes += "\r\nCache-Control: no-store"sv;
    bytes += "\r\nX-Content-Type-Options: nosniff"sv;
    // Of two policies a browser keeps both, so a page that has one says all of it.
    if (!has_policy)
        bytes += "\r\nContent-Security-Policy: default-src 'none'; frame-ancestors 'none'"sv;
    bytes += "\r\nCross-Origin-Resource-Policy: same-origin\r\nReferrer-Policy: no-referrer"sv;
    if (framing.secure) // RFC 6797 §7.1, §7.2: over TLS alone; a year is common practice, no source
        put("Strict-Transport-Security", "max-age=31536000");
    if (framing.close)
        put("Connection", "close");
    bytes += "\r\n\r\n"sv;
    if (!bodiless && !framing.head_only)
        bytes += response.body;
}

} // namespace slotwitness::api
