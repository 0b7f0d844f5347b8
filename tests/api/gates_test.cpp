#include "samples.hpp"

#include <slotwitness/api/answer.hpp>
#include <slotwitness/api/gates.hpp>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using testing::HasSubstr;

class gates : public testing::Test {
  protected:
    gates() { samples::fill(desk); }

    boost::asio::awaitable<void> run(Request request) {
        co_await boost::asio::this_coro::throw_if_cancelled(false);
        co_await boost::asio::this_coro::reset_cancellation_state(
            boost::asio::disable_cancellation());
        Leaving leaving = [this]() -> boost::asio::awaitable<void> {
            boost::asio::steady_timer never{io, boost::asio::steady_timer::time_point::max()};
            boost::system::error_code ignored;
            co_await never.async_wait(
                boost::asio::redirect_error(boost::asio::use_awaitable, ignored));
        };
        auto answering = answer(request, route(request, desk), desk, std::move(leaving));
        response = co_await std::move(answering);
    }
    void begin(Request request) {
        response.reset();
        auto running = run(std::move(request));
        boost::asio::co_spawn(
            io, std::move(running),
            boost::asio::bind_cancellation_slot(stop.slot(), boost::asio::detached));
        poll();
    }
    void poll() {
        io.restart();
        io.poll();
    }
    /// The answer to a request that waits for nothing.
    Response answered(Request request) {
        begin(std::move(request));
        EXPECT_TRUE(response) << "it waits";
        return response.value_or(Response{});
    }
    Response post(std::string body, std::vector<Field> more = {}) {
        more.push_back({"Content-Type", "application/json; charset=utf-8"});
        return answered(
            samples::request(Method::post, "/v1/gates", std::move(more), std::move(body)));
    }
    Request get(std::vector<Field> fields = {}) {
        return samples::request(Method::get, "/v1/gates/g7", std::move(fields));
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    boost::asio::cancellation_signal stop;
    std::optional<Response> response;
};

TEST_F(gates, reads_as_the_interface_says) {
    const Response shown = answered(get());
    EXPECT_EQ(shown.status, 200);
    EXPECT_EQ(shown.field("ETag"), "W/\"4\"");
    EXPECT_EQ(shown.field("Content-Type"), "application/json");
    const json gate = json::parse(shown.body);
    for (const char* member : {"id", "chassis", "sentence", "verdict", "failure", "standing",
                               "truth", "because", "opened", "deadline", "decided", "last_look",
                               "held_s", "needs_s", "valid_until", "code", "code_spelled"})
        EXPECT_TRUE(gate.contains(member)) << member;
    EXPECT_EQ(gate["id"], "g7");
    EXPECT_EQ(gate["chassis"], "core1");
    EXPECT_EQ(gate["verdict"], "pending");
    EXPECT_EQ(gate["failure"], nullptr);
    EXPECT_EQ(gate["truth"], "true");
    EXPECT_EQ(gate["because"]["text"], "the device reports plane 3 locked and disabled");
    EXPECT_EQ(gate["opened"], "2026-11-25T07:59:40.000Z");
    EXPECT_EQ(gate["held_s"], 4);
    EXPECT_EQ(gate["valid_until"], "2026-11-25T08:00:30.000Z");
}

TEST_F(gates, confidence_that_has_run_out_is_not_shown) {
    desk.time = samples::start + 30s; // valid_until itself still counts
    EXPECT_EQ(json::parse(answered(get()).body)["truth"], "true");
    desk.time += 1ms;
    const Response shown = answered(get());
    EXPECT_EQ(json::parse(shown.body)["truth"], "unknown");
    EXPECT_NE(shown.field("ETag"), "W/\"4\"");
    EXPECT_THAT(answered(get({{"If-None-Match", "W/\"4\""}})).status, 200);
    const json list = json::parse(answered(samples::request(Method::get, "/v1/gates")).body);
    EXPECT_EQ(list["gates"][0]["truth"], "unknown");
}

TEST_F(gates, a_gate_that_is_not_there_is_404) {
    for (const Method method : {Method::get, Method::head, Method::delete_}) {
        const Response missing =
            answered(samples::request(method, "/v1/gates/g8", {{"Prefer", "wait=60"}}));
        EXPECT_EQ(missing.status, 404);
        EXPECT_THAT(missing.body, HasSubstr("\"found\": \"g8\""));
    }
}

TEST_F(gates, opening_takes_the_wish_and_tells_where_the_gate_is) { // RFC 9110 §15.3.2
    const Response opened = post(
        "{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\",\"gap\":\"30 s\",\"guard\":\"1 h\"}",
        {{"Idempotency-Key", "\"8e03978e-40d5-43dd-bc93-6894a57f9324\""}});
    EXPECT_EQ(opened.status, 201);
    EXPECT_EQ(opened.field("Location"), "/v1/gates/g2");
    EXPECT_EQ(opened.field("ETag"), "W/\"2\"");
    EXPECT_EQ(json::parse(opened.body)["sentence"], "plane 3 up");
    ASSERT_EQ(desk.wishes.size(), 1U);
    const desk::GateWish& wish = desk.wishes[0];
    EXPECT_EQ(wish.chassis, "core1");
    EXPECT_EQ(wish.sentence, "plane 3 up");
    EXPECT_EQ(wish.gap, 30s);
    EXPECT_EQ(wish.guard, 1h);
    EXPECT_EQ(wish.by, "127.0.0.1");
    EXPECT_EQ(wish.idempotency_key, "8e03978e-40d5-43dd-bc93-6894a57f9324");
}

TEST_F(gates, opening_leaves_to_the_desk_what_is_not_said) {
    EXPECT_EQ(
        post("{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}", {{"Idempotency-Key", "k1"}})
            .status,
        201);
    EXPECT_FALSE(desk.wishes[0].gap);
    EXPECT_FALSE(desk.wishes[0].guard);
    EXPECT_EQ(desk.wishes[0].idempotency_key, "k1");
    EXPECT_EQ(post("{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}").status, 201);
    EXPECT_EQ(desk.wishes[1].idempotency_key, "");
}

TEST_F(gates, what_is_wrong_with_an_opening_never_reaches_the_desk) {
    struct Row {
        const char* body;
        std::vector<Field> fields;
        int status;
        const char* field;
    };
    const char* const good = "{\"chassis\":\"core1\",\"sentence\":\"plane 3 up\"}";
    for (const Row& row :
         {Row{"", {}, 400, ""}, Row{"{\"chassis\":\"core1\"}", {}, 422, "sentence"},
          Row{"{\"chassis\":\"core1\",\"sentence\":\"x\",\"gap\":\"0 s\"}", {}, 422, "gap"},
          Row{"{\"chassis\":\"core1\",\"sentence\":\"x\",\"gap\":\"soon\"}", {}, 422, "gap"},
          Row{"{\"chassis\":\"core1\",\"sentence\":\"x\",\"guard\":30}", {}, 422, "guard"},
          Row{"{\"chassis\":\"core1\",\"sentence\":\"x\",\"guard\":\"-1 s\"}", {}, 422, "guard"},
          Row{"{\"chassis\":\"core1\",\"sentence\":\"x\",\"by\":\"me\"}", {}, 422, "by"},
          Row{good, {{"Idempotency-Key", ""}}, 400, "Idempotency-Key"},
          Row{good, {{"Idempotency-Key", "\"a b\""}}, 400, "Idempotency-Key"},
          Row{good, {{"Idempotency-Key", std::string(129, 'k')}}, 400, "Idempotency-Key"},
          Row{good, {{"Idempotency-Key", "a"}, {"Idempotency-Key", "b"}}, 400, "Idempotency-Key"},
          Row{good, {{"Content-Encoding", "gzip"}}, 415, "Content-Encoding"}}) {
        const Response refused = post(row.body, row.fields);
        EXPECT_EQ(refused.status, row.status) << refused.body;
        EXPECT_EQ(json::parse(refused.body).value("field", ""), row.field) << refused.body;
        EXPECT_NE(json::parse(refused.body).value("remedy", ""), "") << refused.body;
    }
    EXPECT_TRUE(desk.wishes.empty());
}

TEST_F(gates, an_opening_must_be_json_by_its_type) { // RFC 9110 §15.5.16
    for (const std::vector<Field>& fields :
         {std::vector<Field>{},
          {{"Content-Type", "text/plain"}},
          {{"Content-Type", "application/x-www-form-urlencoded"}}}) {
        const Response refused = answered(samples::request(
            Method::post, "/v1/gates", fields, "{\"chassis\":\"a\",\"sentence\":\"b\"}"));
        EXPECT_EQ(refused.status, 415);
        EXPECT_EQ(refused.field("Accept"), "application/json");
    }
    EXPECT_TRUE(desk.wishes.empty());
}

TEST_F(gates, a_refusal_of_the_desk_names_place_and_remedy) {
    desk.refusal =
        desk::Refusal{desk::Refusal::Kind::bad_sentence,
                      {"sentence", {1, 9}, "opne", "up, down or shut", "Correct the word."}};
    const Response refused = post("{\"chassis\":\"core1\",\"sentence\":\"plane 3 opne\"}");
    EXPECT_EQ(refused.status, 422);
    const json problem = json::parse(refused.body);
    EXPECT_EQ(problem["instance"], "/v1/gates");
    EXPECT_EQ(problem["column"], 9);
    EXPECT_EQ(problem["found"], "opne");
}

TEST_F(gates, deleting_keeps_the_record) {
    const Response deleted = answered(samples::request(Method::delete_, "/v1/gates/g7"));
    EXPECT_EQ(deleted.status, 200);
    EXPECT_EQ(json::parse(deleted.body)["verdict"], "cancelled");
    EXPECT_THAT(desk.closed, testing::ElementsAre(testing::Pair("g7", "127.0.0.1")));
    EXPECT_EQ(json::parse(answered(get()).body)["verdict"], "cancelled");
}

TEST_F(gates, deleting_heeds_conditions) { // RFC 9110 §13.1.1, §13.1.2
    EXPECT_EQ(answered(samples::request(Method::delete_, "/v1/gates/g7", {{"If-Match", "W/\"4\""}}))
                  .status,
              412);
    EXPECT_EQ(answered(samples::request(Method::delete_, "/v1/gates/g7", {{"If-None-Match", "*"}}))
                  .status,
              412);
    EXPECT_TRUE(desk.closed.empty());
    EXPECT_EQ(
        answered(samples::request(Method::delete_, "/v1/gates/g7", {{"If-Match", "*"}})).status,
        200);
}

TEST_F(gates, not_modified_carries_the_tag_and_no_body) { // RFC 9110 §15.4.5
    const Response same = answered(get({{"If-None-Match", "\"3\", W/\"4\""}}));
    EXPECT_EQ(same.status, 304);
    EXPECT_EQ(same.field("ETag"), "W/\"4\"");
    EXPECT_EQ(same.field("Vary"), "Accept, Prefer");
    EXPECT_EQ(same.body, "");
}

TEST_F(gates, the_list_has_a_tag_that_moves_with_any_gate) {
    const Request list = samples::request(Method::get, "/v1/gates");
    const auto tag = answered(list).field("ETag");
    ASSERT_TRUE(tag);
    Request again = list;
    again.fields = {{"If-None-Match", *tag}};
    EXPECT_EQ(answered(again).status, 304);
    desk.change("g7", [](desk::GateView& view) { view.revision = 6; });
    EXPECT_EQ(answered(again).status, 200);
    desk.gates_shown.clear();
    EXPECT_EQ(json::parse(answered(again).body),
              (json{{"gates", json::array()}, {"next", nullptr}}));
}

TEST_F(gates, a_person_gets_one_line_a_gate) {
    desk.gates_shown.push_back(samples::pending_gate());
    desk::GateView& second = desk.gates_shown.back();
    second.finding.id = "g6";
    second.finding.verdict = witness::Verdict::fail;
    second.finding.failure = witness::Failure::not_seen;
    second.finding.because.text = "router session lost";
    second.finding.last_look.reset();
    second.unrecorded = true;
    const Response list =
        answered(samples::request(Method::get, "/v1/gates", {{"Accept", "text/plain"}}));
    EXPECT_EQ(list.field("Content-Type"), "text/plain; charset=utf-8");
    EXPECT_EQ(list.body, "g7  core1  pending  plane 3 shut for 10 s within 5 min  because the "
                         "device reports plane 3 locked and "
                         "disabled  last look 2026-11-25T07:59:59.000Z\n"
                         "g6  core1  fail, not seen, unrecorded  plane 3 shut for 10 s within 5 "
                         "min  because router session lost\n");
    EXPECT_EQ(answered(get({{"Accept", "text/plain, application/json;q=0.5"}})).body,
              list.body.substr(0, list.body.find('\n') + 1));
    EXPECT_EQ(answered(get({{"Accept", "image/png"}})).status, 406);
}

TEST(gate_line, does_not_let_the_device_drive_the_terminal) {
    desk::GateView view = samples::pending_gate();
    view.finding.because.text = "a\x1b[2Jb\nc\x7f\xC2\x9B"
                                "2J\xC3\xA9";
    EXPECT_THAT(gate_line(view), HasSubstr("because a?[2Jb?c??2J\xC3\xA9"));
}

// Long waits, RFC 7240 §4.3

TEST_F(gates, a_wait_returns_on_decision_and_not_on_other_changes) {
    begin(get({{"Prefer", "wait=60"}}));
    EXPECT_EQ(desk.waiting(), 1U);
    desk.change("g7", [](desk::GateView& view) {
        view.finding.truth = witness::Truth::no;
        view.revision = 6;
    });
    poll();
    EXPECT_FALSE(response);
    desk.change("g7", [](desk::GateView& view) {
        view.finding.verdict = witness::Verdict::fail;
        view.finding.failure = witness::Failure::seen_false;
        view.revision = 8;
    });
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 200);
    EXPECT_EQ(response->field("Preference-Applied"), "wait=60");
    EXPECT_EQ(json::parse(response->body)["failure"], "seen_false");
    EXPECT_EQ(desk.waiting(), 0U);
    EXPECT_EQ(answered(get({{"Prefer", "wait=60"}})).field("ETag"), "W/\"8\""); // decided already
}

TEST_F(gates, a_wait_with_a_tag_returns_on_any_change) {
    begin(get({{"Prefer", "wait=60"}, {"If-None-Match", "W/\"4\""}}));
    EXPECT_EQ(desk.waiting(), 1U);
    desk.change("g7", [](desk::GateView& view) { view.finding.last_look->answered += 1s; });
    poll();
    EXPECT_FALSE(response) << "the tag does not cover last_look";
    desk.change("g7", [](desk::GateView& view) { view.revision = 6; });
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 200);
    EXPECT_EQ(response->field("ETag"), "W/\"6\"");
    // With an older tag there is nothing to wait for.
    EXPECT_EQ(answered(get({{"Prefer", "wait=60"}, {"If-None-Match", "W/\"4\""}})).status, 200);
}

TEST_F(gates, a_wait_ends_at_its_time) {
    begin(get({{"Prefer", "wait=20"}, {"If-None-Match", "*"}}));
    desk.move_time(19'999ms);
    poll();
    EXPECT_FALSE(response);
    desk.move_time(1ms);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 304);
    EXPECT_EQ(response->field("Preference-Applied"), "wait=20");
    begin(get({{"Prefer", "wait=20"}}));
    desk.move_time(20s);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 200);
}

TEST_F(gates, a_wait_is_bounded_and_says_so) {
    begin(get({{"Prefer", "wait=86400"}}));
    desk.move_time(299'999ms);
    poll();
    EXPECT_FALSE(response);
    desk.move_time(1ms);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->field("Preference-Applied"), "wait=300");
}

TEST_F(gates, a_wait_returns_when_confidence_runs_out) {
    begin(get({{"Prefer", "wait=60"}, {"If-None-Match", "W/\"4\""}}));
    desk.move_time(30s);
    poll();
    EXPECT_FALSE(response);
    desk.move_time(1ms);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 200);
    EXPECT_EQ(json::parse(response->body)["truth"], "unknown");
    // And waits on from there without turning in circles.
    begin(get({{"Prefer", "wait=60"}, {"If-None-Match", *response->field("ETag")}}));
    EXPECT_EQ(desk.waiting(), 1U);
    desk.change("g7", [](desk::GateView& view) {
        view.finding.valid_until += 60s;
        view.revision = 6;
    });
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->field("ETag"), "W/\"6\"");
}

TEST_F(gates, a_wait_ends_when_the_gate_is_gone) {
    begin(get({{"Prefer", "wait=60"}}));
    desk.gates_shown.clear();
    desk.move_time(1s);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 404);
}

TEST_F(gates, a_wait_ends_when_the_desk_waits_no_more) {
    desk.stopping = true;
    for (const std::vector<Field>& fields : {std::vector<Field>{{"Prefer", "wait=60"}},
                                             {{"Prefer", "wait=60"}, {"If-None-Match", "*"}}})
        EXPECT_EQ(answered(get(fields)).field("Preference-Applied"), "wait=60");
}

TEST_F(gates, the_tag_tells_unrecorded_news_from_recorded) {
    desk.change("g7", [](desk::GateView& view) { view.unrecorded = true; });
    EXPECT_EQ(answered(get()).field("ETag"), "W/\"4u\"");
    EXPECT_EQ(answered(get({{"If-None-Match", "W/\"4\""}})).status, 200);
}

TEST_F(gates, a_wait_of_nothing_or_nonsense_is_none) {
    EXPECT_EQ(answered(get({{"Prefer", "wait=0"}})).field("Preference-Applied"), "wait=0");
    const Response nonsense = answered(get({{"Prefer", "wait=long"}}));
    EXPECT_EQ(nonsense.status, 200);
    EXPECT_FALSE(nonsense.field("Preference-Applied"));
}

TEST_F(gates, a_wait_that_is_cancelled_answers_with_the_present_state) {
    begin(get({{"Prefer", "wait=60"}, {"If-None-Match", "*"}}));
    EXPECT_EQ(desk.waiting(), 1U);
    stop.emit(boost::asio::cancellation_type::terminal);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 304);
    EXPECT_EQ(desk.waiting(), 0U);
}

TEST_F(gates, a_baseline_is_wanted_by_json_alone) {
    const auto wish = [&](std::string body, std::vector<Field> fields) {
        return answered(samples::request(Method::post, "/v1/chassis/core1/baseline",
                                         std::move(fields), std::move(body)));
    };
    const std::vector<Field> typed{{"Content-Type", "application/json"}};
    EXPECT_EQ(wish("{}", {{"Content-Type", "text/plain"}}).status, 415);
    EXPECT_EQ(wish("", typed).status, 400);
    EXPECT_EQ(wish(R"({"by": "somebody else"})", typed).status, 422);
    EXPECT_TRUE(desk.baselines_wanted.empty());

    desk.chassis_shown[0].baseline_wanted = true;
    desk.chassis_shown[0].baseline = witness::BaselineFixed{7, samples::start, {}, "127.0.0.1"};
    const Response wanted = wish("{}", typed);
    EXPECT_EQ(wanted.status, 202); // RFC 9110 §15.3.3
    EXPECT_EQ(wanted.field("Location"), "/v1/chassis/core1");
    EXPECT_EQ(json::parse(wanted.body),
              (json{{"chassis", "core1"},
                    {"baseline",
                     {{"at", "2026-11-25T08:00:00.000Z"}, {"by", "127.0.0.1"}, {"round", "7"}}},
                    {"baseline_wanted", true}}));
    ASSERT_EQ(desk.baselines_wanted.size(), 1U);
    EXPECT_EQ(desk.baselines_wanted[0],
              (std::pair<std::string, std::string>("core1", "127.0.0.1")));

    EXPECT_EQ(
        answered(samples::request(Method::post, "/v1/chassis/core9/baseline", typed, "{}")).status,
        404);
    desk.refusal = desk::Refusal{desk::Refusal::Kind::not_recorded, {}};
    EXPECT_EQ(wish("{}", typed).status, 503);
}

} // namespace
} // namespace slotwitness::api
