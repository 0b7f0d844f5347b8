#include "samples.hpp"

#include <slotwitness/api/answer.hpp>
#include <slotwitness/api/procedures.hpp>

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

class procedures : public testing::Test {
  protected:
    procedures() { samples::fill(desk); }

    boost::asio::awaitable<void> run(Request request) {
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
        boost::asio::co_spawn(io, std::move(running), boost::asio::detached);
        poll();
    }
    void poll() {
        io.restart();
        io.poll();
    }
    Response get(const std::string& path, std::vector<Field> fields = {}) {
        begin(samples::request(Method::get, path, std::move(fields)));
        EXPECT_TRUE(response) << "it waits";
        return response.value_or(Response{});
    }
    Response post(const std::string& path, std::string body, std::vector<Field> fields = {}) {
        fields.push_back({"Content-Type", "application/json"});
        begin(samples::request(Method::post, path, std::move(fields), std::move(body)));
        EXPECT_TRUE(response) << "it waits";
        return response.value_or(Response{});
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    std::optional<Response> response;
};

const std::vector<Field> seen{{"If-Match", "\"3\""}};

TEST_F(procedures, are_shown_with_their_words_texts_and_revisions) {
    const Response shown = get("/v1/procedures/p1");
    ASSERT_EQ(shown.status, 200);
    const json body = json::parse(shown.body);
    EXPECT_EQ(body["word"], "STATE MET");
    EXPECT_EQ(body["step"], "pull-tray");
    EXPECT_EQ(body["steps"][0]["revision"], "3");
    EXPECT_EQ(body["steps"][0]["actor"], "technician");
    EXPECT_EQ(body["steps"][0]["cautions"][0], "WARNING: blades turn.");
    EXPECT_EQ(body["steps"][0]["if_wrong"]["first"], "put back");
    EXPECT_EQ(body["rules"][0]["active"], false);
    EXPECT_EQ(body["cooling"], nullptr);
    EXPECT_EQ(body["right_chassis"], nullptr);
    EXPECT_EQ(body["code"], "K7F");
    EXPECT_EQ(body["code_spelled"], "Kilo Seven Foxtrot");
    EXPECT_EQ(body["steps"][0]["code_spelled"], "Kilo Seven Foxtrot");
    EXPECT_EQ(body["steps"][0]["read_back"], false);
    EXPECT_EQ(json::parse(get("/v1/procedures").body)["procedures"][0]["id"], "p1");
}

TEST_F(procedures, are_a_line_each_for_a_person) {
    EXPECT_EQ(get("/v1/procedures", {{"Accept", "text/plain"}}).body,
              "p1  core1  STATE MET  code K7F (Kilo Seven Foxtrot)  step pull-tray  The device "
              "reports operational for every fan "
              "tray judged.\n");
}

TEST_F(procedures, fall_to_wait_past_their_valid_until) {
    desk.time = samples::start + 30s + 1ms;
    const Response shown = get("/v1/procedures/p1");
    EXPECT_EQ(json::parse(shown.body)["word"], "WAIT");
    EXPECT_EQ(json::parse(shown.body)["code"], nullptr) << "nobody acts upon WAIT";
    EXPECT_EQ(json::parse(shown.body)["steps"][0]["code"], "K7F") << "the act may be under way";
    EXPECT_EQ(shown.field("ETag"), "W/\"9\"");
}

TEST_F(procedures, are_waited_for_until_something_new_is_told) {
    begin(samples::request(Method::get, "/v1/procedures/p1",
                           {{"Prefer", "wait=60"}, {"If-None-Match", "W/\"8\""}}));
    EXPECT_FALSE(response);
    desk.procedures_shown.front().revision = 10;
    desk.move_time(1s);
    poll();
    ASSERT_TRUE(response);
    EXPECT_EQ(response->status, 200);
}

TEST_F(procedures, are_opened_with_their_arguments) {
    const Response opened =
        post("/v1/procedures", R"({"chassis": "core1", "procedure": "fan-tray", "ticket": "T-7",
                                   "arguments": {"tray": "TRAY2", "limit": "10 min by rule 7"}})");
    EXPECT_EQ(opened.status, 201);
    EXPECT_EQ(opened.field("Location"), "/v1/procedures/p1");
    ASSERT_EQ(desk.procedure_wishes.size(), 1);
    const desk::ProcedureWish& wish = desk.procedure_wishes.front();
    EXPECT_EQ(wish.chassis, "core1");
    EXPECT_EQ(wish.procedure, "fan-tray");
    EXPECT_EQ(wish.ticket, "T-7");
    EXPECT_EQ(wish.by, "127.0.0.1");
    EXPECT_EQ(wish.arguments, (std::map<std::string, std::string>{{"tray", "TRAY2"},
                                                                  {"limit", "10 min by rule 7"}}));
}

TEST_F(procedures, are_refused_with_what_is_wrong) {
    EXPECT_EQ(post("/v1/procedures", R"({"chassis": "core1"})").status, 422);
    EXPECT_EQ(
        post("/v1/procedures", R"({"chassis": "c", "procedure": "p", "arguments": {"tray": 2}})")
            .status,
        422);
    EXPECT_EQ(
        post("/v1/procedures", R"({"chassis": "c", "procedure": "p", "arguments": "x"})").status,
        422);
    desk.refusal = desk::Refusal{desk::Refusal::Kind::bad_procedure,
                                 {"", {}, "TRAY9", "a fan tray of this chassis", "look again"}};
    const Response refused =
        post("/v1/procedures", R"({"chassis": "core1", "procedure": "fan-tray"})");
    EXPECT_EQ(refused.status, 422);
    EXPECT_THAT(refused.body, HasSubstr("TRAY9"));
    EXPECT_EQ(get("/v1/procedures/p9").status, 404);
}

TEST_F(procedures, take_a_release_and_a_confirmation_of_the_state_that_was_seen) {
    EXPECT_EQ(post("/v1/procedures/p1/releases", R"({"step": "pull-tray"})", seen).status, 200);
    EXPECT_EQ(post("/v1/procedures/p1/confirmations",
                   R"({"step": "pull-tray", "on_behalf_of": "Grace"})", seen)
                  .status,
              200);
    ASSERT_EQ(desk.acts.size(), 2);
    const witness::StepAct act{"p1", "pull-tray", 3, "127.0.0.1"};
    EXPECT_EQ(std::get<witness::StepReleased>(desk.acts[0]).act, act);
    EXPECT_EQ(std::get<witness::StepConfirmed>(desk.acts[1]).act, act);
    EXPECT_EQ(std::get<witness::StepConfirmed>(desk.acts[1]).on_behalf_of, "Grace");
}

TEST_F(procedures, take_a_confirmation_back_of_the_state_that_was_seen) {
    const std::string path = "/v1/procedures/p1/undos";
    EXPECT_EQ(post(path, R"({"step": "pull-tray"})", seen).status, 200);
    EXPECT_EQ(std::get<witness::StepUnconfirmed>(desk.acts.at(0)).act,
              (witness::StepAct{"p1", "pull-tray", 3, "127.0.0.1"}));
    EXPECT_EQ(post(path, R"({"step": "pull-tray"})").status, 428);
    EXPECT_EQ(post(path, R"({})", seen).status, 422);
}

TEST_F(procedures, take_no_act_upon_a_step_without_its_revision_or_with_another) {
    const std::string path = "/v1/procedures/p1/confirmations";
    const std::string body = R"({"step": "pull-tray"})";
    EXPECT_EQ(post(path, body).status, 428); // RFC 6585 §3
    EXPECT_EQ(post(path, body, {{"If-Match", "\"2\""}}).status, 412);
    EXPECT_EQ(post(path, body, {{"If-Match", "W/\"3\""}}).status, 400);
    EXPECT_EQ(post(path, body, {{"If-Match", "\"three\""}}).status, 400);
    EXPECT_EQ(post(path, R"({"step": "pull-tray", "by": "Eve"})", seen).status, 422);
    EXPECT_TRUE(desk.acts.empty());
}

TEST_F(procedures, take_what_else_people_do) {
    const auto act = [&](const std::string& body, std::vector<Field> fields = {}) {
        return post("/v1/procedures/p1/acts", body, std::move(fields)).status;
    };
    EXPECT_EQ(act(R"({"act": "answer", "rule": "others", "reason": "known"})"), 200);
    EXPECT_EQ(act(R"({"act": "answer", "reason": "seating it"})"), 200);
    EXPECT_EQ(act(R"({"act": "back-out", "reason": "no spare"})"), 200);
    EXPECT_EQ(act(R"({"act": "take-shift"})"), 200);
    EXPECT_EQ(act(R"({"act": "close", "outcome": "closed_degraded", "ticket": "T-8"})"), 200);
    EXPECT_EQ(act(R"({"act": "skip", "step": "pull-tray", "reason": "gone"})", seen), 200);
    EXPECT_EQ(act(R"({"act": "try-again", "step": "pull-tray"})", seen), 200);
    EXPECT_EQ(act(R"({"act": "waive", "component": "module FAB3", "reason": "known"})"), 200);
    ASSERT_EQ(desk.acts.size(), 8);
    EXPECT_EQ(std::get<witness::StopAnswered>(desk.acts[0]).name, "others");
    EXPECT_EQ(std::get<witness::StopAnswered>(desk.acts[1]).of, witness::StopAnswered::Of::cooling);
    EXPECT_EQ(std::get<witness::BackOutBegun>(desk.acts[2]).reason, "no spare");
    EXPECT_EQ(std::get<witness::ShiftTaken>(desk.acts[3]).by, "127.0.0.1");
    EXPECT_EQ(std::get<witness::ProcedureClosed>(desk.acts[4]).ticket, "T-8");
    EXPECT_TRUE(std::get<witness::StepForced>(desk.acts[5]).skipped);
    EXPECT_TRUE(std::holds_alternative<witness::StepTriedAgain>(desk.acts[6]));
    const auto& waived = std::get<witness::DifferenceWaived>(desk.acts[7]);
    EXPECT_EQ(waived.component, (witness::Component{state::Kind::module, "FAB3"}));
    EXPECT_EQ(waived.by, "127.0.0.1");
    EXPECT_EQ(waived.reason, "known");
    for (const char* component : {"", "FAB3", "module", "module FAB3 for 10 s", "every module"})
        EXPECT_EQ(act(json{{"act", "waive"}, {"component", component}, {"reason", "x"}}.dump()),
                  422)
            << component;
    EXPECT_EQ(act(R"({"act": "dance"})"), 422);
    EXPECT_EQ(act(R"({"act": "close", "outcome": "well"})"), 422);
    EXPECT_EQ(act(R"({"act": "force", "step": "pull-tray", "reason": "x"})"), 428);
}

TEST_F(procedures, take_a_code_however_it_was_read_back) {
    const std::string path = "/v1/procedures/p1/confirmations";
    for (const char* said : {"K7F", "k 7 f", "Kilo Seven Foxtrot"}) {
        const json body{{"step", "pull-tray"}, {"on_behalf_of", "Grace"}, {"read_back", said}};
        EXPECT_EQ(post(path, body.dump(), seen).status, 200) << said;
        EXPECT_EQ(std::get<witness::StepConfirmed>(desk.acts.back()).read_back, "K7F");
    }
    desk.acts.clear();
    for (const char* said : {"", "K7", "K7O", "done"}) {
        const json body{{"step", "pull-tray"}, {"read_back", said}};
        const Response refused = post(path, body.dump(), seen);
        EXPECT_EQ(refused.status, 422) << said;
        EXPECT_EQ(json::parse(refused.body)["field"], "read_back");
        EXPECT_THAT(refused.body, HasSubstr("Let it be read again"));
    }
    EXPECT_TRUE(desk.acts.empty());
}

TEST_F(procedures, take_what_the_technician_reads_from_the_rack) {
    const std::string path = "/v1/procedures/p1/acts";
    EXPECT_EQ(post(path, R"({"act": "at-chassis", "serial_end": "0017", "on_behalf_of": "Grace"})")
                  .status,
              200);
    EXPECT_EQ(post(path, R"({"act": "answer", "of": "chassis", "reason": "new label"})").status,
              200);
    ASSERT_EQ(desk.acts.size(), 2);
    EXPECT_EQ(std::get<witness::ChassisNamed>(desk.acts[0]),
              (witness::ChassisNamed{"p1", "0017", "127.0.0.1", "Grace"}));
    EXPECT_EQ(std::get<witness::StopAnswered>(desk.acts[1]).of, witness::StopAnswered::Of::chassis);
    EXPECT_EQ(post(path, R"({"act": "answer", "of": "tray", "reason": "x"})").status, 422);
}

TEST_F(procedures, are_printed_as_a_sheet_that_can_run_nothing) {
    const Response sheet = get("/v1/procedures/p1/sheet");
    EXPECT_EQ(sheet.status, 200);
    EXPECT_EQ(sheet.body, "<!doctype html>\n<title>p1</title>\n");
    EXPECT_EQ(sheet.field("Content-Type"), "text/html; charset=utf-8");
    EXPECT_EQ(sheet.field("Content-Security-Policy"),
              "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox");
    EXPECT_EQ(get("/v1/procedures/p9/sheet").status, 404);
    desk.refusal =
        desk::Refusal{desk::Refusal::Kind::not_done, {"", {}, "another file", "it", "x"}};
    EXPECT_EQ(get("/v1/procedures/p1/sheet").status, 409);
}

TEST_F(procedures, show_where_the_technician_stands) {
    witness::ChassisFinding chassis;
    chassis.procedure = "p1";
    chassis.read = "0018";
    chassis.reported = "0017";
    chassis.same = witness::Truth::no;
    chassis.lost = true;
    desk.procedures_shown.front().record.chassis = chassis;
    const json shown = json::parse(get("/v1/procedures/p1").body)["right_chassis"];
    EXPECT_EQ(shown["read"], "0018");
    EXPECT_EQ(shown["reported"], "0017");
    EXPECT_EQ(shown["same"], "false");
    EXPECT_EQ(shown["lost"], true);
}

TEST_F(procedures, say_that_nothing_was_done_where_the_witness_refuses) {
    desk.refusal = desk::Refusal{desk::Refusal::Kind::not_done,
                                 {"",
                                  {},
                                  "step pull-tray, confirmed",
                                  "a step that is released",
                                  "Wait for the engineer's release."}};
    EXPECT_EQ(post("/v1/procedures/p1/releases", R"({"step": "pull-tray"})", seen).status, 409);
}

TEST_F(procedures, are_confirmed_from_the_rack_for_what_hands_did_there_alone) {
    const auto confirm = [&](std::string body) {
        Request request =
            samples::request(Method::post, "/v1/procedures/p1/confirmations",
                             {{"Content-Type", "application/json"}, seen.front()}, std::move(body));
        request.asker.role = tokens::Role::rack;
        begin(std::move(request));
        return response->status;
    };
    EXPECT_EQ(confirm(R"({"step": "pull-tray", "on_behalf_of": "B. Person"})"), 403);
    desk.procedures_shown.front().record.opened.steps.front().technician = false;
    EXPECT_EQ(confirm(R"({"step": "pull-tray"})"), 403);
    EXPECT_TRUE(desk.acts.empty());
    desk.procedures_shown.front().record.opened.steps.front().technician = true;
    EXPECT_EQ(confirm(R"({"step": "pull-tray"})"), 200);
    EXPECT_EQ(desk.acts.size(), 1);
}

} // namespace
} // namespace slotwitness::api
