#include "connection.hpp"

#include "answer.hpp"
#include "events.hpp"
#include "evidence.hpp"
#include "head.hpp"
#include "metrics.hpp"
#include "origin.hpp"
#include "rack_tokens.hpp"
#include "router.hpp"
#include "shown.hpp"
#include "stream.hpp"

#include <slotwitness/log/log.hpp>

#include <boost/asio/cancellation_state.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <array>
#include <exception>
#include <optional>
#include <type_traits>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

class Connection {
  public:
    Connection(Transport& transport, Common& common) : transport_(transport), common_(common) {}

    asio::awaitable<void> run() {
        // Cancellation is let in only where bytes or changes are waited for, so that nothing else
        // is cut: `uncut` ends and begins that.
        co_await asio::this_coro::throw_if_cancelled(false);
        bool more = true;
        while (more && !common_.stopping)
            more = co_await one_request();
        co_await drain();
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
        const std::size_t end = co_await receive_head();
        if (end == 0)
            co_return false;
        auto head = read_head(std::string_view{received_}.substr(0, end), common_.hosts, limits());
        received_.erase(0, end);
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
        auto refused = refused_before_body(request, found);
        const bool is_let_in = !refused;
        if (refused) {
            // Whether a body follows that was promised is not known: the connection cannot go on.
            more = more && head->body == 0;
            next = std::move(*refused);
        } else {
            if (head->body > 0 && !co_await receive_body(*head))
                co_return false;
            next = routed(request, found);
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
            auto responding = uncut(respond(request, std::move(next)));
            next = co_await std::move(responding);
        }
        const Response& response = std::get<Response>(next);
        if (is_let_in)
            tell(request, response);
        more = more && (!at_end_ || !received_.empty()) && !common_.stopping;
        std::string rest = begin_sending(response, head_only, more);
        if (rest.empty())
            co_return more;
        if (!co_await send_rest(std::move(rest)))
            more = false;
        co_return more;
    }

    std::optional<Response> refused_before_body(Request& request,
                                                const std::optional<Found>& found) {
        if (auto refused = refused_early(request, found))
            return refused;
        if (const auto problem = of_another_origin(request))
            return to_response(*problem, request.path);
        return common_.door.turned_away(request, found, common_.desk, transport_.now());
    }

    /// Who did what, in the log as well: by the id of the token, which is no secret.
    static void tell(const Request& request, const Response& response) {
        if (!changes_nothing(request.method) && !request.asker.token.empty())
            log::tell(log::Level::info, log::Event::request,
                      {{},
                       {{"status", response.status},
                        {"method", std::string{to_word(request.method)}},
                        {"path", request.path},
                        {"person", request.asker.name},
                        {"token", request.asker.token}}},
                      "api: " + std::to_string(response.status) + " for " +
                          std::string{to_word(request.method)} + ' ' + printable(request.path) +
                          " of " + request.asker.name + ", token " + request.asker.token);
    }

    /// A defect behind the desk costs one response, not the daemon.
    static Response defect(const Request& request, const std::exception& error) {
        log::tell(log::Level::error, log::Event::defect,
                  {{}, {{"method", std::string{to_word(request.method)}}, {"path", request.path}}},
                  "api: " + std::string{to_word(request.method)} + ' ' + printable(request.path) +
                      ": " + error.what());
        ProblemDetails problem;
        problem.status = 500;
        problem.detail = "The daemon has a defect; its log tells more.";
        problem.remedy = "Report it.";
        return to_response(problem, request.path);
    }

    Next routed(const Request& request, const std::optional<Found>& found) {
        try {
            return route(request, found, common_.desk);
        } catch (const std::exception& error) {
            return defect(request, error);
        }
    }

    asio::awaitable<Response> respond(Request& request, Next next) {
        if (std::holds_alternative<Follow>(next)) // of HEAD
            co_return stream_head();
        if (const auto* evidence = std::get_if<SendEvidence>(&next)) // of HEAD
            co_return evidence_head(request, evidence->id);
        if (std::holds_alternative<Measure>(next))
            co_return metrics_shown(request, common_.counts, common_.desk);
        if (auto* rack = std::get_if<MakeRackToken>(&next)) {
            auto making = rack_token_made(request, std::move(*rack), common_.door.known_tokens());
            co_return co_await std::move(making);
        }
        try {
            const bool waits = std::holds_alternative<AwaitChange>(next);
            Leaving leaving = [this] { return left(); };
            auto answering = answer(request, std::move(next), common_.desk, std::move(leaving));
            Response response = co_await std::move(answering);
            if (waits) // and rights can end meanwhile
                if (auto refused = common_.door.no_longer_in(request, common_.desk))
                    co_return std::move(*refused);
            co_return response;
        } catch (const std::exception& error) {
            co_return defect(request, error);
        }
    }

    asio::awaitable<void> stream_to_client(Request& request, Follow follow) {
        Client client{transport_, [this] { return left(); }, [this] { return at_end_; }};
        auto streaming = stream(client, common_, request, std::move(follow));
        const auto refused = co_await std::move(streaming);
        if (refused)
            co_await refuse(*refused);
    }

    asio::awaitable<void> send_evidence_to_client(Request& request, SendEvidence evidence) {
        Client client{transport_, [this] { return left(); }, [this] { return at_end_; }};
        auto sending = send_evidence(client, common_, request, std::move(evidence));
        const auto refused = co_await std::move(sending);
        if (refused)
            co_await refuse(*refused);
    }

    /// The length of the head at the front of `received_`; 0 if there will be none.
    asio::awaitable<std::size_t> receive_head() {
        // Idle until the first byte; from then on the head has its own time.
        if (received_.empty()) {
            const auto idle =
                std::exchange(is_new_, false) ? limits().first_byte_time : limits().idle_time;
            const auto first = co_await transport_.read(chunk_, transport_.now() + idle);
            if (!took(first))
                co_return 0;
        } else { // whoever sends without waiting leaves a turn to others
            const auto executor = co_await asio::this_coro::executor;
            co_await asio::post(executor, asio::use_awaitable);
        }
        std::optional<Transport::Clock::time_point> deadline;
        for (;;) {
            // RFC 9112 §2.2: an empty line before the request line is passed over.
            if (received_.starts_with("\r\n"))
                received_.erase(0, 2);
            const auto end = head_end(received_, limits());
            if (!end) {
                co_await refuse(end.error());
                co_return 0;
            }
            if (*end > 0)
                co_return *end;
            if (!deadline)
                deadline = transport_.now() + limits().header_time;
            if (!co_await receive(*deadline)) {
                co_await refuse_slow("head");
                co_return 0;
            }
        }
    }

    asio::awaitable<bool> receive_body(Head& head) {
        if (head.expects_continue && received_.empty()) { // RFC 9110 §10.1.1
            const auto deadline = transport_.now() + limits().write_time;
            auto writing = uncut(transport_.write("HTTP/1.1 100 Continue\r\n\r\n", deadline));
            const auto written = co_await std::move(writing);
            if (!written)
                co_return false;
        }
        const auto deadline = transport_.now() + limits().body_time;
        while (received_.size() < head.body)
            if (!co_await receive(deadline)) {
                co_await refuse_slow("body");
                co_return false;
            }
        head.request.body = received_.substr(0, head.body);
        received_.erase(0, head.body);
        co_return true;
    }

    /// Appends what comes; false at the end, an error, the deadline or a stop, which `last_error_`
    /// tells.
    asio::awaitable<bool> receive(Transport::Clock::time_point deadline) {
        if (!reads_on())
            co_return false;
        const auto count = co_await transport_.read(chunk_, deadline);
        co_return took(count);
    }

    [[nodiscard]] bool reads_on() const { return !common_.stopping && !at_end_; }

    bool took(const Transport::Result<std::size_t>& count) {
        if (count) {
            received_.append(chunk_.data(), *count);
            return true;
        }
        last_error_ = count.error();
        at_end_ =
            last_error_ != asio::error::timed_out && last_error_ != asio::error::operation_aborted;
        return false;
    }

    /// Ends when the client has ended its direction. It may have ended that one alone and still
    /// listen, so it gets its answer: the present state, at once.
    asio::awaitable<void> left() {
        co_await asio::this_coro::throw_if_cancelled(false);
        while (received_.size() < limits().pipelined_bytes && !at_end_)
            if (!co_await receive(Transport::no_deadline))
                break;
        if (at_end_)
            co_return;
        // Full (or cancelled, and then this ends at once): the end cannot be seen behind unread
        // requests.
        asio::steady_timer never{co_await asio::this_coro::executor, Transport::no_deadline};
        const auto state = co_await asio::this_coro::cancellation_state;
        boost::system::error_code ignored;
        if (state.cancelled() == asio::cancellation_type::none)
            co_await never.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    }

    asio::awaitable<void> refuse_slow(std::string_view part) {
        if (last_error_ != asio::error::timed_out || received_.empty())
            co_return;
        ProblemDetails problem;
        problem.status = 408; // RFC 9110 §15.5.9
        problem.detail = "The request did not come in time.";
        problem.expected = "the whole " + std::string{part};
        problem.remedy = "Send it at once.";
        co_await refuse(problem);
    }

    asio::awaitable<void> refuse(const ProblemDetails& problem) {
        const Response response = to_response(problem, "");
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
            at_end_ = true;
        co_return written.has_value();
    }

    /// Reads what the client still sends, within bounds, so that closing does not reset the
    /// connection before it has read its last response (RFC 9112 §9.6).
    asio::awaitable<void> drain() {
        const auto deadline = transport_.now() + limits().drain_time;
        auto shutting = uncut(transport_.shut_sending(deadline));
        co_await std::move(shutting);
        std::size_t drained = 0;
        while (!at_end_ && drained < limits().drained_bytes) {
            received_.clear();
            if (!co_await receive(deadline))
                break;
            drained += received_.size();
        }
    }

    Transport& transport_;
    Common& common_;
    std::string received_; ///< and not yet used
    /// A request is a few hundred bytes, and ten thousand clients may wait.
    std::array<char, 2 * 1024> chunk_{};
    bool is_new_ = true; ///< nothing was asked yet
    boost::system::error_code last_error_;
    bool at_end_ = false; ///< nothing more comes from the client
};

} // namespace

asio::awaitable<void> serve(Transport& transport, Common& common) {
    Connection connection{transport, common};
    auto running = connection.run();
    co_await std::move(running);
}

} // namespace slotwitness::api
