#pragma once

#include <slotwitness/api/transport.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/_experimental/test/fail_count.hpp>

#include <algorithm>
#include <deque>
#include <optional>
#include <variant>
#include <vector>

namespace slotwitness::api {

/// A client in memory with a clock of its own. What it does is a script; where the script has run
/// out, a read with a deadline comes to its deadline, one without waits for `feed` or a
/// cancellation.
class ScriptedTransport final : public Transport {
  public:
    struct Ends {};
    using Step = std::variant<std::string, Clock::duration, Ends>;

    ScriptedTransport(boost::asio::any_io_executor executor, std::vector<Step> script)
        : script_(script.begin(), script.end()), fed_(executor, no_deadline) {}

    std::size_t longest_read = 1 << 20;
    std::size_t written_at_once = 0;                     ///< of each response, before a write
    std::optional<boost::beast::test::fail_count> fails; ///< counts reads and writes
    bool reads_slowly = false;                           ///< every write comes to its deadline
    std::size_t operations = 0;
    std::string written;
    std::vector<Clock::time_point> read_deadlines;
    bool sending_shut = false;
    bool closed = false;

    void feed(Step step) {
        script_.push_back(std::move(step));
        fed_.cancel();
    }
    [[nodiscard]] bool all_read() const { return script_.empty(); }

    [[nodiscard]] Clock::time_point now() const override { return now_; }
    [[nodiscard]] std::string peer() const override { return "127.0.0.1"; }

    [[nodiscard]] boost::asio::awaitable<Result<std::size_t>>
    read(std::span<char> into, Clock::time_point deadline) override {
        read_deadlines.push_back(deadline);
        if (const auto error = failure())
            co_return tl::unexpected{*error};
        for (;;) {
            if (script_.empty() && deadline == no_deadline) {
                Error ignored;
                co_await fed_.async_wait(
                    boost::asio::redirect_error(boost::asio::use_awaitable, ignored));
                const auto state = co_await boost::asio::this_coro::cancellation_state;
                if (state.cancelled() != boost::asio::cancellation_type::none)
                    co_return tl::unexpected{Error{boost::asio::error::operation_aborted}};
                continue;
            }
            if (script_.empty()) {
                now_ = deadline;
                co_return tl::unexpected{Error{boost::asio::error::timed_out}};
            }
            if (auto* pause = std::get_if<Clock::duration>(&script_.front())) {
                if (deadline != no_deadline && now_ + *pause >= deadline) {
                    *pause -= deadline - now_;
                    now_ = deadline;
                    co_return tl::unexpected{Error{boost::asio::error::timed_out}};
                }
                now_ += *pause;
                script_.pop_front();
                continue;
            }
            if (std::holds_alternative<Ends>(script_.front()))
                co_return tl::unexpected{Error{boost::asio::error::eof}};
            auto& bytes = std::get<std::string>(script_.front());
            const std::size_t count = std::min({bytes.size(), into.size(), longest_read});
            std::copy_n(bytes.begin(), count, into.begin());
            bytes.erase(0, count);
            if (bytes.empty())
                script_.pop_front();
            co_return count;
        }
    }

    [[nodiscard]] std::size_t write_now(std::string_view bytes) override {
        const auto gone = bytes.substr(0, std::min(bytes.size(), written_at_once));
        written += gone;
        return gone.size();
    }
    [[nodiscard]] boost::asio::awaitable<Result<void>> write(std::string_view bytes,
                                                             Clock::time_point deadline) override {
        if (const auto error = failure())
            co_return tl::unexpected{*error};
        if (reads_slowly) {
            now_ = deadline;
            co_return tl::unexpected{Error{boost::asio::error::timed_out}};
        }
        written += bytes;
        co_return Result<void>{};
    }

    [[nodiscard]] boost::asio::awaitable<Result<void>> begin(Clock::time_point) override {
        co_return Result<void>{};
    }
    [[nodiscard]] boost::asio::awaitable<void> shut_sending(Clock::time_point) override {
        sending_shut = true;
        co_return;
    }
    void close() override { closed = true; }

  private:
    std::optional<Error> failure() {
        ++operations;
        Error error;
        if (fails && fails->fail(error))
            return error;
        return std::nullopt;
    }

    std::deque<Step> script_;
    boost::asio::steady_timer fed_;
    Clock::time_point now_{};
};

} // namespace slotwitness::api
