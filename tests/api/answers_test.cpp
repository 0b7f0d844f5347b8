#include "samples.hpp"

#include <slotwitness/api/answers.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using nlohmann::json;

class answers : public testing::Test {
  protected:
    answers() { samples::fill(desk); }
    Response get(std::string path, std::vector<Field> fields = {}) {
        return std::get<Response>(
            route(samples::request(Method::get, std::move(path), std::move(fields)), desk));
    }
    json line(std::size_t number) {
        return json::parse(get("/v1/chassis/core1/answers/inventory").body)["lines"].at(number - 1);
    }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(answers, are_listed_with_how_far_to_trust_each) {
    EXPECT_EQ(json::parse(get("/v1/chassis/core1/answers").body),
              (json{{"chassis", "core1"},
                    {"answers",
                     {{{"asking", "inventory"},
                       {"asked", "2026-11-25T07:59:58.000Z"},
                       {"answered", "2026-11-25T07:59:59.000Z"},
                       {"capture", std::string(64, 'a')},
                       {"whole", true},
                       {"remark", ""},
                       {"rows", 1},
                       {"unread", 1}}}}}));
    desk.answers_shown.front().ending = {true, 1, "exit status 1"};
    EXPECT_EQ(json::parse(get("/v1/chassis/core1/answers").body)["answers"][0]["whole"], false);
}

TEST_F(answers, tell_of_each_line_what_became_of_it) {
    EXPECT_EQ(line(1)["mark"], "layout");
    EXPECT_EQ(line(2)["mark"], "aside");
    EXPECT_EQ(line(2)["why"], "pager");
    EXPECT_EQ(line(3)["mark"], "row");
    EXPECT_EQ(line(4)["mark"], "unread");
    EXPECT_EQ(line(4)["expected"],
              json::parse(R"([{"column": 4, "place": 3, "text": "a plane number"}])"));
}

TEST_F(answers, tell_where_each_fact_stands_in_bytes_and_in_what_is_seen) {
    EXPECT_EQ(line(3)["facts"], (json{{{"kind", "plane"},
                                       {"name", "3é"},
                                       {"attribute", "admin"},
                                       {"value", "locked"},
                                       {"column", 6},
                                       {"place", 4}}}));
    EXPECT_EQ(line(3)["rows"], (json{{{"kind", "plane"}, {"name", "3é"}}}));
    EXPECT_EQ(line(3)["remarks"][0]["text"], "\"locked\" stands for locked");
}

TEST_F(answers, drive_nobodys_screen) {
    EXPECT_EQ(line(4)["text"], "!! \\x1B busy");
    EXPECT_EQ(get("/v1/chassis/core1/answers/inventory", {{"Accept", "text/plain"}}).body,
              "layout     1  PLANE  STATE\n"
              "aside      2  -- more --\n"
              "row        3  3é  locked\n"
              "unread     4  !! \\x1B busy\n");
}

TEST_F(answers, come_again_only_when_another_came) {
    const auto tag = get("/v1/chassis/core1/answers/inventory").field("ETag");
    ASSERT_TRUE(tag);
    const std::vector<Field> seen{{"If-None-Match", *tag}};
    EXPECT_EQ(get("/v1/chassis/core1/answers/inventory", seen).status, 304);
    desk.answers_shown.front().answered += std::chrono::seconds{2};
    EXPECT_EQ(get("/v1/chassis/core1/answers/inventory", seen).status, 200);
}

TEST_F(answers, to_what_was_never_asked_are_not_there) {
    const Response response = get("/v1/chassis/core1/answers/planes");
    EXPECT_EQ(response.status, 404);
    EXPECT_EQ(json::parse(response.body)["expected"], "one of inventory");
    EXPECT_EQ(get("/v1/chassis/core9/answers").status, 404);
    EXPECT_EQ(get("/v1/chassis/core9/answers/inventory").status, 404);
}

} // namespace
} // namespace slotwitness::api
