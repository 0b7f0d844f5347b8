#include "people.hpp"

#include <slotwitness/api/rack_tokens.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using testing::HasSubstr;
using testing::StartsWith;
using tokens::Role;

class rack_tokens : public testing::Test {
  protected:
    rack_tokens() { samples::fill(desk); }

    Response post(const std::string& body, std::vector<Field> fields = {},
                  const std::string& procedure = "p1") {
        fields.push_back({"Content-Type", "application/json"});
        Request request = samples::request(
            Method::post, "/v1/procedures/" + procedure + "/rack-tokens", std::move(fields));
        request.body = body;
        Next next = post_rack_token(request, {procedure}, desk);
        if (auto* refused = std::get_if<Response>(&next))
            return *refused;
        Response made;
        boost::asio::co_spawn(
            io, rack_token_made(request, std::get<MakeRackToken>(std::move(next)), known),
            [&](std::exception_ptr error, Response response) {
                EXPECT_FALSE(error);
                made = std::move(response);
            });
        io.restart();
        io.run();
        return made;
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    People people;
    tokens::Register* known = &people.known;
};

TEST_F(rack_tokens, are_told_once_with_the_address_for_the_phone) {
    const Response made = post(R"({"person": "G. Hand", "expires": "2 h"})",
                               {{"Origin", "https://watch.example.net:8443"}});
    ASSERT_EQ(made.status, 201) << made.body;
    const auto told = nlohmann::json::parse(made.body);
    const std::string text = told["token"];
    EXPECT_EQ(told["address"], "https://watch.example.net:8443/rack/p1#token=" + text);
    EXPECT_THAT(told["qr"]["path"].get<std::string>(), StartsWith("M4 4h7v1h-7z")) << "the finder";
    EXPECT_EQ(told["expires"], "2026-11-25T14:00:00.000Z");
    const auto found = people.known.find(text);
    ASSERT_TRUE(found && *found != nullptr);
    EXPECT_EQ((*found)->person, "G. Hand");
    EXPECT_EQ((*found)->role, Role::rack);
    EXPECT_EQ((*found)->procedure, "p1");
    EXPECT_EQ((*found)->id, told["id"]);
}

TEST_F(rack_tokens, have_no_whole_address_where_the_request_tells_no_origin) {
    const auto told = nlohmann::json::parse(post(R"({"person": "G. Hand"})").body);
    EXPECT_THAT(told["address"].get<std::string>(), StartsWith("/rack/p1#token=sw1."));
    EXPECT_TRUE(told["qr"].is_null());
    EXPECT_EQ(told["expires"], "2026-11-26T00:00:00.000Z") << "a shift";
}

TEST_F(rack_tokens, are_not_made_of_a_wrong_wish) {
    const std::vector<std::pair<std::string, std::string>> wrong{
        {R"({"person": ""})", "person"},
        {R"({"person": "G. Hand", "expires": "soon"})", "expires"},
        {R"({"person": "G. Hand", "expires": "0 s"})", "expires"},
        {R"({"person": "G. Hand", "expires": "367 d"})", "expires"},
        {R"({"person": "G. Hand", "role": "engineer"})", "role"},
        {R"({})", "person"}};
    for (const auto& [body, field] : wrong) {
        const Response refused = post(body);
        EXPECT_EQ(refused.status, 422) << refused.body;
        EXPECT_THAT(refused.body, HasSubstr("\"field\": \"" + field + "\""));
    }
    EXPECT_TRUE(tokens::load_tokens(people.known.path())->empty());
}

TEST_F(rack_tokens, are_of_a_procedure_that_is_open) {
    EXPECT_EQ(post(R"({"person": "G. Hand"})", {}, "none").status, 404);
    desk.procedures_shown.front().record.finding.phase = witness::Phase::closed;
    EXPECT_EQ(post(R"({"person": "G. Hand"})").status, 409);
}

TEST_F(rack_tokens, are_not_handed_out_if_they_are_not_kept) {
    people.lose_file();
    std::filesystem::create_directory(people.known.path());
    const Response refused = post(R"({"person": "G. Hand"})");
    EXPECT_EQ(refused.status, 409);
    EXPECT_THAT(refused.body, HasSubstr("nothing was handed out"));
}

TEST_F(rack_tokens, are_none_where_the_daemon_keeps_no_tokens) {
    known = nullptr;
    const Response refused = post(R"({"person": "G. Hand"})");
    EXPECT_EQ(refused.status, 409);
    EXPECT_THAT(refused.body, HasSubstr("Add tokens"));
}

} // namespace
} // namespace slotwitness::api
