#include "../twins/passing_store.hpp"
#include "simulation.hpp"

#include <slotwitness/journal/chain.hpp>

#include <gtest/gtest.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <deque>
#include <map>
#include <optional>

// The invariants notice a daemon that is broken: here are parts of one, each with a fault.
namespace slotwitness::simulation {
namespace {

/// Now and then it says that an entry is stored, and it is not.
class ForgetfulStore final : public twins::PassingStore {
  public:
    using PassingStore::PassingStore;

    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>& captures) override {
        if (++appended_ % 25 != 0)
            return PassingStore::append(chassis, body, captures);
        const auto entries = this->entries(chassis);
        const journal::Head head =
            entries->empty() ? journal::Head()
                             : journal::Head{entries->back().sequence, entries->back().hash};
        return journal::next_entry(chassis, head, body);
    }

  private:
    int appended_ = 0;
};

/// It alters what comes back.
class AlteringLink final : public links::Link {
  public:
    using Alter = std::function<void(const std::string& query, links::Answer&)>;
    AlteringLink(std::unique_ptr<links::Link> link, Alter alter)
        : link_(std::move(link)), alter_(std::move(alter)) {}

    boost::asio::awaitable<tl::expected<void, links::LinkError>> connect() override {
        return link_->connect();
    }
    bool connected() const override { return link_->connected(); }
    boost::asio::awaitable<tl::expected<links::Answer, links::LinkError>>
    ask(links::ApprovedQuery query) override {
        const std::string key = query.key();
        auto asking = link_->ask(std::move(query));
        auto answer = co_await std::move(asking);
        if (answer)
            alter_(key, *answer);
        co_return answer;
    }
    void close() override { link_->close(); }

  private:
    std::unique_ptr<links::Link> link_;
    Alter alter_;
};

/// Each answer is what the device said to that query six times ago, at the earliest the first.
Twins stale() {
    Twins twins;
    twins.link = [](std::unique_ptr<links::Link> link) {
        auto said = std::make_shared<std::map<std::string, std::deque<std::string>>>();
        return std::make_unique<AlteringLink>(
            std::move(link), [said](const std::string& query, links::Answer& answer) {
                auto& before = (*said)[query];
                before.push_back(answer.bytes);
                if (before.size() > 6)
                    before.pop_front();
                answer.bytes = before.front();
            });
    };
    return twins;
}

/// It wakes nobody in time.
class SleepyClock final : public desk::Clock {
  public:
    explicit SleepyClock(std::unique_ptr<desk::Clock> clock) : clock_(std::move(clock)) {}
    [[nodiscard]] units::Instant now() const override { return clock_->now(); }
    [[nodiscard]] units::Instant now_at_the_latest() const override {
        return clock_->now_at_the_latest();
    }
    [[nodiscard]] std::unique_ptr<desk::Alarm>
    make_alarm(boost::asio::any_io_executor executor) const override {
        return std::make_unique<SleepyAlarm>(clock_->make_alarm(std::move(executor)));
    }

  private:
    class SleepyAlarm final : public desk::Alarm {
      public:
        explicit SleepyAlarm(std::unique_ptr<desk::Alarm> alarm) : alarm_(std::move(alarm)) {}
        boost::asio::awaitable<void> wait_until(units::Instant at) override {
            return alarm_->wait_until(at + units::Duration(3'000));
        }
        void ring() override { alarm_->ring(); }

      private:
        std::unique_ptr<desk::Alarm> alarm_;
    };
    std::unique_ptr<desk::Clock> clock_;
};

Twins publishing(void (*alter)(witness::GateFinding&)) {
    Twins twins;
    twins.published = [alter](desk::Recorded recorded) {
        for (witness::Finding& finding : recorded.outcome.findings)
            if (auto* gate = std::get_if<witness::GateFinding>(&finding))
                alter(*gate);
        return recorded;
    };
    return twins;
}

/// The first of some seeds by which the invariant is broken; nothing if none does it.
std::optional<Schedule> broken_by(const std::string& invariant, const Twins& twins) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const Schedule schedule = schedule_of(seed);
        const Ran ran = run(schedule, twins);
        if (std::any_of(ran.broken.begin(), ran.broken.end(),
                        [&](const auto& broken) { return broken.name == invariant; }))
            return schedule;
    }
    return std::nullopt;
}

class BrokenTwins : public testing::Test {
  protected:
    BrokenTwins() { spdlog::set_level(spdlog::level::off); }
};

TEST_F(BrokenTwins, a_store_that_forgets_is_noticed) {
    Twins twins;
    twins.store = [](std::unique_ptr<journal::Store> store) {
        return std::make_unique<ForgetfulStore>(std::move(store));
    };
    EXPECT_TRUE(broken_by("replays", twins));
    EXPECT_TRUE(broken_by("same gates", twins));
}

TEST_F(BrokenTwins, what_the_device_no_longer_says_is_noticed) {
    EXPECT_TRUE(broken_by("supported", stale()));
    EXPECT_TRUE(broken_by("rules latch", stale()));
}

TEST_F(BrokenTwins, a_cut_answer_that_is_taken_for_whole_is_noticed) {
    Twins twins;
    twins.link = [](std::unique_ptr<links::Link> link) {
        return std::make_unique<AlteringLink>(std::move(link),
                                              [](const std::string&, links::Answer& answer) {
                                                  answer.ended = true;
                                                  answer.exit_status = 0;
                                              });
    };
    EXPECT_TRUE(broken_by("supported", twins));
}

TEST_F(BrokenTwins, a_deadline_at_which_nobody_wakes_is_noticed) {
    Twins twins;
    twins.clock = [](std::unique_ptr<desk::Clock> clock) {
        return std::make_unique<SleepyClock>(std::move(clock));
    };
    EXPECT_TRUE(broken_by("deadlines end", twins));
}

TEST_F(BrokenTwins, a_verdict_that_was_not_recorded_is_noticed) {
    const Twins twins = publishing([](witness::GateFinding& gate) {
        if (gate.verdict == witness::Verdict::pass)
            gate.verdict = witness::Verdict::pending;
    });
    EXPECT_TRUE(broken_by("recorded first", twins));
}

TEST_F(BrokenTwins, a_hold_that_nothing_bears_out_is_noticed) {
    const Twins twins = publishing([](witness::GateFinding& gate) {
        if (gate.truth == witness::Truth::yes && gate.needs > units::Duration(0) && !gate.retired)
            gate.verdict = witness::Verdict::pass;
    });
    EXPECT_TRUE(broken_by("supported", twins));
    EXPECT_TRUE(broken_by("decided once", twins));
}

TEST_F(BrokenTwins, what_breaks_is_shrunk_to_what_it_takes) {
    const Twins twins = stale();
    const auto schedule = broken_by("supported", twins);
    ASSERT_TRUE(schedule);
    const Schedule least = shrunk(*schedule, "supported", twins);
    // It takes a gate, and something that changes while it is open; or a procedure, and somebody
    // who reads the serial from the rack, releases its first step and does it.
    EXPECT_LE(least.acts.size(), 4U) << to_text(least);
    EXPECT_GE(least.acts.size(), 2U);
}

} // namespace
} // namespace slotwitness::simulation
