#include "samples.hpp"

#include <slotwitness/api/timeline.hpp>

#include <boost/asio/io_context.hpp>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using nlohmann::json;

class shown_timeline : public testing::Test {
  protected:
    shown_timeline() { samples::fill(desk); }
    Response get(std::string path) {
        return std::get<Response>(route(samples::request(Method::get, std::move(path)), desk));
    }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(shown_timeline, has_spans_as_told_with_the_time_between_them_left_open) {
    const json shown = json::parse(get("/v1/chassis/core1/timeline").body);
    EXPECT_EQ(shown["since"], "2026-11-25T07:50:00.000Z");
    EXPECT_EQ(shown["tracks"][0], json::parse(R"({"of": "plane", "name": "3", "text": "",
        "open": false, "spans": [
          {"from": "2026-11-25T07:51:40.000Z", "until": "2026-11-25T07:55:00.000Z",
           "state": "operational"},
          {"from": "2026-11-25T07:55:02.000Z", "until": "2026-11-25T07:58:20.000Z",
           "state": "shut"}]})"));
    EXPECT_EQ(shown["tracks"][1]["text"], samples::pending_gate().finding.sentence);
    EXPECT_EQ(shown["tracks"][1]["open"], true);
}

TEST_F(shown_timeline, says_of_a_part_that_is_not_seen_why) {
    EXPECT_EQ(
        json::parse(get("/v1/chassis/core1/timeline").body)["parts"][0],
        json::parse(R"({"kind": "plane", "name": "3", "label": "REAR 3", "condition": "unknown",
        "why": "The last look brought no answer.", "asking": "planes",
        "at": "2026-11-25T07:58:20.000Z", "valid_until": "2026-11-25T07:59:50.000Z"})"));
}

TEST_F(shown_timeline, has_a_sensor_with_its_printed_values_and_its_band) {
    EXPECT_EQ(json::parse(get("/v1/chassis/core1/timeline").body)["sensors"][0],
              json::parse(R"({"name": "FAB4-core", "procedure": "p1", "hottest": "92",
        "looks": [{"at": "2026-11-25T07:59:58.000Z", "celsius": "61.5"}],
        "band": [{"at": "2026-11-25T07:59:58.000Z", "low": 61.1, "middle": 61.5, "high": 62.0}]})"));
}

TEST_F(shown_timeline, is_of_a_chassis_that_is_configured) {
    EXPECT_EQ(get("/v1/chassis/core9/timeline").status, 404);
}

} // namespace
} // namespace slotwitness::api
