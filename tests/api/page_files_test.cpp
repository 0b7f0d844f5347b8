#include "samples.hpp"

#include <slotwitness/api/head.hpp>
#include <slotwitness/api/page_files.hpp>
#include <slotwitness/journal/store.hpp>
#include <slotwitness/pages/pages.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>

namespace slotwitness::api {
namespace {

using testing::HasSubstr;

class page_files : public testing::Test {
  protected:
    page_files() { samples::fill(desk); }
    Response get(std::string path, std::vector<Field> fields = {}) {
        return std::get<Response>(
            route(samples::request(Method::get, std::move(path), std::move(fields)), desk));
    }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(page_files, are_known_by_their_digest) {
    ASSERT_FALSE(pages::files().empty());
    for (const pages::File& file : pages::files()) {
        EXPECT_EQ(file.digest, journal::digest_of(file.bytes)) << file.path;
        EXPECT_NE(pages::media_type(file.path), "") << file.path;
    }
    const Response response = get("/assets/engineer/engineer.js");
    EXPECT_EQ(response.status, 200);
    const auto tag = response.field("ETag");
    ASSERT_TRUE(tag);
    EXPECT_EQ(get("/assets/engineer/engineer.js", {{"If-None-Match", *tag}}).status, 304);
    EXPECT_EQ(response.field("Cache-Control"), "no-cache");
    EXPECT_EQ(get("/assets/engineer/face.css").status, 404);
    EXPECT_EQ(get("/assets/engineer/index.html").status, 404);
}

TEST_F(page_files, let_a_browser_do_nothing_of_elsewhere_and_nothing_inline) {
    const auto policy = get("/engineer/core1").field("Content-Security-Policy").value_or("");
    EXPECT_THAT(policy, HasSubstr("default-src 'none'"));
    EXPECT_THAT(policy, HasSubstr("frame-ancestors 'none'"));
    EXPECT_THAT(policy, testing::Not(HasSubstr("unsafe")));
    const std::string bytes = to_bytes(get("/engineer"), {});
    EXPECT_EQ(bytes.find("Cache-Control"), bytes.rfind("Cache-Control"));
    for (const pages::File& file : pages::files()) {
        const std::string text{file.bytes};
        EXPECT_EQ(text.find("innerHTML"), std::string::npos) << file.path;
        EXPECT_FALSE(
            std::regex_search(text, std::regex(R"(\son[a-z]+="|style="|<script>|javascript:)")))
            << file.path;
    }
}

TEST_F(page_files, name_only_files_that_there_are) {
    const std::regex named(R"(/assets/([a-z/]+\.[a-z]+))");
    for (const pages::File& file : pages::files()) {
        const std::string text{file.bytes};
        for (std::sregex_iterator one{text.begin(), text.end(), named}, end; one != end; ++one)
            EXPECT_NE(pages::find((*one)[1].str()), nullptr) << file.path << ": " << one->str();
    }
}

} // namespace
} // namespace slotwitness::api
