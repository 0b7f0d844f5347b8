#include "dial.hpp"

#include "bastion.hpp"
#include "refusal.hpp"

#include <boost/asio/ip/tcp.hpp>

#include <algorithm>
#include <array>
#include <fcntl.h>
#include <poll.h>
#include <string>
#include <string_view>
#include <sys/socket.h>

namespace slotwitness::links {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using Clock = std::chrono::steady_clock;

namespace {

LinkError unreachable(const Session& session, const std::string& what) {
    return {LinkError::Kind::unreachable,
            "cannot reach " + session.where() + ": " + what +
                "; check the address, the path and that the device's SSH server runs"};
}

/// The outcome of an operation whose handler may run after its coroutine is gone.
template <typename Result>
struct Pending {
    bool done = false;
    error_code error;
    Result result{};
};

/// Waits until the operation is done. An error ends the wait early: time, cancelling, the session's
/// end.
template <typename Result>
asio::awaitable<tl::expected<void, LinkError>> finish(std::shared_ptr<Session> session,
                                                      std::shared_ptr<Pending<Result>> pending,
                                                      Deadline deadline) {
    for (;;) {
        if (!session->alive()) {
            co_return tl::unexpected(session->why());
        }
        if (pending->done) {
            co_return tl::expected<void, LinkError>{};
        }
        const auto woken = co_await session->wait(deadline);
        switch (woken) {
        case Bell::Woken::rung:
            break;
        case Bell::Woken::due:
            co_return tl::unexpected(LinkError{LinkError::Kind::timed_out, "timed out"});
        case Bell::Woken::cancelled:
            co_return tl::unexpected(cancelled(*session));
        }
    }
}

asio::awaitable<tl::expected<std::vector<tcp::endpoint>, LinkError>>
resolve(std::shared_ptr<Session> session, const Target& target) {
    error_code not_an_address;
    const auto address = asio::ip::make_address(target.host, not_an_address);
    if (!not_an_address) {
        co_return std::vector<tcp::endpoint>{{address, target.port}};
    }
    const auto pending = std::make_shared<Pending<tcp::resolver::results_type>>();
    tcp::resolver resolver(session->executor());
    resolver.async_resolve(target.host, std::to_string(target.port),
                           [pending, session](const error_code& error, auto results) {
                               pending->done = true;
                               pending->error = error;
                               pending->result = std::move(results);
                               session->ring();
                           });
    const auto finished = co_await finish(session, pending, Clock::now() + target.connect_timeout);
    if (!finished) {
        co_return tl::unexpected(finished.error().kind == LinkError::Kind::timed_out
                                     ? unreachable(*session, "resolving its name timed out")
                                     : finished.error());
    }
    if (pending->error) {
        co_return tl::unexpected(
            unreachable(*session, "its name does not resolve (" + pending->error.message() + ")"));
    }
    std::vector<tcp::endpoint> endpoints;
    for (const auto& entry : pending->result) {
        endpoints.push_back(entry.endpoint());
    }
    co_return endpoints;
}

/// The greeting's first byte shows that the server takes us. Without it libssh would send its own
/// greeting into a socket that may be dead already, which it does not survive.
asio::awaitable<tl::expected<void, LinkError>> greeted(std::shared_ptr<Session> session,
                                                       Stream& socket, Deadline deadline) {
    const auto pending = std::make_shared<Pending<int>>();
    socket.async_wait(Stream::wait_read, [pending, session](const error_code& error) {
        pending->done = true;
        pending->error = error;
        session->ring();
    });
    const auto finished = co_await finish(session, pending, deadline);
    if (!finished) {
        co_return tl::unexpected(
            finished.error().kind == LinkError::Kind::timed_out
                ? LinkError{LinkError::Kind::timed_out,
                            session->where() + ": timed out while waiting for the SSH greeting; "
                                               "check that an SSH server answers on this port"}
                : finished.error());
    }
    std::array<char, 1024> first{};
    pollfd state{socket.native_handle(), POLLIN, 0};
    const auto seen =
        ::recv(socket.native_handle(), first.data(), first.size(), MSG_PEEK | MSG_DONTWAIT);
    // Before its greeting a server may say something to people (RFC 4253, section 4.2).
    const std::string_view said(first.data(), static_cast<std::size_t>(std::max<long>(seen, 0)));
    if (const auto told = session->refusals().told_in(said.substr(0, said.find("SSH-")))) {
        co_return tl::unexpected(refused_login(session->where(), *told));
    }
    if (seen < 1 || ::poll(&state, 1, 0) < 0 || (state.revents & (POLLERR | POLLHUP)) != 0) {
        co_return tl::unexpected(LinkError{
            LinkError::Kind::session_lost,
            session->where() + ": the device closed the connection before the SSH greeting; check "
                               "its access list and how many sessions it allows"});
    }
    co_return tl::expected<void, LinkError>{};
}

asio::awaitable<tl::expected<Stream, LinkError>> connect_directly(std::shared_ptr<Session> session,
                                                                  const Target& target) {
    const auto endpoints = co_await resolve(session, target);
    if (!endpoints) {
        co_return tl::unexpected(endpoints.error());
    }
    const auto deadline = Clock::now() + target.connect_timeout;
    std::string tried;
    auto left = static_cast<int>(endpoints->size());
    for (const auto& endpoint : *endpoints) {
        const auto share = (deadline - Clock::now()) / left--;
        tcp::socket socket(session->executor());
        const auto pending = std::make_shared<Pending<int>>();
        error_code failed;
        socket.open(endpoint.protocol(), failed);
        if (!failed) {
            ::fcntl(socket.native_handle(), F_SETFD, FD_CLOEXEC);
            socket.async_connect(endpoint, [pending, session](const error_code& error) {
                pending->done = true;
                pending->error = error;
                session->ring();
            });
            const auto finished = co_await finish(session, pending, Clock::now() + share);
            if (!finished && finished.error().kind != LinkError::Kind::timed_out) {
                co_return tl::unexpected(finished.error());
            }
            failed = finished ? pending->error : error_code(asio::error::timed_out);
        }
        if (!failed) {
            co_return Stream(std::move(socket));
        }
        tried +=
            (tried.empty() ? "" : ", ") + endpoint.address().to_string() + " " + failed.message();
    }
    co_return tl::unexpected(
        unreachable(*session, tried.empty() ? "its name has no address" : tried));
}

} // namespace

asio::awaitable<tl::expected<Stream, LinkError>>
dial(std::shared_ptr<Session> session, const Target& target, std::shared_ptr<Bastion> through) {
    auto way =
        through ? Bastion::open(through, session, target) : connect_directly(session, target);
    auto stream = co_await std::move(way);
    if (!stream) {
        co_return stream;
    }
    const auto greeting = co_await greeted(session, *stream, Clock::now() + target.connect_timeout);
    if (!greeting) {
        co_return tl::unexpected(greeting.error());
    }
    co_return stream;
}

} // namespace slotwitness::links
