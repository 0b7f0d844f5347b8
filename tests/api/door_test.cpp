#include "people.hpp"

#include <slotwitness/api/door.hpp>
#include <slotwitness/api/shown.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;
using testing::Not;
using tokens::Role;

class door : public testing::Test {
  protected:
    door() { samples::fill(desk); }

    /// The response that turns away; status 0: let in.
    Response knock(Request request) {
        auto refused = entrance.turned_away(request, find_route(request), desk, now);
        asker = request.asker;
        Response let_in;
        let_in.status = 0;
        return refused.value_or(let_in);
    }
    Response get(const std::string& path, const std::string& token) {
        return knock(with_token(samples::request(Method::get, path), token));
    }
    witness::ProcedureFinding& procedure() { return desk.procedures_shown.front().record.finding; }
    witness::Stage& stage() {
        return desk.procedures_shown.front().record.steps.at("pull-tray").stage;
    }

    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
    People people;
    Rate::Time now{};
    Door entrance{&people.known};
    Asker asker;
};

TEST_F(door, knows_who_asks_by_the_token) {
    const std::string token = people.add(Role::engineer);
    EXPECT_EQ(get("/v1/gates", token).status, 0);
    EXPECT_EQ(asker.name, "A. engineer");
    EXPECT_EQ(asker.token, People::id_of(token));
    EXPECT_EQ(asker.role, Role::engineer);
}

TEST_F(door, lets_everybody_in_by_address_where_there_are_no_tokens) {
    entrance = Door{};
    EXPECT_EQ(knock(samples::request(Method::delete_, "/v1/gates/g7")).status, 0);
    EXPECT_EQ(asker.name, "127.0.0.1");
    EXPECT_EQ(asker.token, "");
}

TEST_F(door, takes_the_scheme_in_any_case_and_no_other_scheme) { // RFC 9110 §11.1
    const std::string token = people.add(Role::viewer);
    const auto with = [&](std::string value) {
        return knock(samples::request(Method::get, "/v1/gates", {{"Authorization", value}}));
    };
    EXPECT_EQ(with("bearer " + token).status, 0);
    EXPECT_EQ(with("BEARER   " + token).status, 0);
    const Response basic = with("Basic " + token);
    EXPECT_EQ(basic.status, 401);
    EXPECT_EQ(basic.field("WWW-Authenticate"), "Bearer realm=\"slotwitness\"");
}

TEST_F(door, calls_what_is_no_token_a_bad_request_and_never_repeats_it) { // RFC 6750 §3.1
    const std::string token = people.add(Role::viewer);
    for (const std::string& value :
         {std::string{"Bearer"}, std::string{"Bearer "}, "Bearer " + token + ", " + token,
          "Bearer \"" + token + '"', "Bearer " + token + " x"}) {
        const Response refused =
            knock(samples::request(Method::get, "/v1/gates", {{"Authorization", value}}));
        EXPECT_EQ(refused.status, 400) << value;
        EXPECT_THAT(*refused.field("WWW-Authenticate"), HasSubstr("error=\"invalid_request\""));
        EXPECT_THAT(refused.body, Not(HasSubstr(token)));
    }
    const Response twice =
        knock(with_token(with_token(samples::request(Method::get, "/v1/gates"), token), token));
    EXPECT_EQ(twice.status, 400);
}

TEST_F(door, lets_a_token_expire_at_its_very_second) {
    const std::string token = people.add(Role::viewer, "", 1h);
    people.time += 1h - 1s;
    EXPECT_EQ(get("/v1/gates", token).status, 0);
    people.time += 1s;
    const Response refused = get("/v1/gates", token);
    EXPECT_EQ(refused.status, 401);
    EXPECT_THAT(refused.body, HasSubstr("The token has expired."));
    people.time -= 1h; // a wall clock that is set back revives nothing
    EXPECT_EQ(get("/v1/gates", token).status, 401);
}

TEST_F(door, lets_a_rack_token_run_on_to_the_end_of_a_step_but_not_into_the_next) {
    const std::string token = people.add(Role::rack, "p1", 1h);
    people.time += 2h;
    for (const auto middle : {witness::Stage::released, witness::Stage::confirmed}) {
        stage() = middle;
        EXPECT_EQ(get("/v1/procedures/p1", token).status, 0);
    }
    for (const auto between : {witness::Stage::waiting, witness::Stage::fact, witness::Stage::done,
                               witness::Stage::skipped}) {
        stage() = between;
        EXPECT_EQ(get("/v1/procedures/p1", token).status, 401);
    }
}

TEST_F(door, ends_a_rack_token_with_its_procedure) {
    const std::string token = people.add(Role::rack, "p1");
    EXPECT_EQ(get("/v1/procedures/p1", token).status, 0);
    procedure().phase = witness::Phase::closed;
    const Response refused = get("/v1/procedures/p1", token);
    EXPECT_EQ(refused.status, 401);
    EXPECT_THAT(refused.body, HasSubstr("The procedure that the token is for is closed."));
    Request waiting = with_token(samples::request(Method::get, "/v1/procedures/p1"), token);
    EXPECT_FALSE(entrance.no_longer_in(waiting, desk)); // it is told of the closing itself
}

TEST_F(door, lets_nobody_in_while_the_tokens_cannot_be_read) {
    const std::string token = people.add(Role::engineer);
    people.lose_file();
    const Response refused = get("/v1/gates", token);
    EXPECT_EQ(refused.status, 503);
    EXPECT_EQ(refused.field("Retry-After"), "5");
    EXPECT_EQ(knock(samples::request(Method::get, "/livez")).status, 0);
}

TEST_F(door, sees_rights_that_end_during_a_wait) {
    const std::string token = people.add(Role::viewer);
    Request request = with_token(samples::request(Method::get, "/v1/gates/g7"), token);
    EXPECT_FALSE(entrance.no_longer_in(request, desk));
    people.revoke(token);
    EXPECT_EQ(entrance.no_longer_in(request, desk)->status, 401);
}

TEST_F(door, holds_each_token_to_a_pace_of_its_own) { // RFC 6585 §4
    const std::string quick = people.add(Role::viewer);
    const std::string other = people.add(Role::viewer);
    for (int i = 0; i < 200; ++i)
        ASSERT_EQ(get("/v1/gates", quick).status, 0) << i;
    const Response refused = get("/v1/gates", quick);
    EXPECT_EQ(refused.status, 429);
    EXPECT_EQ(refused.field("Retry-After"), "1");
    EXPECT_EQ(get("/v1/gates", other).status, 0);
    now += 20ms;
    EXPECT_EQ(get("/v1/gates", quick).status, 0);
    EXPECT_EQ(get("/v1/gates", quick).status, 429);
}

TEST_F(door, holds_strangers_of_one_address_to_a_pace_and_nobody_else) {
    const std::string token = people.add(Role::viewer);
    for (int i = 0; i < 20; ++i)
        ASSERT_EQ(get("/v1/gates", "sw1.x").status, 401) << i;
    EXPECT_EQ(get("/v1/gates", "sw1.x").status, 429);
    EXPECT_EQ(get("/v1/gates", token).status, 0);
}

TEST_F(door, gives_idempotency_keys_a_scope_of_their_token) {
    Request request = samples::request(Method::post, "/v1/gates", {{"Idempotency-Key", "\"k-1\""}});
    EXPECT_EQ(idempotency_key(request), "k-1");
    request.asker.token = "k7fq2mxd";
    EXPECT_EQ(idempotency_key(request), "k7fq2mxd/k-1");
}

} // namespace
} // namespace slotwitness::api
