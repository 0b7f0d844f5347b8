#include "server.hpp"

#include "connection.hpp"
#include "head.hpp"
#include "problem.hpp"
#include "tcp_transport.hpp"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <spdlog/spdlog.h>

#include <list>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;
using asio::ip::tcp;

/// Lives as long as the server or one of its coroutines.
class Server::Impl : public std::enable_shared_from_this<Impl> {
  public:
    Impl(asio::any_io_executor executor, desk::Desk& desk, const ServerLimits& limits)
        : executor_(std::move(executor)), common_{desk, limits, {}, false}, hard_end_(executor_) {}

    tl::expected<std::uint16_t, std::string> listen(std::string_view address, std::uint16_t port);
    void stop();
    void cut();
    [[nodiscard]] std::size_t connections() const { return connections_.size(); }

  private:
    struct Live {
        explicit Live(tcp::socket socket) : transport(std::move(socket)) {}
        TcpTransport transport;
        asio::cancellation_signal signal;
    };
    using Place = std::list<Live>::iterator;

    asio::awaitable<void> accept_on(std::shared_ptr<tcp::acceptor> acceptor);
    void take(tcp::socket socket);
    void turn_away(tcp::socket socket);
    void ended(Place place);

    asio::any_io_executor executor_;
    Common common_;
    std::list<std::shared_ptr<tcp::acceptor>> acceptors_;
    std::list<Live> connections_;
    asio::steady_timer hard_end_;
};

namespace {

std::string endpoint_text(const tcp::endpoint& endpoint) {
    const std::string address = endpoint.address().to_string();
    return (endpoint.address().is_v6() ? '[' + address + ']' : address) + ':' +
           std::to_string(endpoint.port());
}

} // namespace

tl::expected<std::uint16_t, std::string> Server::Impl::listen(std::string_view address,
                                                              std::uint16_t port) {
    boost::system::error_code error;
    const auto parsed = asio::ip::make_address(std::string{address}, error);
    if (error)
        return tl::unexpected{"cannot listen on \"" + std::string{address} +
                              "\": it is no IP address; write 127.0.0.1 or ::1"};
    if (!parsed.is_loopback())
        return tl::unexpected{
            "will not listen on " + std::string{address} +
            ": only loopback addresses are served; listen on 127.0.0.1 or ::1 and let "
            "people in by a forwarded port or a reverse proxy that knows them"};
    const tcp::endpoint endpoint{parsed, port};
    const auto acceptor = std::make_shared<tcp::acceptor>(executor_);
    const auto failed = [&](std::string_view what, std::string_view remedy) {
        return tl::unexpected{"cannot listen on " + endpoint_text(endpoint) + ": " +
                              std::string{what} + ": " + error.message() + "; " +
                              std::string{remedy}};
    };
    acceptor->open(endpoint.protocol(), error);
    if (error)
        return failed("no socket", "use the other address family or raise the limit of open files");
    acceptor->set_option(tcp::acceptor::reuse_address(true), error);
    if (!error)
        acceptor->bind(endpoint, error);
    if (!error)
        acceptor->listen(asio::socket_base::max_listen_connections, error);
    if (error)
        return failed("the address cannot be taken",
                      "end the program that holds it or choose another port");
    const auto bound = acceptor->local_endpoint(error);
    if (error)
        return failed("the port is not known", "choose a port");
    common_.hosts.add(parsed.to_string());
    acceptors_.push_back(acceptor);
    asio::co_spawn(executor_, accept_on(acceptor), asio::detached);
    return bound.port();
}

asio::awaitable<void> Server::Impl::accept_on(std::shared_ptr<tcp::acceptor> acceptor) {
    const auto self = shared_from_this();
    asio::steady_timer pause{executor_};
    while (acceptor->is_open()) {
        auto accepting = acceptor->async_accept(asio::as_tuple(asio::use_awaitable));
        auto [error, socket] = co_await std::move(accepting);
        if (!acceptor->is_open())
            break;
        if (error) {
            // EMFILE and its kin pass when connections end; a listener that gave up would not come
            // back.
            spdlog::warn("api: cannot accept a connection: {}", error.message());
            pause.expires_after(common_.limits.accept_pause);
            boost::system::error_code ignored;
            co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        } else if (connections_.size() >= common_.limits.connections) {
            turn_away(std::move(socket));
        } else {
            take(std::move(socket));
        }
    }
}

void Server::Impl::take(tcp::socket socket) {
    boost::system::error_code ignored; // small responses go out at once, or a little later
    socket.set_option(tcp::no_delay(true), ignored);
    connections_.emplace_back(std::move(socket));
    const auto place = std::prev(connections_.end());
    asio::co_spawn(
        executor_, serve(place->transport, common_),
        asio::bind_cancellation_slot(place->signal.slot(),
                                     [self = shared_from_this(), place](std::exception_ptr error) {
                                         self->ended(place);
                                         if (error)
                                             std::rethrow_exception(error);
                                     }));
}

/// One try, without waiting: a flood of clients must cost nothing.
void Server::Impl::turn_away(tcp::socket socket) {
    ProblemDetails problem;
    problem.status = 503;
    problem.detail = "All connections are taken.";
    problem.remedy = "Come again, or close connections that are not needed.";
    const auto now = common_.desk.now().time_since_epoch();
    const Framing framing{false, true,
                          std::chrono::sys_seconds{std::chrono::floor<std::chrono::seconds>(now)}};
    const std::string bytes = to_bytes(to_response(problem, ""), framing);
    boost::system::error_code ignored;
    socket.non_blocking(true, ignored);
    socket.write_some(asio::buffer(bytes), ignored);
    socket.shutdown(tcp::socket::shutdown_send, ignored);
}

void Server::Impl::ended(Place place) {
    connections_.erase(place);
    if (connections_.empty())
        hard_end_.cancel();
}

void Server::Impl::stop() {
    if (std::exchange(common_.stopping, true))
        return;
    for (const auto& acceptor : acceptors_) {
        boost::system::error_code ignored;
        acceptor->close(ignored);
    }
    if (connections_.empty())
        return;
    hard_end_.expires_after(common_.limits.stop_time);
    hard_end_.async_wait([self = shared_from_this()](boost::system::error_code error) {
        if (!error)
            self->cut();
    });
    for (auto place = connections_.begin(); place != connections_.end();) {
        Live& live = *place++; // it may end, and leave the list, while it is told
        live.signal.emit(asio::cancellation_type::terminal);
    }
}

void Server::Impl::cut() {
    for (auto place = connections_.begin(); place != connections_.end();) {
        Live& live = *place++;
        live.transport.close();
    }
}

Server::Server(asio::any_io_executor executor, desk::Desk& desk, ServerLimits limits)
    : impl_(std::make_shared<Impl>(std::move(executor), desk, limits)) {}

Server::~Server() {
    impl_->stop();
    impl_->cut();
}

tl::expected<std::uint16_t, std::string> Server::listen(std::string_view address,
                                                        std::uint16_t port) {
    return impl_->listen(address, port);
}

void Server::stop() {
    impl_->stop();
}

std::size_t Server::connections() const {
    return impl_->connections();
}

} // namespace slotwitness::api
