#include <slotwitness/api/deadlines.hpp>

#include <gtest/gtest.h>

#include <memory>
#include <optional>
#include <random>
#include <utility>
#include <vector>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using Time = Deadlines::Time;

/// An alarm that is moved by hand: it goes off at each instant at which it is to.
class deadlines : public testing::Test {
  protected:
    /// One who counts how often he was told, and when.
    struct Client {
        Client(deadlines& test)
            : entry(test.all, [this, &test] { told_at.push_back(test.now - Time{}); }) {}
        std::vector<Time::duration> told_at;
        Deadlines::Entry entry;
    };

    void move_to(Time::duration at) {
        while (alarm <= Time{at}) {
            now = std::exchange(alarm, Deadlines::never);
            all.expire(now);
        }
        now = Time{at};
    }

    Time now{};
    Time alarm = Deadlines::never;
    std::size_t alarms_set = 0;
    Deadlines all{[this](Time at) {
        alarm = at;
        ++alarms_set;
    }};
};

TEST_F(deadlines, tell_each_at_his_time_and_once) {
    Client first{*this};
    Client second{*this};
    first.entry.set(Time{10s});
    second.entry.set(Time{5s});
    move_to(60s);
    EXPECT_EQ(first.told_at, std::vector<Time::duration>{10s});
    EXPECT_EQ(second.told_at, std::vector<Time::duration>{5s});
}

TEST_F(deadlines, one_that_is_put_off_is_told_at_the_later_time_and_sets_no_alarm_meanwhile) {
    Client client{*this};
    client.entry.set(Time{10s});
    for (auto at = 10s; at < 1000s; at += 1s)
        client.entry.set(Time{at});
    EXPECT_EQ(alarms_set, 1U);
    move_to(998s);
    EXPECT_TRUE(client.told_at.empty());
    move_to(2000s);
    EXPECT_EQ(client.told_at, std::vector<Time::duration>{999s});
}

TEST_F(deadlines, one_that_comes_earlier_is_told_earlier) {
    Client client{*this};
    client.entry.set(Time{75s});
    client.entry.set(Time{10s});
    move_to(60s);
    EXPECT_EQ(client.told_at, std::vector<Time::duration>{10s});
}

TEST_F(deadlines, one_that_is_taken_back_is_not_told_and_may_be_set_again) {
    Client client{*this};
    client.entry.set(Time{10s});
    client.entry.set(Deadlines::never);
    move_to(20s);
    EXPECT_TRUE(client.told_at.empty());
    EXPECT_EQ(all.filed(), 0U);
    client.entry.set(Time{30s});
    move_to(40s);
    EXPECT_EQ(client.told_at, std::vector<Time::duration>{30s});
}

TEST_F(deadlines, whoever_has_gone_is_not_told_and_the_last_one_takes_the_alarm_with_him) {
    auto first = std::make_unique<Client>(*this);
    auto second = std::make_unique<Client>(*this);
    first->entry.set(Time{10s});
    second->entry.set(Time{20s});
    first.reset();
    move_to(15s);
    EXPECT_TRUE(second->told_at.empty());
    second.reset();
    EXPECT_EQ(alarm, Deadlines::never);
    EXPECT_EQ(all.filed(), 0U);
}

TEST_F(deadlines, one_that_has_passed_already_is_told_at_the_next_turn) {
    move_to(10s);
    Client client{*this};
    client.entry.set(Time{1s});
    EXPECT_TRUE(client.told_at.empty()) << "never from within set";
    all.expire(now);
    EXPECT_EQ(client.told_at, std::vector<Time::duration>{10s});
}

/// Against the plain reading: of each client the newest deadline, told when the clock comes to it.
TEST_F(deadlines, random_ones_are_told_as_a_list_that_is_searched_would_tell_them) {
    std::mt19937 random{20'261'126};
    const auto below = [&](int most) {
        return static_cast<int>(random() % static_cast<unsigned>(most));
    };
    std::vector<std::unique_ptr<Client>> clients;
    for (int i = 0; i < 20; ++i)
        clients.push_back(std::make_unique<Client>(*this));
    std::vector<std::optional<Time::duration>> due(clients.size());
    std::vector<std::vector<Time::duration>> expected(clients.size());
    for (int step = 0; step < 20'000; ++step) {
        const auto who = static_cast<std::size_t>(below(20));
        const Time::duration here = now - Time{};
        if (below(4) == 0) {
            due[who].reset();
            clients[who]->entry.set(Deadlines::never);
        } else {
            due[who] = here + 1s * (1 + below(80));
            clients[who]->entry.set(Time{*due[who]});
        }
        const Time::duration next = here + 100ms * below(30);
        for (std::size_t i = 0; i < due.size(); ++i)
            if (due[i] && *due[i] <= next)
                expected[i].push_back(*std::exchange(due[i], std::nullopt));
        move_to(next);
    }
    for (std::size_t i = 0; i < clients.size(); ++i) {
        EXPECT_FALSE(expected[i].empty());
        EXPECT_EQ(clients[i]->told_at, expected[i]) << i;
    }
}

} // namespace
} // namespace slotwitness::api
