#include "samples.hpp"
#include "scripted_transport.hpp"

#include <slotwitness/api/connection.hpp>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using testing::AllOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Ends = ScriptedTransport::Ends;

/// One connection over the memory transport. `io.run()` returns only when nothing of it is left.
class connection : public testing::Test {
  protected:
    connection() { samples::fill(desk); }

    void start(std::vector<ScriptedTransport::Step> script) {
        transport.emplace(io.get_executor(), std::move(script));
        spawn();
    }
    void spawn() {
        ended = false;
        boost::asio::co_spawn(
            io, serve(*transport, common),
            boost::asio::bind_cancellation_slot(stop.slot(), [this](std::exception_ptr error) {
                EXPECT_FALSE(error);
                ended = true;
            }));
    }
    /// All that the server wrote to this client, who then hangs up.
    std::string conversation(std::vector<ScriptedTransport::Step> script) {
        start(std::move(script));
        io.run();
        io.restart();
        EXPECT_TRUE(ended);
        EXPECT_TRUE(transport->closed);
        return transport->written;
    }
    void poll() {
        io.restart();
        io.poll();
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    Common common{desk, ServerLimits{}, Hosts{}, Door{}, false, {}, {}};
    std::optional<ScriptedTransport> transport;
    boost::asio::cancellation_signal stop;
    bool ended = false;
};

const std::string common_fields =
    "Cache-Control: no-store\r\n"
    "X-Content-Type-Options: nosniff\r\n"
    "Content-Security-Policy: default-src 'none'; frame-ancestors 'none'\r\n"
    "Cross-Origin-Resource-Policy: same-origin\r\n"
    "Referrer-Policy: no-referrer\r\n";
const std::string date = "Date: Wed, 25 Nov 2026 08:00:00 GMT\r\n"; // date -u -R -d @1795593600
const std::string alive = "HTTP/1.1 200 OK\r\n" + date +
                          "Content-Type: text/plain; charset=utf-8\r\nContent-Length: 6\r\n" +
                          common_fields;

TEST_F(connection, a_response_is_these_bytes) {
    EXPECT_EQ(conversation({"GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n", Ends{}}),
              alive + "\r\nalive\n");
}

TEST_F(connection, the_split_of_the_bytes_does_not_matter) {
    const std::string request =
        "POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Content-Length: 44\r\n\r\n{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}\n"
        "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n";
    const std::string whole = conversation({request, Ends{}});
    EXPECT_THAT(whole,
                AllOf(StartsWith("HTTP/1.1 201 Created\r\n"), EndsWith(alive + "\r\nalive\n")));
    for (std::size_t length = 1; length < 40; ++length) {
        samples::fill(desk);
        transport.emplace(io.get_executor(), std::vector<ScriptedTransport::Step>{request, Ends{}});
        transport->longest_read = length;
        spawn();
        io.run();
        io.restart();
        ASSERT_EQ(transport->written, whole) << length << " bytes a read";
    }
}

TEST_F(connection, head_gives_the_fields_of_get_and_no_body) { // RFC 9110 §9.3.2
    EXPECT_EQ(conversation({"HEAD /livez HTTP/1.1\r\nHost: localhost\r\n\r\n", Ends{}}),
              alive + "\r\n");
}

TEST_F(connection, pipelined_requests_are_answered_in_their_order) { // RFC 9112 §9.3.2
    const std::string written =
        conversation({"GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n"
                      "\r\n" // RFC 9112 §2.2: an empty line before a request
                      "HEAD /livez HTTP/1.1\r\nHost: localhost\r\n\r\n"
                      "GET /livez HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
                      "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n",
                      Ends{}});
    EXPECT_EQ(written,
              alive + "\r\nalive\n" + alive + "\r\n" + alive + "Connection: close\r\n\r\nalive\n");
}

TEST_F(connection, a_client_of_1_0_gets_one_response) { // RFC 9112 §9.3
    EXPECT_EQ(conversation({"GET /livez HTTP/1.0\r\n\r\nGET /livez HTTP/1.0\r\n\r\n", Ends{}}),
              alive + "Connection: close\r\n\r\nalive\n");
}

TEST_F(connection, a_half_closed_client_gets_all_its_answers) {
    EXPECT_EQ(conversation({"GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\nGET /livez "
                            "HTTP/1.1\r\nHost: localhost\r\n\r\n",
                            Ends{}}),
              alive + "\r\nalive\n" + alive + "\r\nalive\n");
    EXPECT_TRUE(transport->sending_shut);
}

TEST_F(connection, whoever_connects_and_says_nothing_is_let_go_soon_and_without_a_word) {
    EXPECT_EQ(conversation({}), "");
    ASSERT_FALSE(transport->read_deadlines.empty());
    EXPECT_EQ(transport->read_deadlines[0].time_since_epoch(), common.limits.first_byte_time);
    EXPECT_LT(common.limits.first_byte_time, common.limits.idle_time);
}

TEST_F(connection, an_idle_client_is_let_go_without_a_word) {
    EXPECT_EQ(conversation({"GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n"}),
              alive + "\r\nalive\n");
    ASSERT_GE(transport->read_deadlines.size(), 2U);
    EXPECT_EQ(transport->read_deadlines[1].time_since_epoch(), common.limits.idle_time);
}

TEST_F(connection, what_does_not_go_out_at_once_is_written_to_its_end) {
    const std::vector<ScriptedTransport::Step> script{
        "GET /v1/gates/g7 HTTP/1.1\r\nHost: localhost\r\n\r\n"
        "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n",
        Ends{}};
    const std::string whole = conversation(script);
    EXPECT_THAT(whole, EndsWith(alive + "\r\nalive\n"));
    for (const std::size_t at_once : {std::size_t{1}, alive.size(), whole.size() * 2}) {
        transport.emplace(io.get_executor(), script);
        transport->written_at_once = at_once;
        spawn();
        io.run();
        io.restart();
        EXPECT_EQ(transport->written, whole) << at_once;
    }
}

TEST_F(connection, a_slow_head_has_one_deadline_however_it_trickles) {
    std::vector<ScriptedTransport::Step> script{"G"};
    for (int i = 0; i < 12; ++i) {
        script.emplace_back(1s);
        script.emplace_back("x");
    }
    EXPECT_THAT(conversation(std::move(script)),
                AllOf(StartsWith("HTTP/1.1 408 Request Timeout\r\n"), // RFC 9110 §15.5.9
                      HasSubstr("Connection: close\r\n"), HasSubstr("the whole head")));
    for (std::size_t i = 2; i < 11; ++i)
        EXPECT_EQ(transport->read_deadlines[i].time_since_epoch(), 10s) << i;
}

TEST_F(connection, a_slow_body_has_one_deadline_of_its_own) {
    std::vector<ScriptedTransport::Step> script{
        "POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Type: "
        "application/json\r\nContent-Length: 40\r\n\r\n{"};
    for (int i = 0; i < 12; ++i) {
        script.emplace_back(1s);
        script.emplace_back(" ");
    }
    EXPECT_THAT(conversation(std::move(script)),
                AllOf(StartsWith("HTTP/1.1 408 "), HasSubstr("the whole body")));
    EXPECT_TRUE(desk.wishes.empty());
}

TEST_F(connection, a_client_that_reads_too_slowly_is_cut) {
    transport.emplace(io.get_executor(),
                      std::vector<ScriptedTransport::Step>{
                          "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\nGET /livez"});
    transport->reads_slowly = true;
    spawn();
    io.run();
    EXPECT_TRUE(ended);
    EXPECT_TRUE(transport->closed);
    EXPECT_EQ(transport->now().time_since_epoch(), common.limits.write_time);
}

TEST_F(connection, a_client_that_ends_within_a_request_is_let_go) {
    EXPECT_EQ(conversation({"GET /livez HTTP/1.1\r\nHo", Ends{}}), "");
    EXPECT_EQ(
        conversation(
            {"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\n{", Ends{}}),
        "");
}

TEST_F(connection, continue_is_sent_before_a_body_that_is_wanted) { // RFC 9110 §10.1.1
    const std::string head =
        "POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nExpect: 100-Continue\r\n"
        "Content-Type: application/json\r\nContent-Length: 43\r\n\r\n";
    const std::string body = "{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}";
    EXPECT_THAT(conversation({head, body, Ends{}}),
                StartsWith("HTTP/1.1 100 Continue\r\n\r\nHTTP/1.1 201 Created\r\n"));
    EXPECT_THAT(conversation({head + body, Ends{}}), StartsWith("HTTP/1.1 201 Created\r\n"));
}

TEST_F(connection, a_request_that_fails_by_its_head_is_refused_without_its_body) {
    const std::string written =
        conversation({"POST /v1/nothing HTTP/1.1\r\nHost: localhost\r\nExpect: "
                      "100-continue\r\nContent-Length: 30\r\n\r\n",
                      "GET /livez HTTP/1.1\r\n\r\n234567", Ends{}});
    EXPECT_THAT(written, AllOf(StartsWith("HTTP/1.1 404 "), HasSubstr("Connection: close\r\n"),
                               Not(HasSubstr("100 Continue")), Not(HasSubstr("alive"))));
    EXPECT_THAT(conversation({"GET /livez HTTP/1.1\r\nHost: localhost\r\nExpect: a-miracle\r\n\r\n",
                              Ends{}}),
                StartsWith("HTTP/1.1 417 "));
}

TEST_F(connection, after_a_last_response_only_so_much_is_read) {
    conversation({"nonsense\r\n\r\n" + std::string(1 << 20, 'x'), Ends{}});
    EXPECT_THAT(transport->written, StartsWith("HTTP/1.1 400 "));
    EXPECT_TRUE(transport->sending_shut);
    EXPECT_FALSE(transport->all_read());
}

TEST_F(connection, a_defect_costs_one_response) {
    desk.defect = true;
    const std::string written = conversation(
        {"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
         "Content-Length: 43\r\n\r\n{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}"
         "GET /livez HTTP/1.1\r\nHost: localhost\r\n\r\n",
         Ends{}});
    EXPECT_THAT(written,
                AllOf(StartsWith("HTTP/1.1 500 "), EndsWith("alive\n"), Not(HasSubstr("planted"))));
}

TEST_F(connection, a_wait_ends_by_the_decision) {
    start({samples::wait_request});
    poll();
    ASSERT_EQ(desk.waiting(), 1U);
    EXPECT_EQ(transport->written, "");
    desk.change("g7", [](desk::GateView& view) {
        view.finding.verdict = witness::Verdict::pass;
        view.revision = 6;
    });
    poll();
    EXPECT_EQ(desk.waiting(), 0U);
    EXPECT_THAT(transport->written,
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("\"verdict\": \"pass\""),
                      HasSubstr("Preference-Applied: wait=60\r\n"),
                      HasSubstr("ETag: W/\"6\"\r\n")));
    stop.emit(boost::asio::cancellation_type::terminal);
}

TEST_F(connection, a_wait_reads_on_and_answers_what_was_pipelined_behind_it) {
    start({samples::wait_request});
    poll();
    ASSERT_EQ(desk.waiting(), 1U);
    transport->feed("HEAD /livez HTTP/1.1\r\nHost: localhost\r\n\r\n");
    poll();
    EXPECT_TRUE(transport->all_read());
    EXPECT_EQ(transport->written, "");
    transport->feed(Ends{});
    io.restart();
    io.run(); // the client has left: the wait ends, and so does all else
    EXPECT_TRUE(ended);
    EXPECT_THAT(transport->written,
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("\"verdict\": \"pending\""),
                      EndsWith(alive + "Connection: close\r\n\r\n")));
}

TEST_F(connection, a_client_that_leaves_ends_its_wait) {
    start({samples::wait_request});
    poll();
    ASSERT_EQ(desk.waiting(), 1U);
    transport->feed(Ends{});
    io.restart();
    io.run();
    EXPECT_TRUE(ended);
    EXPECT_EQ(desk.waiting(), 0U);
    EXPECT_THAT(transport->written, HasSubstr("Connection: close\r\n"));
}

TEST_F(connection, a_client_that_sends_without_end_while_it_waits_is_not_read_without_end) {
    start({samples::wait_request + std::string(1 << 20, 'x')});
    poll();
    EXPECT_EQ(desk.waiting(), 1U);
    EXPECT_FALSE(transport->all_read());
    desk.move_time(60s);
    io.restart();
    io.run();
    EXPECT_TRUE(ended);
    EXPECT_THAT(transport->written,
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("HTTP/1.1 414 ")));
}

TEST_F(connection, stop_answers_a_wait_with_the_present_state) {
    start({samples::wait_request});
    poll();
    ASSERT_EQ(desk.waiting(), 1U);
    common.stopping = true;
    stop.emit(boost::asio::cancellation_type::terminal);
    io.restart();
    io.run();
    EXPECT_TRUE(ended);
    EXPECT_EQ(desk.waiting(), 0U);
    EXPECT_THAT(transport->written,
                AllOf(StartsWith("HTTP/1.1 200 OK\r\n"), HasSubstr("Connection: close\r\n"),
                      HasSubstr("\"verdict\": \"pending\"")));
}

TEST_F(connection, stop_lets_an_opening_end_and_tells_it) {
    desk.holds_openings = true;
    start({"POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
           "Content-Length: 43\r\n\r\n{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}"});
    poll();
    ASSERT_EQ(desk.wishes.size(), 1U);
    common.stopping = true;
    stop.emit(boost::asio::cancellation_type::terminal);
    poll();
    EXPECT_FALSE(ended);
    desk.release();
    io.restart();
    io.run();
    EXPECT_TRUE(ended);
    EXPECT_THAT(transport->written,
                AllOf(StartsWith("HTTP/1.1 201 Created\r\n"), HasSubstr("Connection: close\r\n")));
}

/// Reads and writes fail at the first, second, third … operation: each time the connection ends,
/// nothing waits on, and what was written is a beginning of what is written without failure.
TEST_F(connection, ends_cleanly_whichever_operation_fails) {
    const std::vector<ScriptedTransport::Step> script{
        "GET /v1/gates/g7 HTTP/1.1\r\nHost: localhost\r\n\r\n",
        "POST /v1/gates HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\n"
        "Content-Type: application/json\r\nContent-Length: 43\r\n\r\n",
        "{\"chassis\":\"core1\",\"sentence\":",
        "\"plane 3 up\"}",
        "GET /v1/gates/g7 HTTP/1.1\r\nHost: localhost\r\nPrefer: wait=60\r\n\r\n",
        "DELETE /v1/gates/g7 HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
        Ends{}};
    const std::string whole = conversation(script);
    EXPECT_THAT(whole, HasSubstr("\"cancelled\""));
    const std::size_t operations = transport->operations;
    EXPECT_GT(operations, 10U);
    for (std::size_t failing = 0; failing < operations; ++failing) {
        samples::fill(desk);
        transport.emplace(io.get_executor(), script);
        transport->fails.emplace(failing);
        spawn();
        io.run();
        io.restart();
        ASSERT_TRUE(ended) << failing;
        ASSERT_TRUE(transport->closed) << failing;
        ASSERT_EQ(desk.waiting(), 0U) << failing;
        ASSERT_THAT(whole, StartsWith(transport->written)) << failing;
    }
}

} // namespace
} // namespace slotwitness::api
