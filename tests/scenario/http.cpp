#include "http.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>

namespace slotwitness::scenario {

namespace http = boost::beast::http;

tl::expected<HttpAnswer, std::string> request(const std::string& method, std::uint16_t port,
                                              const std::string& target, const nlohmann::json& body,
                                              const std::string& prefer,
                                              const std::string& if_none_match,
                                              const std::string& if_match) {
    try {
        boost::asio::io_context loop;
        boost::beast::tcp_stream stream(loop);
        stream.connect({boost::asio::ip::address_v4::loopback(), port});
        http::request<http::string_body> asked(http::string_to_verb(method), target, 11);
        asked.set(http::field::host, "127.0.0.1:" + std::to_string(port));
        asked.set(http::field::connection, "close");
        if (!prefer.empty())
            asked.set(http::field::prefer, prefer);
        if (!if_none_match.empty())
            asked.set(http::field::if_none_match, if_none_match);
        if (!if_match.empty())
            asked.set(http::field::if_match, if_match);
        if (!body.is_null()) {
            asked.set(http::field::content_type, "application/json");
            asked.body() = body.dump();
        }
        asked.prepare_payload();
        http::write(stream, asked);
        boost::beast::flat_buffer buffer;
        http::response<http::string_body> answer;
        http::read(stream, buffer, answer);
        HttpAnswer result{answer.result_int(), std::string(answer[http::field::etag]), nullptr};
        if (!answer.body().empty())
            result.body = nlohmann::json::parse(answer.body());
        return result;
    } catch (const std::exception& error) {
        return tl::unexpected(method + " " + target + ": " + error.what());
    }
}

} // namespace slotwitness::scenario
