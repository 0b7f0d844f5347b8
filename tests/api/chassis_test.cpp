#include "samples.hpp"

#include <slotwitness/api/answer.hpp>
#include <slotwitness/api/chassis.hpp>
#include <slotwitness/api/health.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using nlohmann::json;

class chassis : public testing::Test {
  protected:
    chassis() { samples::fill(desk); }
    Response get(std::string path) {
        return std::get<Response>(route(samples::request(Method::get, std::move(path)), desk));
    }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(chassis, lists_each_with_its_session) {
    desk.chassis_shown.push_back({});
    desk.chassis_shown[1].name = "core2";
    desk.chassis_shown[1].session = desk::Session::refused;
    desk.chassis_shown[1].session_text = "the device refused the key; install it there";
    desk.chassis_shown[1].held_up = "the budget has no room";
    const json all = json::parse(get("/v1/chassis").body)["chassis"];
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0], (json{{"name", "core1"},
                            {"family", "quillon"},
                            {"session", "connected"},
                            {"session_text", ""},
                            {"held_up", nullptr},
                            {"session_reason", ""},
                            {"serial", "QN4417A"},
                            {"in_band", false},
                            {"reached", nullptr},
                            {"switchover", nullptr},
                            {"last_answer", "2026-11-25T07:59:59.000Z"},
                            {"valid_until", "2026-11-25T08:00:20.000Z"},
                            {"gates_pending", 1},
                            {"procedure", nullptr}}));
    EXPECT_EQ(all[1]["session"], "refused");
    EXPECT_EQ(all[1]["session_text"], "the device refused the key; install it there");
    EXPECT_EQ(all[1]["held_up"], "the budget has no room");
    EXPECT_EQ(all[1]["serial"], nullptr);
    EXPECT_EQ(all[1]["last_answer"], nullptr);
}

TEST_F(chassis, tells_where_the_session_leads_since_when_and_what_switched_over) {
    desk::ChassisView& view = desk.chassis_shown[0];
    view.in_band = true;
    witness::SessionOpened& opened = view.opened.emplace();
    opened.address = "192.0.2.8:22";
    opened.host_key = "SHA256:x";
    view.opened_at = *view.last_answer;
    view.switchover = desk::Switchover{
        *view.last_answer, {witness::SwitchedOver::Of::address, "192.0.2.7:22", "192.0.2.8:22"}};
    const json shown = json::parse(get("/v1/chassis/core1").body);
    EXPECT_EQ(shown["in_band"], true);
    EXPECT_EQ(shown["reached"], (json{{"since", "2026-11-25T07:59:59.000Z"},
                                      {"address", "192.0.2.8:22"},
                                      {"host_key", "SHA256:x"},
                                      {"weak_algorithms", json::array()}}));
    EXPECT_EQ(shown["switchover"], (json{{"at", "2026-11-25T07:59:59.000Z"},
                                         {"of", "address"},
                                         {"from", "192.0.2.7:22"},
                                         {"to", "192.0.2.8:22"}}));
}

TEST_F(chassis, connects_again_by_json_alone) {
    const auto ask = [&](std::string path, std::string body) {
        const Request request = samples::request(
            Method::post, std::move(path), {{"Content-Type", "application/json"}}, std::move(body));
        Response got;
        boost::asio::co_spawn(io, answer(request, route(request, desk), desk, {}),
                              [&](std::exception_ptr, Response done) { got = std::move(done); });
        io.restart();
        io.run();
        return got;
    };
    EXPECT_EQ(ask("/v1/chassis/core1/session", R"({"by": "somebody else"})").status, 422);
    EXPECT_EQ(ask("/v1/chassis/core9/session", "{}").status, 404);
    EXPECT_TRUE(desk.connects_asked.empty());
    const Response done = ask("/v1/chassis/core1/session", "{}");
    EXPECT_EQ(done.status, 202);
    EXPECT_EQ(done.field("Location"), "/v1/chassis/core1");
    EXPECT_EQ(json::parse(done.body)["name"], "core1");
    EXPECT_EQ(desk.connects_asked.at(0),
              (std::pair<std::string, std::string>("core1", "127.0.0.1")));
}

TEST_F(chassis, shows_components_by_kind_with_the_lines_as_printed) {
    const json shown = json::parse(get("/v1/chassis/core1").body);
    EXPECT_EQ(shown["components"]["plane"][0],
              (json{{"name", "3"},
                    {"facts",
                     {{"admin", {{"value", "locked"}, {"line", 4}, {"column", 4}}},
                      {"oper", {{"value", "disabled"}, {"line", 4}, {"column", 12}}}}},
                    {"printed", "3  locked  stopped"},
                    {"line", 4},
                    {"asking", "inventory"},
                    {"capture", std::string(64, 'a')},
                    {"answered", "2026-11-25T07:59:59.000Z"},
                    {"whole", true}}));
    EXPECT_EQ(shown["components"]["module"][0]["facts"]["serves"]["value"], json::array({"3"}));
    EXPECT_EQ(shown["components"]["sensor"][0]["facts"]["reading"]["value"],
              (json{{"value", "23.5"}, {"unit", "C"}}));
    EXPECT_EQ(shown["components"]["fan-tray"][0]["facts"]["oper"]["value"], "unknown");
    EXPECT_FALSE(shown["components"].contains("port"));
    EXPECT_EQ(shown["unread"], (json::array({{{"line", 12},
                                              {"column", 1},
                                              {"text", "!! table busy"},
                                              {"expected", "a plane number"}}})));
    EXPECT_EQ(
        shown["remarks"],
        (json::array({{{"line", 8}, {"column", 8}, {"text", "\"what?\" is no declared word"}}})));
}

TEST_F(chassis, shows_its_baseline_or_that_there_is_none) {
    EXPECT_EQ(json::parse(get("/v1/chassis/core1").body)["baseline"], nullptr);
    desk.chassis_shown[0].baseline = witness::BaselineFixed{7, samples::start, {}, "engineer"};
    EXPECT_EQ(json::parse(get("/v1/chassis/core1").body)["baseline"],
              (json{{"at", "2026-11-25T08:00:00.000Z"}, {"by", "engineer"}, {"round", "7"}}));
    EXPECT_EQ(json::parse(get("/v1/chassis/core1").body)["baseline_wanted"], false);
}

TEST_F(chassis, names_the_procedure_under_way_or_that_there_is_none) {
    EXPECT_EQ(json::parse(get("/v1/chassis/core1").body)["procedure"], nullptr);
    desk.chassis_shown[0].procedure = "p1";
    EXPECT_EQ(json::parse(get("/v1/chassis/core1").body)["procedure"], "p1");
    EXPECT_EQ(json::parse(get("/v1/chassis").body)["chassis"][0]["procedure"], "p1");
}

TEST_F(chassis, shows_any_bytes_of_the_device) {
    desk.chassis_shown[0].components[1].row.text = "3 \xff\x1b[2J";
    const Response shown = get("/v1/chassis/core1");
    EXPECT_EQ(json::parse(shown.body)["components"]["plane"][0]["printed"],
              "3 \xEF\xBF\xBD\x1b[2J");
    EXPECT_EQ(shown.body.find('\x1b'), std::string::npos) << "JSON escapes it";
}

TEST_F(chassis, a_mistyped_name_is_404_and_the_names_are_told) {
    for (const char* path : {"/v1/chassis/core9", "/v1/chassis/core9/hardware"}) {
        const Response missing = get(path);
        EXPECT_EQ(missing.status, 404);
        const json problem = json::parse(missing.body);
        EXPECT_EQ(problem["found"], "core9");
        EXPECT_EQ(problem["expected"], "one of core1");
        EXPECT_EQ(problem["instance"], path);
    }
}

TEST_F(chassis, readiness_tells_its_reasons) {
    EXPECT_EQ(get("/readyz").status, 200);
    EXPECT_EQ(get("/livez").status, 200);
    desk.health_shown = {false, {"the journal cannot be written: no space left on device"}};
    const Response unready = get("/readyz");
    EXPECT_EQ(unready.status, 503);
    EXPECT_EQ(json::parse(unready.body)["reasons"],
              json::array({"the journal cannot be written: no space left on device"}));
    EXPECT_EQ(get("/livez").status, 200);
}

} // namespace
} // namespace slotwitness::api
