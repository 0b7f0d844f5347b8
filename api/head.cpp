#include "head.hpp"

#include <boost/asio/buffer.hpp>
#include <boost/beast/http/basic_parser.hpp>
#include <boost/beast/http/error.hpp>

#include <algorithm>
#include <charconv>
#include <optional>
#include <string>

namespace slotwitness::api {

namespace http = boost::beast::http;

namespace {

/// Beast reads the head; what it finds goes into the request at once.
class HeadParser final : public http::basic_parser<true> {
  public:
    explicit HeadParser(Request& request) : request_(request) {}
    std::string target;

  private:
    using Error = boost::system::error_code;
    using Text = boost::beast::string_view;

    void on_request_impl(http::verb, Text method, Text its_target, int version, Error&) override {
        request_.method = method_of({method.data(), method.size()});
        request_.minor = version % 10;
        target = its_target;
    }
    void on_field_impl(http::field, Text name, Text value, Error&) override {
        request_.fields.push_back({std::string{name}, std::string{value}});
    }
    void on_response_impl(int, Text, int, Error&) override {}
    void on_header_impl(Error&) override {}
    void on_body_init_impl(const boost::optional<std::uint64_t>&, Error&) override {}
    std::size_t on_body_impl(Text, Error&) override { return 0; }
    void on_chunk_header_impl(std::uint64_t, Text, Error&) override {}
    std::size_t on_chunk_body_impl(std::uint64_t, Text, Error&) override { return 0; }
    void on_finish_impl(Error&) override {}

    Request& request_;
};

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
    if (question != std::string::npos) {
        request.query = target.substr(question + 1);
        target.resize(question);
    }
    request.path = std::move(target);
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

} // namespace

tl::expected<std::size_t, ProblemDetails> head_end(std::string_view bytes,
                                                   const ServerLimits& limits) {
    const std::size_t most = std::min(bytes.size(), limits.header_bytes);
    for (std::size_t at = 0; at < most; ++at) {
        if (bytes[at] == '\0')
            return tl::unexpected{bad(400, "The head has a NUL.", "", "NUL", "Leave it out.")};
        if (bytes[at] != '\n')
            continue;
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
    Head result;
    Request& request = result.request;
    request.fields.reserve(8);
    HeadParser parser{request};
    parser.header_limit(static_cast<std::uint32_t>(limits.header_bytes + 1));
    parser.body_limit(boost::none); // our own check says more
    boost::system::error_code error;
    parser.put(boost::asio::buffer(head.data(), head.size()), error);
    if (error)
        return tl::unexpected{parse_problem(error)};
    if (auto problem = smuggling(request))
        return tl::unexpected{std::move(*problem)};
    if (parser.target.size() > limits.target_bytes)
        return tl::unexpected{bad(414, "The target is too long.", "",
                                  std::to_string(parser.target.size()) + " bytes",
                                  "At most " + std::to_string(limits.target_bytes) + " bytes.")};
    const auto authority = split_target(std::move(parser.target), request);
    if (!authority)
        return tl::unexpected{authority.error()};
    if (auto problem = wrong_host(request, *authority, hosts))
        return tl::unexpected{std::move(*problem)};
    const auto length = length_of(request, limits);
    if (!length)
        return tl::unexpected{length.error()};
    result.body = *length;
    // A client of HTTP/1.0 gets one response: the simplest that is right.
    result.keep_alive = request.minor >= 1 && parser.keep_alive();
    if (const auto expect = request.field("Expect"); expect && request.minor >= 1) {
        if (!same_token(*expect, "100-continue")) // RFC 9110 §10.1.1
            return tl::unexpected{bad(417, "This expectation is not met here.", "Expect", *expect,
                                      "Send 100-continue or nothing.")};
        result.expects_continue = result.body > 0;
    }
    return result;
}

} // namespace slotwitness::api
