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
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <array>
#include <exception>
#include <optional>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

class Connection {
  public:
    Connection(Transport& transport, Common& common) : transport_(transport), common_(common) {}

    asio::awaitable<void> run() {
        // Cancellation is let in only where bytes or changes are waited for, so that nothing else
        // is cut.
        co_await asio::this_coro::throw_if_cancelled(false);
        co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
        bool more = true;
        while (more && !common_.stopping)
            more = co_await one_request();
        co_await drain();
        transport_.close();
    }

  private:
    const ServerLimits& limits() const { return common_.limits; }

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
        if (const auto refused = refused_before_body(request)) {
            // Whether a body follows that was promised is not known: the connection cannot go on.
            const bool more = head->keep_alive && head->body == 0;
            co_return co_await send(*refused, head_only, more);
        }
        if (!co_await receive_body(*head))
            co_return false;
        Next next = routed(request);
        if (std::holds_alternative<Follow>(next) && !head_only) {
            auto streaming = stream_to_client(request, std::get<Follow>(std::move(next)));
            co_await std::move(streaming);
            co_return false;
        }
        if (std::holds_alternative<SendEvidence>(next) && !head_only) {
            auto sending =
                send_evidence_to_client(request, std::get<SendEvidence>(std::move(next)));
            co_await std::move(sending);
            co_return false;
        }
        auto responding = respond(request, std::move(next));
        Response response = co_await std::move(responding);
        // It may have waited, and rights can end meanwhile.
        if (changes_nothing(request.method) && request.field("Prefer"))
            if (auto refused = common_.door.no_longer_in(request, common_.desk))
                response = std::move(*refused);
        tell(request, response);
        const bool more = head->keep_alive && (!at_end_ || !received_.empty());
        co_return co_await send(response, head_only, more);
    }

    std::optional<Response> refused_before_body(Request& request) {
        if (auto refused = refused_early(request))
            return refused;
        if (const auto problem = of_another_origin(request))
            return to_response(*problem, request.path);
        return common_.door.turned_away(request, common_.desk, transport_.now());
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

    Next routed(const Request& request) {
        try {
            return route(request, common_.desk);
        } catch (const std::exception& error) {
            return defect(request, error);
        }
    }

    asio::awaitable<Response> respond(const Request& request, Next next) {
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
            Leaving leaving = [this] { return left(); };
            auto answering = answer(request, std::move(next), common_.desk, std::move(leaving));
            co_return co_await std::move(answering);
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
            static_cast<void>(co_await send(*refused, false, false));
    }

    /// The length of the head at the front of `received_`; 0 if there will be none.
    asio::awaitable<std::size_t> receive_head() {
        // Idle until the first byte; from then on the head has its own time.
        if (received_.empty() && !co_await receive(transport_.now() + limits().idle_time))
            co_return 0;
        const auto deadline = transport_.now() + limits().header_time;
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
            if (!co_await receive(deadline)) {
                co_await refuse_slow("head");
                co_return 0;
            }
        }
    }

    asio::awaitable<bool> receive_body(Head& head) {
        if (head.expects_continue && received_.empty()) { // RFC 9110 §10.1.1
            const auto deadline = transport_.now() + limits().write_time;
            const auto written =
                co_await transport_.write("HTTP/1.1 100 Continue\r\n\r\n", deadline);
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
        if (common_.stopping || at_end_)
            co_return false;
        co_await asio::this_coro::reset_cancellation_state(asio::enable_terminal_cancellation());
        const bool more = co_await append(deadline);
        co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
        co_return more;
    }

    asio::awaitable<bool> append(Transport::Clock::time_point deadline) {
        const auto count = co_await transport_.read(chunk_, deadline);
        if (count) {
            received_.append(chunk_.data(), *count);
            co_return true;
        }
        last_error_ = count.error();
        at_end_ =
            last_error_ != asio::error::timed_out && last_error_ != asio::error::operation_aborted;
        co_return false;
    }

    /// Ends when the client has ended its direction. It may have ended that one alone and still
    /// listen, so it gets its answer: the present state, at once.
    asio::awaitable<void> left() {
        co_await asio::this_coro::throw_if_cancelled(false);
        while (received_.size() < limits().pipelined_bytes && !at_end_)
            if (!co_await append(Transport::no_deadline))
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
        static_cast<void>(co_await send(response, false, false));
    }

    /// True if it was written and another request may follow.
    asio::awaitable<bool> send(const Response& response, bool head_only, bool keep_alive) {
        common_.counts.count(response.status);
        const bool more = keep_alive && !common_.stopping;
        const std::string bytes = to_bytes(response, common_.framing(head_only, !more));
        const auto deadline = transport_.now() + limits().write_time;
        const auto written = co_await transport_.write(bytes, deadline);
        if (!written)
            at_end_ = true;
        co_return written.has_value() && more;
    }

    /// Reads what the client still sends, within bounds, so that closing does not reset the
    /// connection before it has read its last response (RFC 9112 §9.6).
    asio::awaitable<void> drain() {
        const auto deadline = transport_.now() + limits().drain_time;
        co_await transport_.shut_sending(deadline);
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
    std::array<char, 8 * 1024> chunk_{};
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
