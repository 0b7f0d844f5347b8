#include "samples.hpp"

#include <slotwitness/api/page.hpp>
#include <slotwitness/api/router.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using nlohmann::json;

class pages : public testing::Test {
  protected:
    pages() {
        samples::fill(desk);
        desk.gates_shown.clear();
        for (int i = 250; i > 0; --i) { // newest first
            desk.gates_shown.push_back(samples::pending_gate());
            desk.gates_shown.back().finding.id = "g" + std::to_string(i);
        }
    }
    Response get(const std::string& target, std::vector<Field> fields = {}) {
        Request request =
            samples::request(Method::get, target.substr(0, target.find('?')), std::move(fields));
        if (target.find('?') != std::string::npos)
            request.query = target.substr(target.find('?') + 1);
        if (auto refused = refused_early(request))
            return *refused;
        return std::get<Response>(route(request, desk));
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(pages, together_are_the_whole_list_once) {
    std::vector<std::string> seen;
    std::string next = "/v1/gates?limit=40";
    std::size_t count = 0;
    while (!next.empty()) {
        const Response response = get(next);
        ASSERT_EQ(response.status, 200);
        const json body = json::parse(response.body);
        for (const json& gate : body["gates"])
            seen.push_back(gate["id"]);
        next = body["next"].is_null() ? "" : body["next"].get<std::string>();
        EXPECT_EQ(response.field("Link"),
                  next.empty() ? std::nullopt : std::optional{"<" + next + ">; rel=\"next\""});
        ++count;
    }
    EXPECT_EQ(count, 7);
    ASSERT_EQ(seen.size(), 250);
    for (std::size_t i = 0; i < seen.size(); ++i)
        EXPECT_EQ(seen[i], "g" + std::to_string(250 - i));
}

TEST_F(pages, do_not_shift_by_what_is_opened_meanwhile) {
    const json first = json::parse(get("/v1/gates?limit=10").body);
    desk.gates_shown.insert(desk.gates_shown.begin(), samples::pending_gate());
    const json second = json::parse(get(first["next"]).body);
    EXPECT_EQ(first["gates"][9]["id"], "g241");
    EXPECT_EQ(second["gates"][0]["id"], "g240");
}

TEST_F(pages, of_usual_length_come_without_a_query_and_text_tells_that_there_is_more) {
    EXPECT_EQ(json::parse(get("/v1/gates").body)["gates"].size(), 100);
    const std::string text = get("/v1/gates", {{"Accept", "text/plain"}}).body;
    EXPECT_EQ(std::ranges::count(text, '\n'), 101);
    EXPECT_THAT(text, testing::EndsWith("\nmore: /v1/gates?limit=100&after=g151\n"));
    const std::string last = get("/v1/gates?limit=1000", {{"Accept", "text/plain"}}).body;
    EXPECT_EQ(std::ranges::count(last, '\n'), 250);
}

TEST_F(pages, that_end_with_the_list_have_no_next) {
    EXPECT_EQ(json::parse(get("/v1/gates?limit=250").body)["next"], nullptr);
    const json beyond = json::parse(get("/v1/gates?after=g1").body);
    EXPECT_TRUE(beyond["gates"].empty());
    EXPECT_EQ(beyond["next"], nullptr);
    EXPECT_EQ(json::parse(get("/v1/procedures").body)["next"], nullptr);
}

TEST_F(pages, have_tags_of_their_own) {
    EXPECT_NE(get("/v1/gates?limit=10").field("ETag"), get("/v1/gates?limit=11").field("ETag"));
}

TEST_F(pages, that_cannot_be_are_refused) {
    for (const char* query :
         {"limit=0", "limit=1001", "limit=ten", "limit=-1", "limit=", "limit", "limit=1&limit=2",
          "limit=99999999999999999999", "after=", "after=g1&after=g2", "after=none", "after=%zz",
          "state=open", "&", "=", "limit=1&&after=g9"})
        EXPECT_EQ(get("/v1/gates?" + std::string{query}).status, 400) << query;
    EXPECT_EQ(get("/v1/chassis?limit=1").status, 400);
}

} // namespace
} // namespace slotwitness::api
