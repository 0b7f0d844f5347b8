#include "people.hpp"
#include "scripted_transport.hpp"

#include <slotwitness/api/connection.hpp>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Ends = ScriptedTransport::Ends;

struct Told {
    std::string id;
    std::string data;
};

/// Reads text/event-stream as a browser does (HTML, 9.2.6 "Interpreting an event stream"), as far
/// as lines that end in LF go.
std::vector<Told> interpreted(std::string_view stream) {
    std::vector<Told> events;
    std::string id;
    std::string data;
    while (!stream.empty()) {
        const auto end = stream.find('\n');
        if (end == std::string_view::npos)
            break; // an unfinished line is dropped
        const std::string_view line = stream.substr(0, end);
        stream.remove_prefix(end + 1);
        if (line.empty()) {
            if (!data.empty())
                events.push_back({id, data.substr(0, data.size() - 1)});
            data.clear();
            continue;
        }
        const auto colon = line.find(':');
        std::string_view value = colon == std::string_view::npos ? "" : line.substr(colon + 1);
        if (value.starts_with(' '))
            value.remove_prefix(1);
        const std::string_view name = line.substr(0, colon);
        if (name == "data")
            data.append(value).append("\n");
        else if (name == "id")
            id = value;
    }
    return events;
}

class streams : public testing::Test {
  protected:
    streams() { samples::fill(desk); }

  public:
    streams(const streams&) = delete;
    streams& operator=(const streams&) = delete;
    ~streams() override {
        transport.feed(Ends{});
        poll();
        EXPECT_TRUE(ended);
        EXPECT_TRUE(common.streams.empty());
    }

  protected:
    void ask(const std::string& path, const std::string& fields = "") {
        transport.feed("GET " + path + " HTTP/1.1\r\nHost: localhost\r\n" + fields + "\r\n");
        boost::asio::co_spawn(
            io, serve(transport, common),
            boost::asio::bind_cancellation_slot(stop.slot(), [this](std::exception_ptr error) {
                EXPECT_FALSE(error);
                ended = true;
            }));
        ended = false;
        poll();
    }
    void poll() {
        io.restart();
        io.poll();
    }
    void change(const std::function<void(desk::GateView&)>& edit) {
        desk.change("g7", [&](desk::GateView& view) {
            view.revision += 2;
            edit(view);
        });
        poll();
    }
    void pass() {
        change([](desk::GateView& view) { view.finding.verdict = witness::Verdict::pass; });
    }
    [[nodiscard]] std::string body() const {
        const auto end = transport.written.find("\r\n\r\n");
        return end == std::string::npos ? "" : transport.written.substr(end + 4);
    }
    [[nodiscard]] std::vector<Told> told() const { return interpreted(body()); }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    Common common{desk, ServerLimits{}, Hosts{}, Door{}, false, {}, {}};
    ScriptedTransport transport{io.get_executor(), {}};
    boost::asio::cancellation_signal stop;
    bool ended = true;
};

TEST_F(streams, begin_with_what_is_shown_now) {
    ask("/v1/gates/g7/changes");
    EXPECT_THAT(transport.written, StartsWith("HTTP/1.1 200 OK\r\n"));
    EXPECT_THAT(transport.written, HasSubstr("\r\nContent-Type: text/event-stream\r\n"));
    EXPECT_THAT(transport.written, HasSubstr("\r\nConnection: close\r\n"));
    EXPECT_THAT(transport.written, Not(HasSubstr("Content-Length")));
    ASSERT_EQ(told().size(), 1);
    EXPECT_EQ(told()[0].id, "4");
    EXPECT_EQ(json::parse(told()[0].data)["verdict"], "pending");
}

TEST_F(streams, tell_each_change_as_the_whole_of_what_is_shown) {
    ask("/v1/gates/g7/changes");
    pass();
    ASSERT_EQ(told().size(), 2);
    EXPECT_EQ(told()[1].id, "6");
    const json gate = json::parse(told()[1].data);
    EXPECT_EQ(gate["verdict"], "pass");
    EXPECT_EQ(gate["id"], "g7");
    EXPECT_FALSE(ended); // its standing can still change
}

TEST_F(streams, go_on_where_the_client_was) { // HTML, 9.2.4: Last-Event-ID
    ask("/v1/gates/g7/changes", "Last-Event-ID: 4\r\n");
    EXPECT_TRUE(told().empty());
    pass();
    ASSERT_EQ(told().size(), 1);
    EXPECT_EQ(told()[0].id, "6");
}

TEST_F(streams, tell_who_comes_again_what_he_missed) {
    ask("/v1/gates/g7/changes", "Last-Event-ID: 2\r\n");
    ASSERT_EQ(told().size(), 1);
    EXPECT_EQ(told()[0].id, "4");
}

TEST_F(streams, end_after_the_last_event_and_then_browsers_come_no_more) { // HTML, 9.2.3: 204
    ask("/v1/gates/g7/changes");
    change([](desk::GateView& view) {
        view.finding.verdict = witness::Verdict::cancelled;
        view.finding.retired = true;
    });
    ASSERT_EQ(told().size(), 2);
    EXPECT_TRUE(ended);
    transport.written.clear();
    ask("/v1/gates/g7/changes", "Last-Event-ID: 6\r\n");
    EXPECT_THAT(transport.written, StartsWith("HTTP/1.1 204 No Content\r\n"));
    EXPECT_THAT(transport.written, Not(HasSubstr("Content-Length"))); // RFC 9110 §8.6
}

TEST_F(streams, show_a_sign_of_life_that_is_no_event) {
    ask("/v1/gates/g7/changes");
    desk.move_time(common.limits.heartbeat);
    poll();
    EXPECT_THAT(body(), EndsWith("\n\n:\n\n"));
    EXPECT_EQ(told().size(), 1);
    EXPECT_FALSE(ended);
}

TEST_F(streams, tell_when_confidence_runs_out_without_any_news) {
    common.limits.heartbeat = 1h;
    ask("/v1/gates/g7/changes");
    desk.move_time(30s + 1ms); // past valid_until
    poll();
    ASSERT_EQ(told().size(), 2);
    EXPECT_EQ(json::parse(told()[1].data)["truth"], "unknown");
}

TEST_F(streams, of_procedures_end_with_their_closing) {
    ask("/v1/procedures/p1/changes");
    ASSERT_EQ(told().size(), 1);
    EXPECT_EQ(json::parse(told()[0].data)["word"], "STATE MET");
    desk.procedures_shown.front().revision = 10;
    desk.procedures_shown.front().record.finding.phase = witness::Phase::closed;
    desk.move_time(1s);
    poll();
    EXPECT_EQ(told().size(), 2);
    EXPECT_TRUE(ended);
}

TEST_F(streams, end_when_the_client_leaves) {
    ask("/v1/gates/g7/changes");
    transport.feed(Ends{});
    poll();
    EXPECT_TRUE(ended);
    EXPECT_EQ(desk.waiting(), 0);
}

TEST_F(streams, end_on_a_client_that_does_not_read) {
    ask("/v1/gates/g7/changes");
    transport.reads_slowly = true;
    pass();
    EXPECT_TRUE(ended);
}

TEST_F(streams, end_when_the_server_or_the_desk_stops) {
    ask("/v1/gates/g7/changes");
    common.stopping = true;
    stop.emit(boost::asio::cancellation_type::terminal);
    poll();
    EXPECT_TRUE(ended);
    common.stopping = false;
    desk.stopping = true;
    ask("/v1/gates/g7/changes");
    EXPECT_TRUE(ended);
}

TEST_F(streams, end_when_the_token_is_revoked) {
    People people;
    const std::string token = people.add(tokens::Role::viewer);
    common.door = Door{&people.known};
    ask("/v1/gates/g7/changes", "Authorization: Bearer " + token + "\r\n");
    ASSERT_EQ(told().size(), 1);
    people.revoke(token);
    pass();
    EXPECT_EQ(told().size(), 1);
    EXPECT_TRUE(ended);
}

TEST_F(streams, are_bounded_an_asker) {
    common.limits.streams = 0;
    ask("/v1/gates/g7/changes");
    EXPECT_THAT(transport.written, StartsWith("HTTP/1.1 429 "));
}

TEST_F(streams, of_what_there_is_not_are_refused) {
    ask("/v1/gates/none/changes");
    EXPECT_THAT(transport.written, StartsWith("HTTP/1.1 404 "));
}

TEST_F(streams, are_not_made_in_another_type) {
    ask("/v1/gates/g7/changes", "Accept: application/json\r\nConnection: close\r\n");
    EXPECT_THAT(transport.written, StartsWith("HTTP/1.1 406 "));
}

} // namespace
} // namespace slotwitness::api
