#include "samples.hpp"

#include <slotwitness/api/router.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

namespace slotwitness::api {
namespace {

/// The paths of the interface and what they take, written out by hand: the table in the router must
/// agree.
struct Path {
    std::string_view pattern;
    std::string path;
    std::set<Method> methods;
    std::string allow;
};
const std::vector<Path> paths{
    {"/v1/chassis", "/v1/chassis", {Method::get, Method::head}, "GET, HEAD"},
    {"/v1/chassis/{name}", "/v1/chassis/core1", {Method::get, Method::head}, "GET, HEAD"},
    {"/v1/chassis/{name}/hardware",
     "/v1/chassis/core1/hardware",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/chassis/{name}/answers",
     "/v1/chassis/core1/answers",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/chassis/{name}/answers/{asking}",
     "/v1/chassis/core1/answers/inventory",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/chassis/{name}/timeline",
     "/v1/chassis/core1/timeline",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/chassis/{name}/baseline", "/v1/chassis/core1/baseline", {Method::post}, "POST"},
    {"/v1/chassis/{name}/session", "/v1/chassis/core1/session", {Method::post}, "POST"},
    {"/v1/gates", "/v1/gates", {Method::get, Method::head, Method::post}, "GET, HEAD, POST"},
    {"/v1/gates/{id}",
     "/v1/gates/g7",
     {Method::get, Method::head, Method::delete_},
     "GET, HEAD, DELETE"},
    {"/v1/gates/{id}/changes", "/v1/gates/g7/changes", {Method::get, Method::head}, "GET, HEAD"},
    {"/v1/procedures/{id}/changes",
     "/v1/procedures/p1/changes",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/procedures",
     "/v1/procedures",
     {Method::get, Method::head, Method::post},
     "GET, HEAD, POST"},
    {"/v1/procedures/{id}", "/v1/procedures/p1", {Method::get, Method::head}, "GET, HEAD"},
    {"/v1/procedures/{id}/sheet",
     "/v1/procedures/p1/sheet",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/procedures/{id}/card",
     "/v1/procedures/p1/card",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/procedures/{id}/evidence",
     "/v1/procedures/p1/evidence",
     {Method::get, Method::head},
     "GET, HEAD"},
    {"/v1/procedures/{id}/releases", "/v1/procedures/p1/releases", {Method::post}, "POST"},
    {"/v1/procedures/{id}/confirmations",
     "/v1/procedures/p1/confirmations",
     {Method::post},
     "POST"},
    {"/v1/procedures/{id}/undos", "/v1/procedures/p1/undos", {Method::post}, "POST"},
    {"/v1/procedures/{id}/acts", "/v1/procedures/p1/acts", {Method::post}, "POST"},
    {"/v1/procedures/{id}/rack-tokens", "/v1/procedures/p1/rack-tokens", {Method::post}, "POST"},
    {"/v1/openapi.json", "/v1/openapi.json", {Method::get, Method::head}, "GET, HEAD"},
    {"/metrics", "/metrics", {Method::get, Method::head}, "GET, HEAD"},
    {"/livez", "/livez", {Method::get, Method::head}, "GET, HEAD"},
    {"/readyz", "/readyz", {Method::get, Method::head}, "GET, HEAD"},
    {"/rack/{id}", "/rack/p1", {Method::get, Method::head}, "GET, HEAD"},
    {"/engineer", "/engineer", {Method::get, Method::head}, "GET, HEAD"},
    {"/engineer/{chassis}", "/engineer/core1", {Method::get, Method::head}, "GET, HEAD"},
    {"/assets/{name}", "/assets/base.css", {Method::get, Method::head}, "GET, HEAD"},
};

class router : public testing::Test {
  protected:
    router() { samples::fill(desk); }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(router, every_route_stands_in_the_list_of_this_test) {
    std::set<std::string_view> known;
    for (const Path& path : paths)
        known.insert(path.pattern);
    for (const Route& route : routes())
        EXPECT_TRUE(known.contains(route.pattern)) << route.pattern;
}

TEST_F(router, every_path_takes_its_methods_and_names_them_to_the_others) { // RFC 9110 §15.5.6
    for (const Path& path : paths)
        for (const Method method :
             {Method::get, Method::head, Method::post, Method::put, Method::patch, Method::delete_,
              Method::options, Method::trace, Method::connect}) {
            SCOPED_TRACE(std::string{to_word(method)} + ' ' + path.path);
            const Request request = samples::request(method, path.path);
            const auto early = refused_early(request);
            const Next next = route(request, desk);
            if (path.methods.contains(method)) {
                EXPECT_FALSE(early);
                if (const auto* response = std::get_if<Response>(&next)) {
                    EXPECT_NE(response->status, 404);
                    EXPECT_NE(response->status, 405);
                }
                continue;
            }
            ASSERT_TRUE(std::holds_alternative<Response>(next));
            const Response& response = std::get<Response>(next);
            EXPECT_EQ(response.status, 405);
            EXPECT_EQ(response.field("Allow"), path.allow);
            EXPECT_EQ(response.field("Content-Type"), "application/problem+json");
            ASSERT_TRUE(early);
            EXPECT_EQ(early->body, response.body);
        }
}

TEST_F(router, a_method_that_no_standard_names_is_not_implemented) { // RFC 9110 §9.1
    Request request = samples::request(Method::other, "/v1/gates");
    EXPECT_EQ(std::get<Response>(route(request, desk)).status, 501);
    EXPECT_EQ(method_of("get"), Method::other); // methods are case-sensitive
}

TEST_F(router, there_are_no_other_paths) {
    for (const char* path :
         {"/", "/v1", "/v1/", "/v1/gate", "/v1/gates/", "/v1/gates/g7/", "/v1/gates/g7/x",
          "//v1/gates", "/V1/gates", "/v1/chassis/core1/hardware/x", "/v1/chassis//hardware",
          "/v1/../v1/gates", "/v1%2Fgates", "/livez/"}) {
        const Next next = route(samples::request(Method::get, path), desk);
        ASSERT_TRUE(std::holds_alternative<Response>(next)) << path;
        EXPECT_EQ(std::get<Response>(next).status, 404) << path;
        EXPECT_FALSE(std::get<Response>(next).field("Allow")) << path;
        EXPECT_TRUE(refused_early(samples::request(Method::get, path))) << path;
    }
}

TEST_F(router, places_are_decoded_after_the_path_is_split) {
    desk.chassis_shown[0].name = "row 2/7";
    EXPECT_EQ(
        std::get<Response>(route(samples::request(Method::get, "/v1/chassis/row%202%2f7"), desk))
            .status,
        200);
    EXPECT_EQ(
        std::get<Response>(route(samples::request(Method::get, "/v1/chassis/row%202/7"), desk))
            .status,
        404);
}

TEST_F(router, a_query_or_a_body_where_none_belongs_is_refused_early) {
    Request query = samples::request(Method::get, "/v1/gates/g7");
    query.query = "state=open";
    ASSERT_TRUE(refused_early(query));
    EXPECT_EQ(refused_early(query)->status, 400);
    EXPECT_THAT(refused_early(query)->body, testing::HasSubstr("?state=open"));
    for (const Method method : {Method::get, Method::head, Method::delete_}) {
        const Request body = samples::request(method, "/v1/gates/g7", {{"Content-Length", "3"}});
        ASSERT_TRUE(refused_early(body)) << to_word(method);
        EXPECT_EQ(refused_early(body)->status, 400);
        EXPECT_FALSE(
            refused_early(samples::request(method, "/v1/gates/g7", {{"Content-Length", "0"}})));
    }
}

} // namespace
} // namespace slotwitness::api
