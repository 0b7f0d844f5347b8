#include "running_server.hpp"

#include <boost/asio/read.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <spdlog/sinks/base_sink.h>
#include <spdlog/spdlog.h>

#include <atomic>
#include <memory>
#include <mutex>
#include <sys/resource.h>
#include <unistd.h>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using testing::AllOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::StartsWith;

class server : public RunningServer {};

TEST_F(server, answers_and_keeps_the_connection) {
    start();
    Client client{port};
    client.send(ask_livez);
    EXPECT_THAT(client.until("alive\n"), StartsWith("HTTP/1.1 200 OK\r\n"));
    client.send("HEAD /readyz HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n");
    EXPECT_THAT(client.to_the_end(), EndsWith("Connection: close\r\n\r\n"));
    EXPECT_EQ(client.end(), boost::asio::error::eof);
}

TEST_F(server, answers_pipelined_and_half_closed_clients) {
    start();
    const std::string answers = conversation(ask_livez + ask_livez + ask_livez);
    std::size_t count = 0;
    for (auto at = answers.find("alive\n"); at != std::string::npos;
         at = answers.find("alive\n", at + 1))
        ++count;
    EXPECT_EQ(count, 3U);
}

TEST_F(server, refuses_what_breaks_the_rules_and_goes_on) {
    start();
    for (const auto& [bytes, status] : std::vector<std::pair<std::string, std::string>>{
             {"nonsense\r\n\r\n", "400"},
             {std::string("\x16\x03\x01\x02\x00\x01\x00", 7), "400"}, // a TLS client
             {"GET / HTTP/1.1\nHost: localhost\n\n", "400"},
             {"GET /" + std::string(9000, 'a'), "414"},
             {"GET / HTTP/1.1\r\nA: " + std::string(9000, 'a'), "431"},
             {"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Length: 70000\r\n\r\n" +
                  std::string(70000, ' '),
              "413"},
             {"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: "
              "chunked\r\n\r\n0\r\n\r\n",
              "501"},
             {"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Length: "
              "6\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nG",
              "400"},
             {"GET /livez HTTP/1.1\r\nHost: evil.example\r\n\r\n", "421"}}) {
        EXPECT_THAT(conversation(bytes), StartsWith("HTTP/1.1 " + status + ' '))
            << bytes.substr(0, 60);
    }
    EXPECT_THAT(conversation(ask_livez), StartsWith("HTTP/1.1 200 OK\r\n"));
}

TEST_F(server, a_client_still_sending_reads_its_refusal_before_the_end) { // RFC 9112 §9.6
    start();
    Client client{port};
    client.send("POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999\r\n\r\n" +
                std::string(100'000, ' '));
    EXPECT_THAT(client.to_the_end(), StartsWith("HTTP/1.1 413 "));
    EXPECT_EQ(client.end(), boost::asio::error::eof) << "not a reset";
}

TEST_F(server, cuts_a_slow_head_a_slow_body_and_an_idle_client) {
    ServerLimits limits;
    limits.header_time = limits.body_time = limits.first_byte_time = limits.idle_time = 50ms;
    start(limits);
    Client head{port};
    head.send("GET /livez HTT");
    Client body{port};
    body.send("POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\n{");
    Client idle{port};
    EXPECT_THAT(head.to_the_end(), StartsWith("HTTP/1.1 408 "));
    EXPECT_THAT(body.to_the_end(), StartsWith("HTTP/1.1 408 "));
    EXPECT_EQ(idle.to_the_end(), "");
}

TEST_F(server, cuts_a_client_that_does_not_read) {
    ServerLimits limits;
    limits.write_time = 50ms;
    limits.drain_time = 50ms;
    for (int i = 0; i < 2000; ++i)
        desk.chassis_shown[0].components.push_back(desk.chassis_shown[0].components[1]);
    start(limits);
    Client client{port};
    for (int i = 0; i < 40; ++i)
        client.send("GET /v1/chassis/core1 HTTP/1.1\r\nHost: localhost\r\n\r\n");
    eventually([this] { return running->connections() == 0; });
}

TEST_F(server, waits_end_by_change_and_by_clients_that_leave) {
    start();
    Client stays{port};
    Client hangs_up{port};
    Client resets{port};
    for (Client* client : {&stays, &hangs_up, &resets})
        client->send(samples::wait_request);
    eventually([this] { return desk.waiting() == 3; });
    hangs_up.hang_up();
    eventually([this] { return desk.waiting() == 2; });
    resets.reset();
    eventually([this] { return desk.waiting() == 1 && running->connections() == 1; });
    on_loop([this] {
        desk.change("g7", [](desk::GateView& view) {
            view.finding.verdict = witness::Verdict::pass;
            view.finding.standing = witness::Standing::met;
            view.revision = 6;
        });
    });
    EXPECT_THAT(stays.until("}\n"),
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("\"verdict\": \"pass\"")));
    stays.send(ask_livez); // and the connection lives on after its wait
    EXPECT_THAT(stays.until("alive\n"), EndsWith("alive\n"));
}

TEST_F(server, stop_answers_waits_and_ends_all_else) {
    start();
    Client waits{port};
    waits.send(samples::wait_request);
    Client idle{port};
    Client begins{port};
    begins.send("GET /li");
    eventually([this] { return desk.waiting() == 1 && running->connections() == 3; });
    on_loop([this] { running->stop(); });
    EXPECT_THAT(waits.to_the_end(),
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("Connection: close\r\n")));
    EXPECT_EQ(idle.to_the_end(), "");
    EXPECT_EQ(begins.to_the_end(), "");
    loop.join();
    boost::system::error_code error;
    boost::asio::io_context clients;
    tcp::socket late{clients};
    late.connect({boost::asio::ip::address_v4::loopback(), port}, error);
    EXPECT_EQ(error, boost::asio::error::connection_refused);
}

TEST_F(server, stop_cuts_what_does_not_end_by_itself) {
    ServerLimits limits;
    limits.stop_time = 50ms;
    desk.holds_openings = true;
    start(limits);
    Client client{port};
    client.send("POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                "Content-Length: 43\r\n\r\n{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}");
    eventually([this] { return desk.waiting() == 1; });
    on_loop([this] { running->stop(); });
    EXPECT_EQ(client.to_the_end(), "");
    on_loop([this] { desk.release(); }); // the desk's own work ends, and finds its client gone
    loop.join();
    EXPECT_EQ(desk.gates_shown.size(), 2U);
}

TEST_F(server, turns_clients_away_over_its_bound_and_takes_them_again) {
    ServerLimits limits;
    limits.connections = 2;
    start(limits);
    Client first{port};
    Client second{port};
    eventually([this] { return running->connections() == 2; });
    Client third{port};
    EXPECT_THAT(third.to_the_end(), AllOf(StartsWith("HTTP/1.1 503 Service Unavailable\r\n"),
                                          HasSubstr("Retry-After: 5\r\n")));
    first.hang_up();
    eventually([this] { return running->connections() == 1; });
    EXPECT_THAT(conversation(ask_livez), StartsWith("HTTP/1.1 200 OK\r\n"));
}

/// Lowers the limit of open files to those that are open now.
class NoMoreFiles {
  public:
    NoMoreFiles() {
        EXPECT_EQ(::getrlimit(RLIMIT_NOFILE, &before_), 0);
        const int next = ::dup(0);
        EXPECT_GE(next, 0);
        ::close(next);
        rlimit now = before_;
        now.rlim_cur = static_cast<rlim_t>(next);
        EXPECT_EQ(::setrlimit(RLIMIT_NOFILE, &now), 0);
    }
    ~NoMoreFiles() { ::setrlimit(RLIMIT_NOFILE, &before_); }
    NoMoreFiles(const NoMoreFiles&) = delete;
    NoMoreFiles& operator=(const NoMoreFiles&) = delete;

  private:
    rlimit before_{};
};

/// Counts what the server logs while it stands.
class Warnings {
  public:
    Warnings() : before_(spdlog::default_logger()) {
        spdlog::set_default_logger(std::make_shared<spdlog::logger>("test", sink_));
    }
    ~Warnings() { spdlog::set_default_logger(before_); }
    Warnings(const Warnings&) = delete;
    Warnings& operator=(const Warnings&) = delete;
    [[nodiscard]] int count() const { return sink_->count; }

  private:
    struct Sink final : spdlog::sinks::base_sink<std::mutex> {
        std::atomic<int> count = 0;
        void sink_it_(const spdlog::details::log_msg&) override { ++count; }
        void flush_() override {}
    };
    std::shared_ptr<Sink> sink_ = std::make_shared<Sink>();
    std::shared_ptr<spdlog::logger> before_;
};

TEST_F(server, accepts_again_when_descriptors_come_back) {
#ifdef __SANITIZE_ADDRESS__
    // The checker of virtual tables (UBSan) probes memory through a pipe of its own, and takes any
    // object for broken once there is no descriptor left for it.
    GTEST_SKIP() << "not under UndefinedBehaviorSanitizer, which needs a descriptor itself";
#endif
    ServerLimits limits;
    limits.accept_pause = 5ms;
    const Warnings warnings;
    start(limits);
    Client client;
    {
        const NoMoreFiles none;
        client.connect(port); // into the backlog: the kernel accepts, the server cannot
        eventually([&] { return warnings.count() >= 2; });
    }
    client.send(ask_livez);
    EXPECT_THAT(client.until("alive\n"), StartsWith("HTTP/1.1 200 OK\r\n"));
}

TEST_F(server, listens_on_loopback_only_and_says_what_to_do) {
    Server refusing{io.get_executor(), desk};
    for (const char* address : {"0.0.0.0", "::", "192.0.2.1"}) {
        const auto bound = refusing.listen(address, 0);
        ASSERT_FALSE(bound) << address;
        EXPECT_THAT(bound.error(), AllOf(HasSubstr(address), HasSubstr("TLS and tokens"),
                                         HasSubstr("listen on 127.0.0.1 or ::1")));
    }
    const auto name = refusing.listen("localhost", 0);
    ASSERT_FALSE(name);
    EXPECT_THAT(name.error(), HasSubstr("\"localhost\": it is no IP address"));
}

TEST_F(server, a_port_in_use_is_a_clear_error) {
    Server holds{io.get_executor(), desk};
    const auto held = holds.listen("127.0.0.1", 0);
    ASSERT_TRUE(held);
    Server comes_late{io.get_executor(), desk};
    const auto taken = comes_late.listen("127.0.0.1", *held);
    ASSERT_FALSE(taken);
    EXPECT_THAT(taken.error(),
                AllOf(HasSubstr("127.0.0.1:" + std::to_string(*held)),
                      HasSubstr("Address already in use"), HasSubstr("choose another port")));
    holds.stop();
    io.run();
}

} // namespace
} // namespace slotwitness::api
