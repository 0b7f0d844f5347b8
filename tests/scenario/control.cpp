#include "control.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>

namespace slotwitness::scenario {

tl::expected<std::string, std::string> control(const std::string& socket, const std::string& line) {
    try {
        boost::asio::io_context loop;
        boost::asio::local::stream_protocol::socket stream(loop);
        stream.connect({socket});
        boost::asio::write(stream, boost::asio::buffer(line + "\n"));
        std::string answer;
        const std::size_t length =
            boost::asio::read_until(stream, boost::asio::dynamic_buffer(answer), '\n');
        return answer.substr(0, length - 1);
    } catch (const std::exception& error) {
        return tl::unexpected("control socket " + socket + ": " + error.what());
    }
}

} // namespace slotwitness::scenario
