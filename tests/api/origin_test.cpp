#include "samples.hpp"

#include <slotwitness/api/origin.hpp>

#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

bool refuses(Method method, std::vector<Field> fields) {
    fields.push_back({"Host", "watch.example.net:8470"});
    const auto problem = of_another_origin(samples::request(method, "/v1/gates", fields));
    if (problem) {
        EXPECT_EQ(problem->status, 403);
    }
    return problem.has_value();
}

TEST(origin, of_the_page_must_be_the_servers_own_where_something_changes) {
    for (const Method method : {Method::post, Method::delete_}) {
        EXPECT_FALSE(refuses(method, {}));
        EXPECT_FALSE(refuses(method, {{"Origin", "https://watch.example.net:8470"}}));
        EXPECT_FALSE(refuses(method, {{"Origin", "http://WATCH.example.net:8470"}}));
        for (const char* other :
             {"https://evil.example", "https://watch.example.net", "https://watch.example.net:8471",
              "null", "", "watch.example.net:8470", "https://watch.example.net:8470.evil.example"})
            EXPECT_TRUE(refuses(method, {{"Origin", other}})) << other;
        EXPECT_TRUE(refuses(method, {{"Origin", "https://watch.example.net:8470"},
                                     {"Origin", "https://evil.example"}}));
    }
}

TEST(origin, is_told_by_the_browser_as_well) { // W3C Fetch Metadata, §2.3
    EXPECT_FALSE(refuses(Method::post, {{"Sec-Fetch-Site", "same-origin"}}));
    EXPECT_FALSE(refuses(Method::post, {{"Sec-Fetch-Site", "none"}}));
    for (const char* other : {"cross-site", "same-site", "", "same-origin, none"})
        EXPECT_TRUE(refuses(Method::post, {{"Sec-Fetch-Site", other}})) << other;
}

TEST(origin, does_not_matter_to_who_only_looks) {
    for (const Method method : {Method::get, Method::head})
        EXPECT_FALSE(refuses(
            method, {{"Origin", "https://evil.example"}, {"Sec-Fetch-Site", "cross-site"}}));
}

} // namespace
} // namespace slotwitness::api
