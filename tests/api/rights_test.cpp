#include "people.hpp"
#include "scripted_transport.hpp"

#include <slotwitness/api/connection.hpp>
#include <slotwitness/api/router.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <set>

namespace slotwitness::api {
namespace {

using tokens::Role;

/// Who may do what, written out by hand from api/README.md: v viewer, r rack (of this procedure), e
/// engineer, a auditor; * everybody, without a token as well. The table in the router must agree.
struct Right {
    Method method;
    std::string_view pattern;
    std::string path;
    std::string_view who;
    std::string body;
};
const std::vector<Right> rights{
    {Method::get, "/v1/chassis", "/v1/chassis", "vea", ""},
    {Method::get, "/v1/chassis/{name}", "/v1/chassis/core1", "vea", ""},
    {Method::get, "/v1/chassis/{name}/hardware", "/v1/chassis/core1/hardware", "vea", ""},
    {Method::get, "/v1/chassis/{name}/answers", "/v1/chassis/core1/answers", "vea", ""},
    {Method::get, "/v1/chassis/{name}/answers/{asking}", "/v1/chassis/core1/answers/inventory",
     "vea", ""},
    {Method::get, "/v1/chassis/{name}/timeline", "/v1/chassis/core1/timeline", "vea", ""},
    {Method::post, "/v1/chassis/{name}/baseline", "/v1/chassis/core1/baseline", "e", "{}"},
    {Method::post, "/v1/chassis/{name}/session", "/v1/chassis/core1/session", "e", "{}"},
    {Method::get, "/v1/gates", "/v1/gates", "vea", ""},
    {Method::post, "/v1/gates", "/v1/gates", "e",
     R"({"chassis": "core1", "sentence": "plane 3 up"})"},
    {Method::get, "/v1/gates/{id}", "/v1/gates/p1.pull-tray", "vrea", ""},
    {Method::get, "/v1/gates/{id}/changes", "/v1/gates/p1.pull-tray/changes", "vrea", ""},
    {Method::get, "/v1/procedures/{id}/changes", "/v1/procedures/p1/changes", "vrea", ""},
    {Method::delete_, "/v1/gates/{id}", "/v1/gates/p1.pull-tray", "e", ""},
    {Method::get, "/v1/procedures", "/v1/procedures", "vea", ""},
    {Method::post, "/v1/procedures", "/v1/procedures", "e",
     R"({"chassis": "core1", "procedure": "fan-tray"})"},
    {Method::get, "/v1/procedures/{id}", "/v1/procedures/p1", "vrea", ""},
    {Method::post, "/v1/procedures/{id}/releases", "/v1/procedures/p1/releases", "e",
     R"({"step": "pull-tray"})"},
    {Method::post, "/v1/procedures/{id}/confirmations", "/v1/procedures/p1/confirmations", "re",
     R"({"step": "pull-tray"})"},
    {Method::post, "/v1/procedures/{id}/undos", "/v1/procedures/p1/undos", "re",
     R"({"step": "pull-tray"})"},
    {Method::post, "/v1/procedures/{id}/acts", "/v1/procedures/p1/acts", "re",
     R"({"act": "at-chassis", "serial_end": "0017"})"},
    {Method::post, "/v1/procedures/{id}/rack-tokens", "/v1/procedures/p1/rack-tokens", "e",
     R"({"person": "G. Hand"})"},
    {Method::get, "/v1/procedures/{id}/sheet", "/v1/procedures/p1/sheet", "vrea", ""},
    {Method::get, "/v1/procedures/{id}/card", "/v1/procedures/p1/card", "vrea", ""},
    {Method::get, "/v1/procedures/{id}/evidence", "/v1/procedures/p1/evidence", "ea", ""},
    {Method::get, "/v1/openapi.json", "/v1/openapi.json", "*", ""},
    {Method::get, "/metrics", "/metrics", "vea", ""},
    {Method::get, "/livez", "/livez", "*", ""},
    {Method::get, "/readyz", "/readyz", "*", ""},
    {Method::get, "/rack/{id}", "/rack/p1", "*", ""},
    {Method::get, "/engineer", "/engineer", "*", ""},
    {Method::get, "/engineer/{chassis}", "/engineer/core1", "*", ""},
    {Method::get, "/assets/{name}", "/assets/base.css", "*", ""},
};

/// Somebody who asks: `letter` of the table where the token counts; `error` of RFC 6750 §3.1 where
/// it does not, empty where nothing is presented.
struct Somebody {
    std::string who;
    std::string token;
    char letter = ' ';
    std::string error;
};

class rights_of : public testing::Test {
  protected:
    rights_of() {
        samples::fill(desk);
        desk.gates_shown.front().finding.id = "p1.pull-tray";
    }

    std::vector<Somebody> everybody() {
        std::vector<Somebody> all{
            {"nobody", "", ' ', ""},
            {"a stranger", "sw1.abcdefgh.jkmnpqrstuvwxyz23456789abcdefghj", ' ', "invalid_token"},
            {"viewer", people.add(Role::viewer), 'v', ""},
            {"rack", people.add(Role::rack, "p1"), 'r', ""},
            {"rack of another procedure", people.add(Role::rack, "p"), 'x', ""},
            {"engineer", people.add(Role::engineer), 'e', ""},
            {"auditor", people.add(Role::auditor), 'a', ""}};
        const std::size_t valid = all.size();
        for (const Role role : {Role::viewer, Role::engineer, Role::auditor}) {
            all.push_back({"expired " + People::name_of(role),
                           people.add(role, "", std::chrono::hours{1}), ' ', "invalid_token"});
            all.push_back(
                {"revoked " + People::name_of(role), people.add(role), ' ', "invalid_token"});
            people.revoke(all.back().token);
        }
        all.push_back({"revoked rack", people.add(Role::rack, "p1"), ' ', "invalid_token"});
        people.revoke(all.back().token);
        people.time += std::chrono::hours{1};
        EXPECT_EQ(valid, 7);
        return all;
    }

    std::string conversation(const Right& right, const Somebody& somebody) {
        std::string bytes{to_word(right.method)};
        bytes += " " + right.path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n";
        if (!somebody.token.empty())
            bytes += "Authorization: Bearer " + somebody.token + "\r\n";
        if (!right.body.empty())
            bytes += "Content-Type: application/json\r\nIf-Match: \"3\"\r\nContent-Length: " +
                     std::to_string(right.body.size()) + "\r\n";
        bytes += "\r\n" + right.body;
        ScriptedTransport transport{io.get_executor(), {bytes, ScriptedTransport::Ends{}}};
        ServerLimits limits;
        limits.stranger_burst = 100;
        Common common{desk, limits, Hosts{}, Door{&people.known, limits}, false, {}, {}};
        boost::asio::co_spawn(io, serve(transport, common),
                              [](std::exception_ptr error) { EXPECT_FALSE(error); });
        io.restart();
        io.run();
        return transport.written;
    }

    [[nodiscard]] std::size_t done() const {
        return desk.wishes.size() + desk.closed.size() + desk.baselines_wanted.size() +
               desk.connects_asked.size() + desk.procedure_wishes.size() + desk.acts.size() +
               tokens::load_tokens(people.known.path())
                   .value_or(std::vector<tokens::Token>{})
                   .size();
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    People people;
};

int status_of(const std::string& written) {
    return std::stoi(written.substr(written.find(' ') + 1));
}

TEST_F(rights_of, every_route_stand_in_the_list_of_this_test) {
    std::set<std::string> listed;
    for (const Right& right : rights)
        listed.insert(std::string{to_word(right.method)} + ' ' + std::string{right.pattern});
    EXPECT_EQ(listed.size(), rights.size());
    for (const Route& route : routes())
        EXPECT_TRUE(
            listed.erase(std::string{to_word(route.method)} + ' ' + std::string{route.pattern}))
            << route.pattern;
    EXPECT_TRUE(listed.empty());
}

TEST_F(rights_of, each_person_on_each_route_are_these_and_no_more) {
    const std::vector<Somebody> all = everybody();
    for (const Right& right : rights)
        for (const Somebody& somebody : all) {
            SCOPED_TRACE(somebody.who + ": " + std::string{to_word(right.method)} + ' ' +
                         right.path);
            const std::size_t before = done();
            const std::string written = conversation(right, somebody);
            const int status = status_of(written);
            if (right.who == "*" || right.who.find(somebody.letter) != std::string_view::npos) {
                EXPECT_LT(status, 300) << written;
                EXPECT_EQ(done() - before,
                          right.body.empty() && right.method == Method::get ? 0 : 1);
                continue;
            }
            EXPECT_EQ(done(), before);
            EXPECT_THAT(written, testing::HasSubstr("application/problem+json"));
            EXPECT_THAT(written, testing::HasSubstr("\"remedy\""));
            if (somebody.letter != ' ') { // known, but not his right
                EXPECT_EQ(status, 403) << written;
                EXPECT_THAT(written,
                            testing::HasSubstr("\r\nWWW-Authenticate: Bearer realm=\"slotwitness"
                                               "\", error=\"insufficient_scope\", scope=\""));
                continue;
            }
            EXPECT_EQ(status, 401) << written;
            EXPECT_THAT(
                written,
                testing::HasSubstr(
                    "\r\nWWW-Authenticate: Bearer realm=\"slotwitness\"" +
                    (somebody.error.empty() ? std::string{} : ", error=\"" + somebody.error + '"') +
                    "\r\n"));
        }
}

TEST_F(rights_of, a_rack_token_end_at_its_procedure_and_at_names_that_only_begin_alike) {
    const Somebody rack{"rack", people.add(Role::rack, "p1"), 'r', ""};
    for (const char* path : {"/v1/gates/p1", "/v1/gates/p1x.pull-tray", "/v1/gates/g7",
                             "/v1/procedures/p12", "/v1/procedures/p"})
        EXPECT_EQ(status_of(conversation({Method::get, "", path, "", ""}, rack)), 403) << path;
}

TEST_F(rights_of, a_rack_token_are_to_say_where_its_person_stands_and_to_act_no_further) {
    const Somebody rack{"rack", people.add(Role::rack, "p1"), 'r', ""};
    for (const char* body :
         {R"({"act": "take-shift"})", R"({"act": "answer", "reason": "it is well"})",
          R"({"act": "close", "outcome": "done"})",
          R"({"act": "at-chassis", "serial_end": "0017", "on_behalf_of": "A. Person"})"}) {
        const std::string written =
            conversation({Method::post, "", "/v1/procedures/p1/acts", "", body}, rack);
        EXPECT_EQ(status_of(written), 403) << body;
        EXPECT_THAT(written, testing::HasSubstr("not-at-the-rack"));
    }
    EXPECT_TRUE(desk.acts.empty());
}

TEST_F(rights_of, people_decide_under_whose_name_it_is_recorded_not_the_body) {
    const Somebody engineer{"engineer", people.add(Role::engineer), 'e', ""};
    for (const Right& right : rights)
        static_cast<void>(conversation(right, engineer));
    const std::string name = People::name_of(Role::engineer);
    EXPECT_EQ(desk.wishes.at(0).by, name);
    EXPECT_EQ(desk.closed.at(0).second, name);
    EXPECT_EQ(desk.baselines_wanted.at(0).second, name);
    EXPECT_EQ(desk.connects_asked.at(0).second, name);
    EXPECT_EQ(desk.procedure_wishes.at(0).by, name);
    EXPECT_EQ(std::get<witness::StepReleased>(desk.acts.at(0)).act.by, name);
    EXPECT_EQ(std::get<witness::StepConfirmed>(desk.acts.at(1)).act.by, name);
    EXPECT_EQ(std::get<witness::StepUnconfirmed>(desk.acts.at(2)).act.by, name);
    EXPECT_EQ(std::get<witness::ChassisNamed>(desk.acts.at(3)).by, name);
    const Right lies{Method::post, "", "/v1/gates", "",
                     R"({"chassis": "core1", "sentence": "plane 3 up", "by": "Somebody Else"})"};
    EXPECT_EQ(status_of(conversation(lies, engineer)), 422);
}

} // namespace
} // namespace slotwitness::api
