#include "control_socket.hpp"

#include <boost/asio/buffer.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>

#include <memory>

namespace slotwitness::chassis {

namespace asio = boost::asio;
using asio::local::stream_protocol;

namespace {

constexpr std::size_t longest_line = 4096;

/// Whether a socket file is left over from a program that is gone.
bool is_left_over(const std::filesystem::path& path) {
    std::error_code ignored;
    if (!std::filesystem::is_socket(path, ignored))
        return false;
    asio::io_context io;
    stream_protocol::socket socket(io);
    boost::system::error_code error;
    socket.connect(stream_protocol::endpoint(path.string()), error);
    return error == asio::error::connection_refused;
}

} // namespace

class ControlSocket::Connection : public std::enable_shared_from_this<Connection> {
  public:
    Connection(stream_protocol::socket socket, const Obey& obey)
        : socket_(std::move(socket)), obey_(obey) {}

    void read() {
        asio::async_read_until(
            socket_, asio::dynamic_buffer(received_, longest_line), '\n',
            [self = shared_from_this()](const boost::system::error_code& error, std::size_t size) {
                if (!error)
                    self->answer(size);
                else if (error == asio::error::not_found)
                    self->refuse_long_line();
            });
    }

  private:
    void answer(std::size_t size) {
        std::string line = received_.substr(0, size - 1);
        received_.erase(0, size);
        if (!line.empty() && line.back() == '\r')
            line.pop_back();
        reply_ = obey_(line) + "\n";
        asio::async_write(
            socket_, asio::buffer(reply_),
            [self = shared_from_this()](const boost::system::error_code& error, std::size_t) {
                if (!error)
                    self->read();
            });
    }

    void refuse_long_line() {
        reply_ = R"({"done":false,"error":"line longer than 4096 bytes"})"
                 "\n";
        asio::async_write(
            socket_, asio::buffer(reply_),
            [self = shared_from_this()](const boost::system::error_code&, std::size_t) {});
    }

    stream_protocol::socket socket_;
    Obey obey_;
    std::string received_;
    std::string reply_;
};

ControlSocket::ControlSocket(asio::io_context& io, Obey obey)
    : acceptor_(io), obey_(std::move(obey)) {}

ControlSocket::~ControlSocket() {
    close();
}

tl::expected<void, std::string> ControlSocket::open(const std::filesystem::path& path) {
    constexpr std::size_t longest_path = 107; // sun_path of unix(7), without its zero
    if (path.string().size() > longest_path)
        return tl::unexpected(path.string() + ": longer than 107 bytes; name a shorter path");
    std::error_code ignored;
    if (is_left_over(path))
        std::filesystem::remove(path, ignored);
    boost::system::error_code error;
    acceptor_.open(stream_protocol(), error);
    if (!error)
        acceptor_.bind(stream_protocol::endpoint(path.string()), error);
    if (!error) {
        path_ = path;
        acceptor_.listen(asio::socket_base::max_listen_connections, error);
    }
    if (error)
        return tl::unexpected(path.string() + ": " + error.message() +
                              "; name a path that is free, in a folder that can be written");
    accept();
    return {};
}

void ControlSocket::accept() {
    acceptor_.async_accept(
        [this](const boost::system::error_code& error, stream_protocol::socket socket) {
            if (error == asio::error::operation_aborted)
                return;
            if (!error)
                std::make_shared<Connection>(std::move(socket), obey_)->read();
            accept();
        });
}

void ControlSocket::close() {
    boost::system::error_code ignored;
    acceptor_.close(ignored);
    std::error_code gone;
    if (!path_.empty())
        std::filesystem::remove(path_, gone);
    path_.clear();
}

} // namespace slotwitness::chassis
