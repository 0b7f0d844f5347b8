#include "head.hpp"

#include <boost/asio/buffer.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/parser.hpp>

#include <algorithm>
#include <array>
#include <charconv>

namespace slotwitness::api {

namespace http = boost::beast::http;

namespace {

ProblemDetails bad(int status, std::string detail, std::string field, std::string found,
                   std::string remedy) {
    ProblemDetails problem;
    problem.status = status;
    problem.detail = std::move(detail);
    problem.field = std::move(field);
    problem.found = std::move(found);
    problem.remedy = std::move(remedy);
    return problem;
}

ProblemDetails too_large(std::string_view bytes, const ServerLimits& limits) {
    // Without an end of the first line it is the target that fills the head.
    if (bytes.find('\n') == std::string_view::npos)
        return bad(414, "The target is too long.", "", std::to_string(bytes.size()) + " bytes",
                   "At most " + std::to_string(limits.target_bytes) + " bytes.");
    return bad(431, "The header fields are too large.", "", std::to_string(bytes.size()) + " bytes",
               "At most " + std::to_string(limits.header_bytes) + " bytes in all.");
}

/// A line that begins with a blank continues the one before (RFC 9112 §5.2); a bare CR may be taken
/// for a line end by the next reader (RFC 9112 §2.2).
std::optional<ProblemDetails> malformed_lines(std::string_view head) {
    for (std::size_t at = head.find('\r'); at != std::string_view::npos;
         at = head.find('\r', at + 1)) {
        if (head[at + 1] != '\n') // the head ends in LF
            return bad(400, "The head has a bare CR.", "", "CR",
                       "End lines with CR LF (RFC 9112).");
        if (at + 2 < head.size() && (head[at + 2] == ' ' || head[at + 2] == '\t'))
            return bad(400, "A header field is folded over two lines.", "", "obs-fold",
                       "Write the field on one line (RFC 9112 §5.2).");
    }
    return std::nullopt;
}

ProblemDetails parse_problem(const boost::system::error_code& error) {
    if (error == http::error::bad_version)
        return bad(505, "Only HTTP/1.1 and HTTP/1.0 are spoken here.", "", "another version",
                   "Use HTTP/1.1.");
    if (error == http::error::multiple_content_length)
        return bad(400, "The request has two lengths.", "Content-Length", "two of them",
                   "Send one.");
    if (error == http::error::bad_transfer_encoding) // it came beside a length, or twice
        return bad(400, "The request has a transfer coding that leaves its length open.",
                   "Transfer-Encoding", "", "Send Content-Length alone.");
    if (error == http::error::bad_content_length)
        return bad(400, "The length is no number.", "Content-Length", "",
                   "Send one decimal number.");
    return bad(400, "The request cannot be read: " + error.message() + ".", "", "",
               "Send an HTTP/1.1 request (RFC 9112).");
}

/// RFC 9112 §6.1: a request with both lengths, or with a coding, may be read in two ways by two
/// readers.
std::optional<ProblemDetails> smuggling(const Request& request) {
    if (request.count("Transfer-Encoding") > 0) {
        if (request.count("Content-Length") > 0)
            return bad(400, "The request has a length and a transfer coding.", "Transfer-Encoding",
                       *request.field("Transfer-Encoding"), "Send Content-Length alone.");
        return bad(501, "Transfer codings are not taken here.", "Transfer-Encoding",
                   *request.field("Transfer-Encoding"), "Send the body with Content-Length.");
    }
    if (request.count("Content-Length") > 1)
        return bad(400, "The request has two lengths.", "Content-Length",
                   *request.field("Content-Length"), "Send one.");
    return std::nullopt;
}

tl::expected<std::size_t, ProblemDetails> length_of(const Request& request,
                                                    const ServerLimits& limits) {
    const auto value = request.field("Content-Length");
    if (!value)
        return 0;
    std::size_t length = 0;
    const char* const end = value->data() + value->size();
    const auto [at, error] = std::from_chars(value->data(), end, length);
    if (error == std::errc::invalid_argument || at != end)
        return tl::unexpected{bad(400, "The length is no number.", "Content-Length", *value,
                                  "Send one decimal number.")};
    if (error == std::errc::result_out_of_range || length > limits.body_bytes)
        return tl::unexpected{bad(413, "The body is too large.", "Content-Length", *value,
                                  "At most " + std::to_string(limits.body_bytes) + " bytes.")};
    return length;
}

/// Splits the target (RFC 9112 §3.2) and gives the authority that it names, if it does.
tl::expected<std::optional<std::string>, ProblemDetails> split_target(std::string target,
                                                                      Request& request) {
    std::optional<std::string> authority;
    for (const std::string_view scheme : {"http://", "https://"}) {
        if (!same_token(std::string_view{target}.substr(0, scheme.size()), scheme))
            continue;
        const auto end = std::min(target.find_first_of("/?", scheme.size()), target.size());
        authority = target.substr(scheme.size(), end - scheme.size());
        target.erase(0, end);
        if (!target.starts_with('/'))
            target.insert(0, 1, '/');
    }
    if (!target.starts_with('/')) {
        const bool known = request.method == Method::options || request.method == Method::connect;
        return tl::unexpected{
            bad(known ? 501 : 400, "The target is no path.", "", target, "Begin it with a slash.")};
    }
    const auto question = target.find('?');
    if (question != std::string::npos)
        request.query = target.substr(question + 1);
    request.path = target.substr(0, question);
    if (!percent_decoded(request.path))
        return tl::unexpected{bad(400, "The target has a \"%\" without two hex digits.", "",
                                  request.path, "Write a percent sign as %25 (RFC 3986 §2.1).")};
    return authority;
}

std::optional<ProblemDetails> wrong_host(const Request& request,
                                         const std::optional<std::string>& authority,
                                         const Hosts& hosts) {
    const auto host = request.field("Host");
    if (request.count("Host") > 1 || (!host && request.minor >= 1)) // RFC 9112 §3.2
        return bad(400, "The request needs one Host.", "Host", host ? *host : "nothing",
                   "Send one of " + hosts.to_text() + ".");
    const auto& named = authority ? authority : host; // RFC 9112 §3.2.2: the target's own counts
    if (!named || hosts.accept(*named))
        return std::nullopt;
    return bad(421, "This server does not go by that name.", "Host", *named,
               "Use one of " + hosts.to_text() + ".");
}

/// IMF-fixdate, "Sun, 06 Nov 1994 08:49:37 GMT" (RFC 9110 §5.6.7), free of any locale.
std::string http_date(std::chrono::sys_seconds at) {
    static constexpr std::array days{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    static constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                       "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss time{at - day};
    const auto two = [](auto number) {
        const std::string digits = std::to_string(number);
        return digits.size() < 2 ? '0' + digits : digits;
    };
    std::string text = days[std::chrono::weekday{day}.c_encoding()];
    text.append(", ").append(two(unsigned{date.day()})).append(" ");
    text.append(months[unsigned{date.month()} - 1]).append(" ");
    text.append(std::to_string(int{date.year()})).append(" ");
    text.append(two(time.hours().count())).append(":").append(two(time.minutes().count()));
    return text.append(":").append(two(time.seconds().count())).append(" GMT");
}

} // namespace

tl::expected<std::size_t, ProblemDetails> head_end(std::string_view bytes,
                                                   const ServerLimits& limits) {
    for (std::size_t at = bytes.find_first_of(std::string_view{"\n\0", 2});
         at != std::string_view::npos && at < limits.header_bytes;
         at = bytes.find_first_of(std::string_view{"\n\0", 2}, at + 1)) {
        if (bytes[at] == '\0')
            return tl::unexpected{bad(400, "The head has a NUL.", "", "NUL", "Leave it out.")};
        if (at == 0 || bytes[at - 1] != '\r')
            return tl::unexpected{bad(400, "A line ends in a bare LF.", "", "LF",
                                      "End lines with CR LF (RFC 9112).")};
        if (at >= 3 && bytes.substr(at - 3, 4) == "\r\n\r\n")
            return at + 1;
    }
    if (bytes.size() >= limits.header_bytes)
        return tl::unexpected{too_large(bytes.substr(0, limits.header_bytes), limits)};
    return 0;
}

tl::expected<Head, ProblemDetails> read_head(std::string_view head, const Hosts& hosts,
                                             const ServerLimits& limits) {
    if (auto problem = malformed_lines(head))
        return tl::unexpected{std::move(*problem)};
    http::request_parser<http::empty_body> parser;
    parser.header_limit(static_cast<std::uint32_t>(limits.header_bytes + 1));
    parser.body_limit(boost::none); // our own check says more
    boost::system::error_code error;
    parser.put(boost::asio::buffer(head.data(), head.size()), error);
    if (error)
        return tl::unexpected{parse_problem(error)};
    const auto& message = parser.get();

    Head result;
    Request& request = result.request;
    request.method = method_of({message.method_string().data(), message.method_string().size()});
    request.minor = message.version() % 10;
    for (const auto& field : message)
        request.fields.push_back({std::string{field.name_string()}, std::string{field.value()}});
    if (auto problem = smuggling(request))
        return tl::unexpected{std::move(*problem)};
    std::string target{message.target()};
    if (target.size() > limits.target_bytes)
        return tl::unexpected{bad(414, "The target is too long.", "",
                                  std::to_string(target.size()) + " bytes",
                                  "At most " + std::to_string(limits.target_bytes) + " bytes.")};
    const auto authority = split_target(std::move(target), request);
    if (!authority)
        return tl::unexpected{authority.error()};
    if (auto problem = wrong_host(request, *authority, hosts))
        return tl::unexpected{std::move(*problem)};
    const auto length = length_of(request, limits);
    if (!length)
        return tl::unexpected{length.error()};
    result.body = *length;
    // A client of HTTP/1.0 gets one response: the simplest that is right.
    result.keep_alive = request.minor >= 1 && message.keep_alive();
    if (const auto expect = request.field("Expect"); expect && request.minor >= 1) {
        if (!same_token(*expect, "100-continue")) // RFC 9110 §10.1.1
            return tl::unexpected{bad(417, "This expectation is not met here.", "Expect", *expect,
                                      "Send 100-continue or nothing.")};
        result.expects_continue = result.body > 0;
    }
    return result;
}

std::chrono::sys_seconds date_of(const desk::Desk& desk) {
    return std::chrono::sys_seconds{
        std::chrono::floor<std::chrono::seconds>(desk.now().time_since_epoch())};
}

std::string to_bytes(const Response& response, const Framing& framing) {
    const bool bodiless = response.status == 304 || response.status == 204 || response.is_stream;
    std::string bytes = "HTTP/1.1 " + std::to_string(response.status) + ' ';
    bytes += reason_phrase(response.status);
    const auto put = [&](std::string_view name, std::string_view value) {
        bytes.append("\r\n").append(name).append(": ").append(value);
    };
    put("Date", http_date(framing.date));
    for (const Field& field : response.fields)
        put(field.name, field.value);
    if (!bodiless) // RFC 9112 §6.3: a stream ends with its connection
        put("Content-Length", std::to_string(response.body.size()));
    // What is true now is not true later; and nothing here is for a page of another origin.
    if (!response.field("Cache-Control"))
        put("Cache-Control", "no-store");
    put("X-Content-Type-Options", "nosniff");
    // Of two policies a browser keeps both, so a page that has one says all of it.
    if (!response.field("Content-Security-Policy"))
        put("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'");
    put("Cross-Origin-Resource-Policy", "same-origin");
    put("Referrer-Policy", "no-referrer");
    if (framing.secure) // RFC 6797 §7.1, §7.2: over TLS alone; a year is common practice, no source
        put("Strict-Transport-Security", "max-age=31536000");
    if (framing.close)
        put("Connection", "close");
    bytes += "\r\n\r\n";
    if (!bodiless && !framing.head_only)
        bytes += response.body;
    return bytes;
}

} // namespace slotwitness::api
