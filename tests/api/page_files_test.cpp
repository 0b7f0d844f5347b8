#include "samples.hpp"

#include <slotwitness/api/framing.hpp>
#include <slotwitness/api/router.hpp>
#include <slotwitness/pages/files.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

namespace slotwitness::api {
namespace {

using testing::HasSubstr;

class page_files : public testing::Test {
  protected:
    page_files() { samples::fill(desk); }

    Response get(const std::string& path, std::vector<Field> fields = {}) {
        return std::get<Response>(
            route(samples::request(Method::get, path, std::move(fields)), desk));
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(page_files, are_the_bytes_of_their_folder_and_their_tags_what_sha256sum_says) {
    ASSERT_FALSE(pages::files().empty());
    for (const pages::File& file : pages::files()) {
        const std::string path =
            std::string{SLOTWITNESS_TESTS "/../api/pages/"} + std::string{file.name};
        std::ifstream stream(path, std::ios::binary);
        EXPECT_EQ(file.bytes, std::string(std::istreambuf_iterator<char>(stream), {})) << path;
        const std::string check = "echo '" + std::string{file.digest} + "  " + path +
                                  "' | sha256sum --check --status"; // of GNU coreutils
        EXPECT_EQ(std::system(check.c_str()), 0) << path;
    }
}

TEST_F(page_files, a_page_is_the_same_for_every_procedure_and_runs_nothing_but_our_own_files) {
    const Response page = get("/rack/p1");
    EXPECT_EQ(page.status, 200);
    EXPECT_EQ(page.field("Content-Type"), "text/html; charset=utf-8");
    EXPECT_EQ(page.body, get("/rack/none").body);
    for (const char* part : {"default-src 'none'", "script-src 'self'", "style-src 'self'",
                             "frame-ancestors 'none'", "form-action 'none'"})
        EXPECT_THAT(*page.field("Content-Security-Policy"), HasSubstr(part));
    EXPECT_THAT(*page.field("Content-Security-Policy"), testing::Not(HasSubstr("unsafe")));
    const std::string bytes = to_bytes(page, {});
    EXPECT_THAT(bytes, HasSubstr("\r\nReferrer-Policy: no-referrer\r\n"));
    EXPECT_THAT(bytes, HasSubstr("\r\nX-Content-Type-Options: nosniff\r\n"));
    EXPECT_THAT(bytes, HasSubstr("\r\nCache-Control: no-cache\r\n"));
    EXPECT_THAT(bytes, testing::Not(HasSubstr("no-store")));
}

TEST_F(page_files, every_file_that_a_page_names_is_there) {
    for (const char* path : {"/rack/p1", "/engineer"}) {
        const std::string page = get(path).body;
        static constexpr std::string_view begin = "\"/assets/";
        ASSERT_NE(page.find(begin), std::string::npos);
        for (auto at = page.find(begin); at != std::string::npos; at = page.find(begin, at + 1))
            EXPECT_EQ(get(page.substr(at + 1, page.find('"', at + 1) - at - 1)).status, 200)
                << page.substr(at, 40);
    }
}

TEST_F(page_files, what_a_browser_has_is_not_sent_again) {
    const Response style = get("/assets/base.css");
    EXPECT_EQ(style.field("Content-Type"), "text/css; charset=utf-8");
    const Response again = get("/assets/base.css", {{"If-None-Match", *style.field("ETag")}});
    EXPECT_EQ(again.status, 304);
    EXPECT_TRUE(again.body.empty());
    EXPECT_EQ(again.field("ETag"), style.field("ETag"));
    EXPECT_EQ(get("/assets/words.js").field("Content-Type"), "text/javascript; charset=utf-8");
}

TEST_F(page_files, nothing_else_is_there) {
    for (const char* path : {"/assets/none.js", "/assets/rack.html", "/assets/package.json",
                             "/assets/..%2Frouter.cpp", "/assets/%2e%2e"})
        EXPECT_EQ(get(path).status, 404) << path;
}

} // namespace
} // namespace slotwitness::api
