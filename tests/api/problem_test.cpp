#include <slotwitness/api/problem.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace slotwitness::api {
namespace {

using Because = desk::Refusal::Kind;

TEST(problem, is_these_bytes) {
    ProblemDetails problem;
    problem.status = 422;
    problem.kind = "bad-sentence";
    problem.detail = "The gate sentence cannot be read.";
    problem.field = "sentence";
    problem.at = {1, 9};
    problem.found = "opne";
    problem.expected = "up, down or shut";
    problem.remedy = "Correct the word.";
    const Response response = to_response(problem, "/v1/gates");
    EXPECT_EQ(response.status, 422);
    EXPECT_EQ(response.field("Content-Type"), "application/problem+json"); // RFC 9457 §3
    EXPECT_EQ(response.body, "{\n"
                             "  \"type\": \"urn:slotwitness:problem:bad-sentence\",\n"
                             "  \"title\": \"bad sentence\",\n"
                             "  \"status\": 422,\n"
                             "  \"detail\": \"The gate sentence cannot be read.\",\n"
                             "  \"instance\": \"/v1/gates\",\n"
                             "  \"field\": \"sentence\",\n"
                             "  \"line\": 1,\n"
                             "  \"column\": 9,\n"
                             "  \"found\": \"opne\",\n"
                             "  \"expected\": \"up, down or shut\",\n"
                             "  \"remedy\": \"Correct the word.\"\n"
                             "}\n");
}

TEST(problem, without_a_kind_is_about_blank_with_the_status_phrase) { // RFC 9457 §4.2.1
    ProblemDetails problem;
    problem.status = 404;
    const auto json = nlohmann::json::parse(to_response(problem, "").body);
    EXPECT_EQ(json,
              (nlohmann::json{{"type", "about:blank"}, {"title", "Not Found"}, {"status", 404}}));
}

TEST(problem, tells_what_the_caller_does_about_each_refusal) {
    struct Row {
        Because kind;
        int status;
        const char* field;
        bool come_again;
    };
    for (const Row& row :
         {Row{Because::no_such_chassis, 422, "chassis", false},
          Row{Because::no_such_gate, 404, "", false},
          Row{Because::bad_sentence, 422, "sentence", false},
          Row{Because::cannot_evaluate, 422, "sentence", false},
          Row{Because::unknown_name, 422, "sentence", false},
          // draft-ietf-httpapi-idempotency-key-header-07 §2.7
          Row{Because::key_reused, 422, "Idempotency-Key", false},
          Row{Because::in_flight, 409, "Idempotency-Key", false},
          Row{Because::too_many, 409, "chassis", false}, Row{Because::not_recorded, 503, "", true},
          Row{Because::stopping, 503, "", true}}) {
        desk::Refusal refusal;
        refusal.kind = row.kind;
        refusal.problem = {"sentence", {1, 7}, "FAB9", "FAB1 to FAB4", "Correct the name."};
        const ProblemDetails problem = to_problem(refusal);
        EXPECT_EQ(problem.status, row.status) << problem.kind;
        EXPECT_EQ(problem.field, row.field) << problem.kind;
        EXPECT_FALSE(problem.kind.empty());
        EXPECT_FALSE(problem.detail.empty());
        EXPECT_EQ(problem.at, (state::Position{1, 7}));
        EXPECT_EQ(problem.found, "FAB9");
        EXPECT_EQ(problem.expected, "FAB1 to FAB4");
        EXPECT_EQ(problem.remedy, "Correct the name.");
        EXPECT_EQ(to_response(problem, "/").field("Retry-After").has_value(), row.come_again)
            << problem.kind;
    }
}

TEST(problem, takes_any_bytes) {
    ProblemDetails problem;
    problem.found = "\xff\x01\"";
    EXPECT_EQ(nlohmann::json::parse(to_response(problem, "").body)["found"], "\xEF\xBF\xBD\x01\"");
}

} // namespace
} // namespace slotwitness::api
