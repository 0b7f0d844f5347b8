#include "server.hpp"

#include "acceptor.hpp"
#include "connection.hpp"
#include "deadlines.hpp"
#include "head.hpp"
#include "problem.hpp"
#include "stream_transport.hpp"

#include <slotwitness/log/log.hpp>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <functional>
#include <list>
#include <unistd.h>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;
using asio::ip::tcp;
using Local = asio::local::stream_protocol;

/// Lives as long as the server or one of its coroutines.
class Server::Impl : public std::enable_shared_from_this<Impl> {
  public:
    Impl(asio::any_io_executor executor, desk::Desk& desk, const ServerLimits& limits,
         Access access)
        : executor_(std::move(executor)),
          access_(std::move(access)), common_{desk,  limits, {}, Door{access_.tokens, limits},
                                              false, {},     {}},
          deadlines_([this](Deadlines::Time at) { wake_at(at); }), next_deadline_(executor_),
          hard_end_(executor_) {
        common_.secure = access_.tls != nullptr;
        for (std::string& name : access_.names)
            common_.hosts.add_name(std::move(name));
    }

    tl::expected<std::uint16_t, std::string> listen(std::string_view address, std::uint16_t port);
    tl::expected<void, std::string> listen_on_socket(const std::string& path);
    void stop();
    void cut();
    void use(std::unique_ptr<Tls> tls) { access_.tls = std::move(tls); }
    [[nodiscard]] std::size_t connections() const { return connections_.size(); }

  private:
    struct Live {
        explicit Live(std::unique_ptr<Transport> its_transport)
            : transport(std::move(its_transport)) {}
        std::unique_ptr<Transport> transport;
        asio::cancellation_signal signal;
    };
    using Place = std::list<Live>::iterator;

    template <class Acceptor>
    asio::awaitable<void> accept_on(std::shared_ptr<Acceptor> acceptor);
    template <class Acceptor>
    void begin_accepting(std::shared_ptr<Acceptor> acceptor);
    [[nodiscard]] std::unique_ptr<Transport> transport_over(tcp::socket socket);
    [[nodiscard]] std::unique_ptr<Transport> transport_over(Local::socket socket);
    void take(std::unique_ptr<Transport> transport);
    template <class Socket>
    void turn_away(Socket socket);
    asio::awaitable<void> converse(Transport& transport);
    void ended(Place place);
    void wake_at(Deadlines::Time at);

    asio::any_io_executor executor_;
    Access access_;
    Common common_;
    std::list<std::function<void()>> close_acceptors_;
    Deadlines deadlines_; ///< of the connections
    asio::steady_timer next_deadline_;
    std::list<Live> connections_;
    std::size_t handshakes_ = 0;
    asio::steady_timer hard_end_;
};

namespace {

std::string address_of(const tcp::socket& socket) {
    boost::system::error_code error;
    const auto endpoint = socket.remote_endpoint(error);
    return error ? std::string{} : endpoint.address().to_string();
}

} // namespace

tl::expected<std::uint16_t, std::string> Server::Impl::listen(std::string_view address,
                                                              std::uint16_t port) {
    boost::system::error_code error;
    const auto parsed = asio::ip::make_address(std::string{address}, error);
    if (error)
        return tl::unexpected{"cannot listen on \"" + std::string{address} +
                              "\": it is no IP address; write 127.0.0.1 or ::1"};
    if (!parsed.is_loopback() && (!access_.tls || access_.tokens == nullptr))
        return tl::unexpected{
            "will not listen on " + std::string{address} +
            ": beyond loopback it takes TLS and tokens; add [daemon.tls] and tokens to the "
            "configuration, or listen on 127.0.0.1 or ::1"};
    auto opened = open_acceptor(executor_, tcp::endpoint{parsed, port});
    if (!opened)
        return tl::unexpected{std::move(opened.error())};
    const auto acceptor = std::make_shared<tcp::acceptor>(std::move(*opened));
    common_.hosts.add(parsed.to_string());
    begin_accepting(acceptor);
    return acceptor->local_endpoint().port();
}

tl::expected<void, std::string> Server::Impl::listen_on_socket(const std::string& path) {
    if (access_.tokens == nullptr)
        return tl::unexpected{"will not listen on unix:" + path +
                              ": behind a proxy it takes tokens; add tokens to the configuration"};
    auto opened = open_acceptor(executor_, path);
    if (!opened)
        return tl::unexpected{std::move(opened.error())};
    close_acceptors_.emplace_back([path] { ::unlink(path.c_str()); });
    begin_accepting(std::make_shared<Local::acceptor>(std::move(*opened)));
    return {};
}

template <class Acceptor>
void Server::Impl::begin_accepting(std::shared_ptr<Acceptor> acceptor) {
    close_acceptors_.emplace_back([acceptor] {
        boost::system::error_code ignored;
        acceptor->close(ignored);
    });
    // The handler holds the server: it may be gone before the loop has begun the coroutine.
    asio::co_spawn(executor_, accept_on(std::move(acceptor)),
                   [self = shared_from_this()](std::exception_ptr error) {
                       if (error)
                           std::rethrow_exception(error);
                   });
}

template <class Acceptor>
asio::awaitable<void> Server::Impl::accept_on(std::shared_ptr<Acceptor> acceptor) {
    asio::steady_timer pause{executor_};
    while (acceptor->is_open()) {
        auto accepting = acceptor->async_accept(asio::as_tuple(asio::use_awaitable));
        auto [error, socket] = co_await std::move(accepting);
        if (!acceptor->is_open())
            break;
        if (error) {
            // EMFILE and its kin pass when connections end; a listener that gave up would not come
            // back.
            log::tell(log::Level::warning, log::Event::connection, {},
                      "api: cannot accept a connection: " + error.message());
            pause.expires_after(common_.limits.accept_pause);
            boost::system::error_code ignored;
            co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        } else if (connections_.size() >= common_.limits.connections ||
                   handshakes_ >= common_.limits.handshakes) {
            turn_away(std::move(socket));
        } else {
            take(transport_over(std::move(socket)));
        }
    }
}

std::unique_ptr<Transport> Server::Impl::transport_over(tcp::socket socket) {
    boost::system::error_code ignored; // small responses go out at once, or a little later
    socket.set_option(tcp::no_delay(true), ignored);
    std::string peer = address_of(socket);
    if (access_.tls)
        return access_.tls->secure(std::move(socket), std::move(peer), deadlines_);
    return std::make_unique<PlainTransport<tcp::socket>>(std::move(socket), std::move(peer),
                                                         deadlines_);
}

std::unique_ptr<Transport> Server::Impl::transport_over(Local::socket socket) {
    return std::make_unique<PlainTransport<Local::socket>>(std::move(socket), "the proxy",
                                                           deadlines_);
}

void Server::Impl::take(std::unique_ptr<Transport> transport) {
    connections_.emplace_back(std::move(transport));
    common_.counts.connections = connections_.size();
    const auto place = std::prev(connections_.end());
    asio::co_spawn(
        executor_, converse(*place->transport),
        asio::bind_cancellation_slot(place->signal.slot(),
                                     [self = shared_from_this(), place](std::exception_ptr error) {
                                         self->ended(place);
                                         if (error)
                                             std::rethrow_exception(error);
                                     }));
}

asio::awaitable<void> Server::Impl::converse(Transport& transport) {
    co_await asio::this_coro::throw_if_cancelled(false);
    ++handshakes_;
    auto beginning = transport.begin(transport.now() + common_.limits.handshake_time);
    const auto begun = co_await std::move(beginning);
    --handshakes_;
    if (!begun) {
        transport.close();
        co_return;
    }
    auto serving = serve(transport, common_);
    co_await std::move(serving);
}

/// One try, without waiting: a flood of clients must cost nothing.
template <class Socket>
void Server::Impl::turn_away(Socket socket) {
    if (access_.tls)
        return; // a word in plain would be no TLS
    ProblemDetails problem;
    problem.status = 503;
    problem.detail = "All connections are taken.";
    problem.remedy = "Try again later, or close connections that are not needed.";
    const std::string bytes = to_bytes(to_response(problem, ""), common_.framing(false, true));
    boost::system::error_code ignored;
    socket.non_blocking(true, ignored);
    socket.write_some(asio::buffer(bytes), ignored);
    socket.shutdown(Socket::shutdown_send, ignored);
}

void Server::Impl::ended(Place place) {
    connections_.erase(place);
    common_.counts.connections = connections_.size();
    if (connections_.empty())
        hard_end_.cancel();
}

void Server::Impl::wake_at(Deadlines::Time at) {
    if (at == Deadlines::never) {
        next_deadline_.cancel();
        return;
    }
    next_deadline_.expires_at(at);
    next_deadline_.async_wait([self = shared_from_this()](boost::system::error_code error) {
        if (!error)
            self->deadlines_.expire(Deadlines::Time::clock::now());
    });
}

void Server::Impl::stop() {
    if (std::exchange(common_.stopping, true))
        return;
    for (const auto& close : close_acceptors_)
        close();
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
        live.transport->close();
    }
}

Server::Server(asio::any_io_executor executor, desk::Desk& desk, ServerLimits limits, Access access)
    : impl_(std::make_shared<Impl>(std::move(executor), desk, limits, std::move(access))) {}

Server::~Server() {
    impl_->stop();
    impl_->cut();
}

tl::expected<std::uint16_t, std::string> Server::listen(std::string_view address,
                                                        std::uint16_t port) {
    return impl_->listen(address, port);
}

tl::expected<void, std::string> Server::listen_on_socket(const std::string& path) {
    return impl_->listen_on_socket(path);
}

void Server::use(std::unique_ptr<Tls> tls) {
    impl_->use(std::move(tls));
}

void Server::stop() {
    impl_->stop();
}

std::size_t Server::connections() const {
    return impl_->connections();
}

} // namespace slotwitness::api
