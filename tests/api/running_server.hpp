#pragma once

#include "samples.hpp"

#include <slotwitness/api/server.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/write.hpp>
#include <gtest/gtest.h>

#include <future>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <type_traits>

namespace slotwitness::api {

using boost::asio::ip::tcp;

/// A client that sends raw bytes over a real loopback socket and blocks.
class Client {
  public:
    Client() : socket_(io_) { socket_.open(tcp::v4()); }
    explicit Client(std::uint16_t port) : Client() { connect(port); }
    void connect(std::uint16_t port) {
        socket_.connect({boost::asio::ip::address_v4::loopback(), port});
    }
    void send(std::string_view bytes) {
        boost::system::error_code ignored; // the server may have closed already
        boost::asio::write(socket_, boost::asio::buffer(bytes), ignored);
    }
    void half_close() { socket_.shutdown(tcp::socket::shutdown_send); }
    void hang_up() { socket_.close(); }
    /// Closes with a reset instead of a goodbye.
    void reset() {
        socket_.set_option(boost::asio::socket_base::linger(true, 0));
        socket_.close();
    }
    /// Until the text came, or the server closed.
    std::string until(std::string_view text) {
        while (received_.find(text) == std::string::npos) {
            char chunk[4096];
            boost::system::error_code error;
            const auto count = socket_.read_some(boost::asio::buffer(chunk), error);
            received_.append(chunk, count);
            if (error) {
                end_ = error;
                break;
            }
        }
        return received_;
    }
    std::string to_the_end() { return until(std::string_view{"\0never\0", 7}); }
    [[nodiscard]] boost::system::error_code end() const { return end_; }

  private:
    boost::asio::io_context io_;
    tcp::socket socket_;
    std::string received_;
    boost::system::error_code end_;
};

/// The server on a real loopback socket, its loop in a thread of its own.
class RunningServer : public testing::Test {
  public:
    RunningServer() { samples::fill(desk); }
    RunningServer(const RunningServer&) = delete;
    RunningServer& operator=(const RunningServer&) = delete;
    ~RunningServer() override {
        if (loop.joinable()) {
            on_loop([this] { running->stop(); });
            loop.join(); // returns only if nothing of the server is left
        }
        if (running) {
            EXPECT_EQ(running->connections(), 0U);
        }
        EXPECT_EQ(desk.waiting(), 0U);
    }

  protected:
    void start(ServerLimits limits = {}, Access access = {}) {
        running.emplace(io.get_executor(), desk, limits, std::move(access));
        const auto bound = running->listen("127.0.0.1", 0);
        ASSERT_TRUE(bound) << bound.error();
        port = *bound;
        loop = std::thread{[this] { io.run(); }};
    }
    /// Runs in the loop's thread, and waits for it.
    template <class Work>
    std::invoke_result_t<Work&> on_loop(Work work) {
        // Shared: the loop may still hold the task when its result is already here.
        const auto task =
            std::make_shared<std::packaged_task<std::invoke_result_t<Work&>()>>(std::move(work));
        auto done = task->get_future();
        boost::asio::post(io, [task] { (*task)(); });
        return done.get();
    }
    /// Turns the loop until it holds; the test's own time-out ends it if it never does.
    template <class Condition>
    void eventually(Condition condition) {
        while (!on_loop(condition))
            std::this_thread::yield();
    }
    std::string conversation(std::string_view bytes) {
        Client client{port};
        client.send(bytes);
        client.half_close();
        return client.to_the_end();
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    std::optional<Server> running;
    std::uint16_t port = 0;
    std::thread loop;
};

inline const std::string ask_livez = "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n";

} // namespace slotwitness::api
