#include "people.hpp"

#include <slotwitness/api/answer.hpp>
#include <slotwitness/api/contract.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cstdlib>
#include <set>
#include <sys/wait.h>

namespace slotwitness::api {
namespace {

using nlohmann::json;

std::string lower_word(Method method) {
    std::string word{to_word(method)};
    std::ranges::transform(word, word.begin(), [](char c) { return std::tolower(c); });
    return word;
}

class contract : public testing::Test {
  protected:
    contract() { samples::fill(desk); }

    /// The response of the routes, without connection and door.
    Response ask(Method method, const std::string& path, const std::string& body = "") {
        std::vector<Field> fields{{"If-Match", "\"3\""}};
        if (!body.empty())
            fields.push_back({"Content-Type", "application/json"});
        if (method != Method::post)
            fields.clear();
        const Request request = samples::request(method, path, fields, body);
        std::optional<Response> response;
        const auto run = [&]() -> boost::asio::awaitable<void> {
            Leaving leaving = []() -> boost::asio::awaitable<void> { co_return; };
            auto answering = answer(request, route(request, desk), desk, std::move(leaving));
            response = co_await std::move(answering);
        };
        boost::asio::co_spawn(io, run(), [](std::exception_ptr error) { EXPECT_FALSE(error); });
        io.restart();
        io.run();
        return response.value();
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    const json document = json::parse(contract_text());
};

TEST_F(contract, has_every_route_with_its_rights_and_nothing_else) {
    std::set<std::string> described;
    for (const auto& [path, operations] : document["paths"].items())
        for (const auto& [method, operation] : operations.items())
            described.insert(method + ' ' + path);
    for (const Route& route : routes()) {
        const std::string method = lower_word(route.method);
        const std::string pattern{route.pattern};
        SCOPED_TRACE(method + ' ' + pattern);
        ASSERT_TRUE(described.erase(method + ' ' + pattern));
        const json& operation = document["paths"][pattern][method];
        EXPECT_EQ(operation["security"].empty(), !route.roles);
        if (route.roles) {
            std::string roles;
            for (const json& role : operation["security"][0]["token"])
                roles.append(roles.empty() ? "" : ", ").append(role);
            EXPECT_EQ(roles, tokens::to_text(*route.roles));
        }
        const bool takes_page = operation.contains("parameters") &&
                                operation["parameters"].dump().find("/Limit") != std::string::npos;
        EXPECT_EQ(takes_page, route.pages);
        EXPECT_EQ(operation.contains("requestBody"), route.method == Method::post);
    }
    EXPECT_TRUE(described.empty()) << *described.begin();
}

TEST_F(contract, has_an_operation_id_of_its_own_for_each_and_every_reference_leads_somewhere) {
    std::set<std::string> ids;
    std::size_t count = 0;
    for (const auto& [path, operations] : document["paths"].items())
        for (const auto& [method, operation] : operations.items()) {
            ids.insert(operation["operationId"].get<std::string>());
            ++count;
        }
    EXPECT_EQ(ids.size(), count);
    std::size_t references = 0;
    const json flat = document.flatten();
    for (const auto& [pointer, value] : flat.items())
        if (pointer.ends_with("/$ref")) {
            const std::string target = value.get<std::string>();
            ASSERT_TRUE(target.starts_with("#/")) << target;
            EXPECT_TRUE(document.contains(json::json_pointer(target.substr(1)))) << target;
            ++references;
        }
    EXPECT_GT(references, 50);
}

/// Validates with Python's jsonschema (JSON Schema 2020-12, which OpenAPI 3.1 is over): each line
/// of the file is a document with the name of its schema.
constexpr const char* validator = R"(
import json, sys
from jsonschema import Draft202012Validator, FormatChecker, RefResolver
document = json.load(open(sys.argv[1]))
failed = 0
for line in open(sys.argv[2]):
    case = json.loads(line)
    schema = {"$ref": "#/components/schemas/" + case["schema"]}
    resolver = RefResolver("", document)
    Draft202012Validator.check_schema(document["components"]["schemas"][case["schema"]])
    errors = list(Draft202012Validator(schema, resolver=resolver, format_checker=FormatChecker()).iter_errors(case["value"]))
    if bool(errors) == case["good"]:
        failed += 1
        print(case["schema"], "good" if case["good"] else "bad", [e.message for e in errors][:3])
sys.exit(1 if failed else 0)
)";

TEST_F(contract, holds_for_what_is_answered) {
    if (std::system("/usr/bin/python3 -c 'import jsonschema' 2>/dev/null") != 0)
        GTEST_SKIP() << "needs Debian's python3-jsonschema";
    std::string cases;
    const auto add = [&](const char* schema, const json& value, bool good = true) {
        cases += json{{"schema", schema}, {"value", value}, {"good", good}}.dump() + "\n";
    };
    const auto got = [&](Method method, const std::string& path, const std::string& body = "") {
        return json::parse(ask(method, path, body).body);
    };
    desk.gates_shown.push_back(samples::pending_gate());
    desk.gates_shown.back().finding.verdict = witness::Verdict::fail;
    desk.gates_shown.back().finding.failure = witness::Failure::not_seen;
    desk.gates_shown.back().finding.deadline.reset();
    desk.gates_shown.back().finding.last_look.reset();
    add("AllChassis", got(Method::get, "/v1/chassis"));
    add("Chassis", got(Method::get, "/v1/chassis/core1"));
    add("Answers", got(Method::get, "/v1/chassis/core1/answers"));
    add("Answer", got(Method::get, "/v1/chassis/core1/answers/inventory"));
    add("Timeline", got(Method::get, "/v1/chassis/core1/timeline"));
    add("Baseline", got(Method::post, "/v1/chassis/core1/baseline", "{}"));
    add("ChassisSummary", got(Method::post, "/v1/chassis/core1/session", "{}"));
    add("Gates", got(Method::get, "/v1/gates"));
    add("Gate", got(Method::get, "/v1/gates/g7"));
    const std::string wish = R"({"chassis": "core1", "sentence": "plane 3 up"})";
    add("GateWish", json::parse(wish));
    add("Gate", got(Method::post, "/v1/gates", wish));
    add("Gate", got(Method::delete_, "/v1/gates/g7"));
    add("Procedures", got(Method::get, "/v1/procedures"));
    add("Procedure", got(Method::get, "/v1/procedures/p1"));
    add("Procedure", got(Method::post, "/v1/procedures/p1/releases", R"({"step": "pull-tray"})"));
    for (const char* path : {"/v1/gates/none", "/v1/procedures/none", "/v1/chassis/none", "/none"})
        add("Problem", got(Method::get, path));
    add("Problem", got(Method::post, "/v1/gates", R"({"chassis": 1})"));
    // It does look.
    json wrong = got(Method::get, "/v1/gates/g7");
    wrong["verdict"] = "passed";
    add("Gate", wrong, false);
    wrong = got(Method::get, "/v1/procedures/p1");
    wrong["steps"][0].erase("revision");
    add("Procedure", wrong, false);
    add("GateWish", json{{"chassis", "core1"}, {"sentence", "plane 3 up"}, {"by", "me"}}, false);

    const tokens::Folder folder;
    folder.write("document.json", std::string{contract_text()});
    folder.write("cases", cases);
    folder.write("validate.py", validator);
    const std::string command = "/usr/bin/python3 -W ignore " + folder.file("validate.py") + ' ' +
                                folder.file("document.json") + ' ' + folder.file("cases");
    EXPECT_EQ(std::system(command.c_str()), 0);
}

} // namespace
} // namespace slotwitness::api
