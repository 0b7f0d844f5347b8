#include "../twins/passing_store.hpp"
#include "fake_witness.hpp"
#include "scratch.hpp"

#include <slotwitness/journal/sequencer.hpp>

#include <gmock/gmock.h>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace slotwitness::journal {

using test::at;
using test::FakeWitness;
using test::story;
using testing::ElementsAre;
using Kind = StoreError::Kind;

namespace {

/// A store that refuses while it is told to.
class Refusing final : public twins::PassingStore {
  public:
    using PassingStore::PassingStore;
    bool refuses = false;
    tl::expected<Entry, StoreError> append(std::string_view chassis, const nlohmann::json& body,
                                           const std::vector<Capture>& captures) override {
        if (refuses)
            return tl::unexpected(StoreError{Kind::unavailable, "the disk is full"});
        return PassingStore::append(chassis, body, captures);
    }
};

witness::Event looked(int number, bool holds) {
    witness::Answered answer;
    answer.round = static_cast<witness::RoundNumber>(number);
    answer.capture = digest_of("answer " + std::to_string(number));
    answer.ending = {true, holds ? 0 : 1, ""};
    return {at(number), answer};
}

class Sequence : public testing::Test {
  protected:
    Sequence()
        : store_(open_sqlite(scratch_.file()).value()),
          sequencer_(store_, "r1", FakeWitness(), begin(), publish()) {}

    Sequencer<FakeWitness>::Begin begin() {
        return [this](witness::Instant) {
            ++runs_;
            witness::RunStarted run;
            run.boot_id = "boot";
            run.profile = digest_of("profile");
            return Beginning{run, {{run.profile, "profile"}}};
        };
    }
    Sequencer<FakeWitness>::Publish publish() {
        return [this](const Sequenced& sequenced) {
            if (sequenced.stored()) {
                // The order that the design fixes: what is heard of is already durable.
                EXPECT_EQ(store_.entries("r1", 1)->back().hash, sequenced.entry->hash);
            }
            heard_.push_back(sequenced);
        };
    }
    [[nodiscard]] std::vector<std::string> types() {
        std::vector<std::string> out;
        const auto entries = store_.entries("r1", 1).value();
        for (const Entry& entry : entries)
            out.push_back(nlohmann::json::parse(entry.line)["type"]);
        return out;
    }
    [[nodiscard]] bool look(int number, bool holds) {
        const witness::Event event = looked(number, holds);
        return sequencer_.take(event, test::captures_of(event)).has_value();
    }
    static witness::GateFinding gate(const Sequenced& sequenced) {
        return std::get<witness::GateFinding>(sequenced.outcome.findings.at(0));
    }

    test::Scratch scratch_;
    Refusing store_;
    int runs_ = 0;
    std::vector<Sequenced> heard_;
    Sequencer<FakeWitness> sequencer_;
};

} // namespace

TEST_F(Sequence, begins_with_a_run) {
    EXPECT_TRUE(sequencer_.interrupted());
    ASSERT_TRUE(sequencer_.take(story(1)));
    ASSERT_TRUE(sequencer_.take(story(2)));
    EXPECT_FALSE(sequencer_.interrupted());
    EXPECT_THAT(types(), ElementsAre("run.started", "round.started", "look.failed"));
    ASSERT_EQ(heard_.size(), 3U);
    EXPECT_TRUE(std::holds_alternative<witness::RunStarted>(heard_[0].event.what));
    EXPECT_EQ(heard_[0].event.at, at(1));
    EXPECT_EQ(**store_.capture(digest_of("profile")), "profile");
}

TEST_F(Sequence, can_begin_its_run_before_there_is_an_event) {
    ASSERT_TRUE(sequencer_.begin(at(1)));
    ASSERT_TRUE(sequencer_.begin(at(2))) << "nothing is owed any more";
    EXPECT_THAT(types(), ElementsAre("run.started"));
}

TEST_F(Sequence, publishes_nothing_as_stored_that_is_not) {
    store_.refuses = true;
    const auto taken = sequencer_.take(story(1));
    ASSERT_FALSE(taken);
    EXPECT_EQ(taken.error().text, "the disk is full");
    ASSERT_EQ(heard_.size(), 1U) << "the run.started that failed is not heard of";
    EXPECT_FALSE(heard_[0].stored());
    EXPECT_EQ(heard_[0].event.at, at(1));
    EXPECT_EQ(sequencer_.judge(), FakeWitness());
    EXPECT_FALSE(sequencer_.begin(at(1)));
    EXPECT_EQ(heard_.size(), 1U);
}

TEST_F(Sequence, shows_bad_news_though_the_journal_refuses) {
    ASSERT_TRUE(look(1, true));
    EXPECT_EQ(gate(heard_.back()).truth, witness::Truth::yes);
    const FakeWitness before = sequencer_.judge();
    store_.refuses = true;
    EXPECT_FALSE(look(2, false));
    EXPECT_FALSE(heard_.back().stored());
    EXPECT_EQ(gate(heard_.back()).truth, witness::Truth::no);
    EXPECT_EQ(sequencer_.judge(), before) << "for the judge it has not happened";
    EXPECT_TRUE(sequencer_.interrupted());
}

TEST_F(Sequence, goes_on_watching_for_bad_news_while_nothing_can_be_stored) {
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    for (int number = 2; number <= 5; ++number) {
        EXPECT_FALSE(look(number, true));
        EXPECT_EQ(gate(heard_.back()).truth, witness::Truth::yes);
    }
    EXPECT_FALSE(look(6, false));
    EXPECT_EQ(gate(heard_.back()).truth, witness::Truth::no);
}

/// Held over 1 and 3 with a false look 2 between that was lost: a judge that went on from 1 would
/// let the hold run over it and pass at 4.
TEST_F(Sequence, lets_no_hold_run_over_a_look_that_was_lost) {
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    EXPECT_FALSE(look(2, false));
    store_.refuses = false;
    ASSERT_TRUE(look(3, true));
    ASSERT_TRUE(look(4, true));
    EXPECT_EQ(gate(heard_.back()).verdict, witness::Verdict::pending);
    ASSERT_TRUE(look(5, true));
    EXPECT_EQ(gate(heard_.back()).verdict, witness::Verdict::pass);
    EXPECT_THAT(types(),
                ElementsAre("run.started", "answer", "run.started", "answer", "answer", "answer"));
    EXPECT_EQ(runs_, 2);
    EXPECT_EQ(test::recover(store_, "r1").judge, sequencer_.judge());
}

TEST_F(Sequence, passes_no_verdict_on_unrecorded_looks) {
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    for (int number = 2; number <= 9; ++number)
        EXPECT_FALSE(look(number, true));
    for (const Sequenced& heard : heard_) {
        if (heard.stored()) {
            EXPECT_EQ(gate(heard).verdict, witness::Verdict::pending);
        }
    }
    store_.refuses = false;
    ASSERT_TRUE(look(10, true));
    EXPECT_EQ(gate(heard_.back()).verdict, witness::Verdict::pending);
}

TEST_F(Sequence, what_was_lost_unrecorded_goes_with_the_next_run) {
    const auto lost = [this](std::size_t entry) {
        const auto decoded = from_line(store_.entries("r1", 1).value().at(entry).line);
        return std::get<witness::RunStarted>(decoded->event.what).lost;
    };
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    EXPECT_FALSE(look(2, true));
    EXPECT_FALSE(look(3, false));
    store_.refuses = false;
    ASSERT_TRUE(look(4, false)) << "the run that goes on is begun with it";
    EXPECT_THAT(types(), ElementsAre("run.started", "answer", "run.started", "answer"));
    EXPECT_TRUE(lost(0).empty());
    EXPECT_THAT(lost(2), ElementsAre(witness::UnrecordedLoss{"p1", witness::StopAnswered::Of::rule,
                                                             "other-planes"}));
    store_.refuses = true;
    EXPECT_FALSE(look(5, true));
    store_.refuses = false;
    ASSERT_TRUE(look(6, false));
    EXPECT_EQ(lost(4).size(), 1U) << "also what the event itself shows, by which it goes on";
}

TEST_F(Sequence, a_run_that_goes_on_names_the_round_under_way) {
    const auto cut = [this](std::size_t entry) {
        const auto decoded = from_line(store_.entries("r1", 1).value().at(entry).line);
        return std::get<witness::RunStarted>(decoded->event.what).cut;
    };
    ASSERT_TRUE(look(1, true));
    EXPECT_FALSE(cut(0));
    store_.refuses = true;
    EXPECT_FALSE(sequencer_.take({at(2), witness::RoundStarted{7, {"planes"}}}));
    store_.refuses = false;
    ASSERT_TRUE(look(3, true));
    ASSERT_TRUE(cut(2));
    EXPECT_EQ(cut(2)->round, 7U);
    EXPECT_THAT(cut(2)->askings, ElementsAre("planes"));
}

TEST_F(Sequence, what_people_do_unrecorded_has_not_happened) {
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    for (const decltype(witness::Event::what)& act :
         {decltype(witness::Event::what)(witness::StopAnswered{}),
          decltype(witness::Event::what)(witness::ProcedureClosed{}),
          decltype(witness::Event::what)(witness::BackOutBegun{})}) {
        EXPECT_FALSE(sequencer_.take({at(2), act}));
        EXPECT_TRUE(heard_.back().outcome.findings.empty());
    }
}

TEST_F(Sequence, opens_and_closes_no_gate_unrecorded) {
    ASSERT_TRUE(look(1, true));
    store_.refuses = true;
    EXPECT_FALSE(sequencer_.take({at(2), witness::GateOpened{}}));
    EXPECT_TRUE(heard_.back().outcome.findings.empty());
    EXPECT_FALSE(sequencer_.take({at(3), witness::GateClosed{"g1", "somebody"}}));
    EXPECT_TRUE(heard_.back().outcome.findings.empty());
    EXPECT_FALSE(look(4, false));
    EXPECT_EQ(gate(heard_.back()).truth, witness::Truth::no) << "the open one is still watched";
}

} // namespace slotwitness::journal
