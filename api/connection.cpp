#include "connection.hpp"

#include "evidence.hpp"
#include "handling.hpp"
#include "incoming.hpp"
#include "stream.hpp"

#include <boost/asio/this_coro.hpp>

#include <optional>
#include <type_traits>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

class Connection {
  public:
    Connection(Transport& transport, Common& common)
        : transport_(transport), common_(common), incoming_(transport, common) {}

    asio::awaitable<void> run() {
        // Cancellation is let in only where bytes or changes are waited for, so that nothing else
        // is cut: `uncut` ends and begins that.
        co_await asio::this_coro::throw_if_cancelled(false);
        bool more = true;
        while (more && !common_.stopping)
            more = co_await one_request();
        const auto deadline = transport_.now() + limits().drain_time;
        auto shutting = uncut(transport_.shut_sending(deadline));
        co_await std::move(shutting);
        auto draining = incoming_.drain(deadline);
        co_await std::move(draining);
        transport_.close();
    }

  private:
    const ServerLimits& limits() const { return common_.limits; }

    /// Does the work to its end, whatever is cancelled meanwhile.
    template <class Value>
    static asio::awaitable<Value> uncut(asio::awaitable<Value> work) {
        co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
        if constexpr (std::is_void_v<Value>) {
            co_await std::move(work);
            co_await asio::this_coro::reset_cancellation_state(
                asio::enable_terminal_cancellation());
        } else {
            Value value = co_await std::move(work);
            co_await asio::this_coro::reset_cancellation_state(
                asio::enable_terminal_cancellation());
            co_return value;
        }
    }

    /// True if another request may follow.
    asio::awaitable<bool> one_request() {
        auto receiving = incoming_.head();
        auto head = co_await std::move(receiving);
        if (!head) {
            co_await refuse(head.error());
            co_return false;
        }
        Request& request = head->request;
        request.peer = transport_.peer();
        const bool head_only = request.method == Method::head;
        const auto found = find_route(request);
        bool more = head->keep_alive;
        Next next;
        auto refused = refused_before_body(request, found, common_, transport_.now());
        const bool is_let_in = !refused;
        if (refused) {
            // Whether a body follows that was promised is not known: the connection cannot go on.
            more = more && head->body == 0;
            next = std::move(*refused);
        } else {
            if (head->body > 0 && !co_await receive_body(*head))
                co_return false;
            next = routed(request, found, common_);
        }
        if (std::holds_alternative<Follow>(next) && !head_only) {
            auto streaming = uncut(stream_to_client(request, std::get<Follow>(std::move(next))));
            co_await std::move(streaming);
            co_return false;
        }
        if (std::holds_alternative<SendEvidence>(next) && !head_only) {
            auto sending =
                uncut(send_evidence_to_client(request, std::get<SendEvidence>(std::move(next))));
            co_await std::move(sending);
            co_return false;
        }
        if (!std::holds_alternative<Response>(next)) {
            auto responding = uncut(respond(request, std::move(next), common_, leaving()));
            next = co_await std::move(responding);
        }
        const Response& response = std::get<Response>(next);
        if (is_let_in)
            tell(request, response);
        more = more && (!incoming_.at_end() || !incoming_.empty()) && !common_.stopping;
        std::string rest = begin_sending(response, head_only, more);
        if (rest.empty())
            co_return more;
        if (!co_await send_rest(std::move(rest)))
            more = false;
        co_return more;
    }

    Leaving leaving() {
        return [this] { return incoming_.left(); };
    }
    Client client() {
        return {transport_, leaving(), [this] { return incoming_.at_end(); }};
    }

    asio::awaitable<void> stream_to_client(Request& request, Follow follow) {
        Client client = this->client();
        auto streaming = stream(client, common_, request, std::move(follow));
        const auto refused = co_await std::move(streaming);
        co_await refuse(refused);
    }

    asio::awaitable<void> send_evidence_to_client(Request& request, SendEvidence evidence) {
        Client client = this->client();
        auto sending = send_evidence(client, common_, request, std::move(evidence));
        const auto refused = co_await std::move(sending);
        if (refused)
            co_await refuse(*refused);
    }

    asio::awaitable<bool> receive_body(Head& head) {
        if (head.expects_continue && incoming_.empty()) { // RFC 9110 §10.1.1
            const auto deadline = transport_.now() + limits().write_time;
            auto writing = uncut(transport_.write("HTTP/1.1 100 Continue\r\n\r\n", deadline));
            const auto written = co_await std::move(writing);
            if (!written)
                co_return false;
        }
        auto receiving = incoming_.body(head);
        const auto received = co_await std::move(receiving);
        if (!received)
            co_await refuse(received.error());
        co_return received.has_value();
    }

    asio::awaitable<void> refuse(const std::optional<ProblemDetails>& problem) {
        if (!problem)
            co_return;
        const Response response = to_response(*problem, "");
        co_await refuse(response);
    }
    /// The last response of the connection.
    asio::awaitable<void> refuse(const Response& response) {
        std::string rest = begin_sending(response, false, false);
        if (!rest.empty())
            static_cast<void>(co_await send_rest(std::move(rest)));
    }

    /// Sends what goes out at once; the rest comes back.
    std::string begin_sending(const Response& response, bool head_only, bool more) {
        common_.counts.count(response.status);
        std::string& bytes = common_.outgoing;
        append_bytes(bytes, response, common_.framing(head_only, !more));
        std::string rest = bytes.substr(transport_.write_now(bytes));
        constexpr std::size_t kept = 16 * 1024; // room for most responses, and no more
        if (bytes.capacity() > kept)
            bytes = {};
        bytes.clear();
        return rest;
    }

    asio::awaitable<bool> send_rest(std::string bytes) {
        const auto deadline = transport_.now() + limits().write_time;
        auto writing = uncut(transport_.write(bytes, deadline));
        const auto written = co_await std::move(writing);
        if (!written)
            incoming_.end();
        co_return written.has_value();
    }

    Transport& transport_;
    Common& common_;
    Incoming incoming_;
};

} // namespace

asio::awaitable<void> serve(Transport& transport, Common& common) {
    Connection connection{transport, common};
    auto running = connection.run();
    co_await std::move(running);
}

} // namespace slotwitness::api
