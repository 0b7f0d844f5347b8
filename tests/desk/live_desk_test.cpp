#include "bench_desk.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace slotwitness::desk {
namespace {

using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;
using twins::tell_chassis;
using twins::tell_planes;
using units::Duration;

constexpr Duration pace{2'000};

const std::string plane_3_shut = tell_planes({{"1"}, {"2"}, {"3", "released", "dark"}});

class LiveDeskTest : public testing::Test {
  protected:
    Folder folder;
    std::string journal = folder.file("journal");
};

TEST_F(LiveDeskTest, a_gate_passes_once_the_device_reported_it_for_long_enough) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 shut for 10 s within 5 min");
    ASSERT_TRUE(gate) << state::to_text(gate.error().problem);
    const std::string id = gate->finding.id;
    bench.advance_until(pace, [&] { return bench.gate(id).finding.truth == witness::Truth::no; });
    bench.device->answer("tell planes", plane_3_shut);
    bench.advance_until(
        pace, [&] { return bench.gate(id).finding.verdict != witness::Verdict::pending; });
    const witness::GateFinding finding = bench.gate(id).finding;
    EXPECT_EQ(finding.verdict, witness::Verdict::pass);
    EXPECT_GE(finding.held, Duration(10'000));
    ASSERT_FALSE(finding.because.cites.empty());
    EXPECT_THAT(finding.because.cites.front().text, HasSubstr("released"));
}

TEST_F(LiveDeskTest, a_gate_that_nothing_meets_fails_at_its_deadline_as_seen_false) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 down within 20 s");
    ASSERT_TRUE(gate);
    bench.advance_until(pace, [&] {
        return bench.gate(gate->finding.id).finding.verdict != witness::Verdict::pending;
    });
    EXPECT_EQ(bench.gate(gate->finding.id).finding.verdict, witness::Verdict::fail);
    EXPECT_EQ(bench.gate(gate->finding.id).finding.failure, witness::Failure::seen_false);
}

TEST_F(LiveDeskTest, a_deadline_ends_by_itself_while_the_device_does_not_answer) {
    BenchDesk bench(journal);
    bench.begin();
    bench.run_until([&] { return bench.looks() >= 1; });
    bench.device->hold("tell planes");
    const auto gate = bench.open("plane 3 down within 20 s");
    ASSERT_TRUE(gate);
    bench.advance(Duration(20'001));
    bench.run_until(
        [&] { return bench.gate(gate->finding.id).finding.verdict != witness::Verdict::pending; });
    EXPECT_EQ(bench.gate(gate->finding.id).finding.verdict, witness::Verdict::fail);
    EXPECT_EQ(bench.gate(gate->finding.id).finding.failure, witness::Failure::not_seen);
    bench.device->release("tell planes");
}

TEST_F(LiveDeskTest, what_is_not_recorded_is_not_passed_but_bad_news_shows_at_once) {
    BenchDesk bench(journal);
    bench.begin();
    bench.device->answer("tell planes", plane_3_shut);
    const auto gate = bench.open("plane 3 shut within 5 min");
    ASSERT_TRUE(gate);
    const std::string id = gate->finding.id;
    bench.advance_until(pace,
                        [&] { return bench.gate(id).finding.standing == witness::Standing::met; });
    const auto second = bench.open("plane 2 up for 4 s within 5 min");
    ASSERT_TRUE(second);

    *bench.disk_full = true;
    bench.device->answer("tell planes", tell_planes({{"1"}, {"2"}, {"3"}}));
    bench.advance_until(pace, [&] { return bench.published().back().stored == false; });
    bench.advance_until(pace, [&] { return bench.gate(id).unrecorded; });
    EXPECT_EQ(bench.gate(id).finding.standing, witness::Standing::lost);
    EXPECT_EQ(bench.gate(second->finding.id).finding.verdict, witness::Verdict::pending);
    EXPECT_FALSE(bench.desk().health().ready);
    EXPECT_THAT(bench.desk().health().reasons.front(), HasSubstr("disk is full"));

    *bench.disk_full = false;
    bench.advance_until(pace, [&] {
        return !bench.gate(id).unrecorded &&
               bench.gate(id).finding.standing == witness::Standing::lost;
    });
    EXPECT_TRUE(bench.desk().health().ready);
    EXPECT_EQ(bench.gate(id).finding.verdict, witness::Verdict::pass)
        << "a verdict is decided once";
}

TEST_F(LiveDeskTest, no_hold_runs_over_a_look_that_could_not_be_recorded) {
    BenchDesk bench(journal);
    bench.begin();
    bench.device->answer("tell planes", plane_3_shut);
    const auto gate = bench.open("plane 3 shut for 12 s within 5 min");
    ASSERT_TRUE(gate);
    const std::string id = gate->finding.id;
    bench.advance_until(pace, [&] { return bench.gate(id).finding.held >= Duration(6'000); });
    *bench.disk_full = true;
    bench.advance_until(pace, [&] { return !bench.published().back().stored; });
    *bench.disk_full = false;
    const units::Instant again = bench.desk().now();
    bench.advance_until(
        pace, [&] { return bench.gate(id).finding.verdict != witness::Verdict::pending; });
    const witness::GateFinding finding = bench.gate(id).finding;
    EXPECT_EQ(finding.verdict, witness::Verdict::pass);
    EXPECT_GE(*finding.decided - again, Duration(12'000)) << "the hold began anew";
}

TEST_F(LiveDeskTest, an_answer_that_cannot_be_recorded_takes_confidence_back_and_says_so) {
    BenchDesk bench(journal);
    bench.begin();
    bench.device->answer("tell planes", plane_3_shut);
    bench.run_until(
        [&] { return bench.looks() >= profiles::all_queries(*bench.settings.profile).size(); });
    const auto gate = bench.open("plane 3 shut within 5 min");
    ASSERT_TRUE(gate);
    const std::string id = gate->finding.id;
    bench.advance_until(pace,
                        [&] { return bench.gate(id).finding.standing == witness::Standing::met; });

    // The round's beginning is recorded, its answer is not.
    bench.device->hold("tell planes");
    bench.device->answer("tell planes", tell_planes({{"1"}, {"2"}, {"3"}}));
    const std::size_t asked = bench.device->asked().size();
    bench.advance(pace);
    bench.run_until([&] { return bench.device->asked().size() > asked; });
    *bench.disk_full = true;
    bench.device->release("tell planes");
    bench.run_until([&] { return bench.gate(id).unrecorded; });
    EXPECT_EQ(bench.gate(id).finding.standing, witness::Standing::lost);
    EXPECT_EQ(bench.gate(id).finding.truth, witness::Truth::no);
}

TEST_F(LiveDeskTest, another_chassis_at_the_address_is_refused_and_no_gate_passes) {
    BenchDesk bench(journal);
    bench.settings.serial = "QC0000001";
    bench.device->answer("tell planes", plane_3_shut);
    bench.begin();
    const auto gate = bench.open("plane 3 shut within 20 s");
    ASSERT_TRUE(gate);
    bench.advance_until(pace, [&] {
        return bench.gate(gate->finding.id).finding.verdict != witness::Verdict::pending;
    });
    EXPECT_EQ(bench.gate(gate->finding.id).finding.verdict, witness::Verdict::fail);
    EXPECT_EQ(bench.gate(gate->finding.id).finding.failure, witness::Failure::not_seen);
    const auto view = bench.desk().chassis("edge-7");
    EXPECT_EQ(view->session, Session::refused);
    EXPECT_THAT(view->session_text, HasSubstr("QC7781203"));
    EXPECT_THAT(view->session_text, HasSubstr("QC0000001"));
}

// The other controller's address may lead to another chassis altogether.
TEST_F(LiveDeskTest, the_serial_is_read_at_each_connect_and_another_one_than_before_is_refused) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 1 down within 60 min");
    ASSERT_TRUE(gate);
    const auto view = [&] { return *bench.desk().chassis("edge-7"); };
    bench.advance_until(pace, [&] { return view().last_answer.has_value(); });
    const std::string serial = view().serial.value_or("");
    bench.device->answer("tell chassis", tell_chassis("QC0000009"));
    bench.device->drop_sessions();
    bench.advance_until(Duration(60'000), [&] { return view().session == Session::refused; });
    EXPECT_EQ(view().session_reason, "wrong-chassis");
    EXPECT_THAT(view().session_text, HasSubstr("QC0000009, expected " + serial));
    bench.device->answer("tell chassis", tell_chassis(serial));
    bench.advance_until(Duration(60'000), [&] { return view().session == Session::connected; });
}

// Many devices lock an account after a few refusals (common practice, no source).
TEST_F(LiveDeskTest, a_refused_credential_is_not_tried_again_until_a_person_asks_for_it) {
    BenchDesk bench(journal);
    const auto refused = tl::unexpected(
        links::LinkError{links::LinkError::Kind::credential, "the password was refused"});
    bench.device->connect_once(refused);
    bench.device->connect_once(refused);
    bench.begin();
    const auto gate = bench.open("plane 3 up within 60 min");
    ASSERT_TRUE(gate);
    const auto session = [&] { return bench.desk().chassis("edge-7")->session; };
    bench.run_until([&] { return session() == Session::halted; });
    const std::size_t failed = bench.looks();
    bench.advance_until(Duration(60'000), [&] { return bench.looks() >= failed + 5; });
    EXPECT_EQ(bench.device->connects(), 1U);
    EXPECT_EQ(session(), Session::halted);
    const auto view = bench.desk().chassis("edge-7");
    EXPECT_EQ(view->session_reason, "credential");
    EXPECT_THAT(view->session_text, HasSubstr("POST /v1/chassis/edge-7/session"));
    EXPECT_THAT(bench.gate(gate->finding.id).finding.because.text, HasSubstr("refused"))
        << "who waits for the gate is told why";

    ASSERT_TRUE(bench.desk().connect_again("edge-7", "the test"));
    bench.run_until([&] { return bench.device->connects() == 2; });
    bench.run_until([&] { return session() == Session::halted; });
    ASSERT_TRUE(bench.desk().connect_again("edge-7", "the test"));
    bench.advance_until(pace, [&] { return session() == Session::connected; });
    EXPECT_EQ(bench.device->connects(), 3U);
    ASSERT_TRUE(bench.desk().connect_again("edge-7", "the test"));
    bench.advance_until(pace, [&] {
        return bench.gate(gate->finding.id).finding.verdict == witness::Verdict::pass;
    });
    EXPECT_EQ(bench.device->connects(), 3U) << "a session that lasts is left alone";
    EXPECT_EQ(bench.desk().connect_again("edge-9", "the test").error().kind,
              Refusal::Kind::no_such_chassis);
}

TEST_F(LiveDeskTest, a_locked_account_is_not_tried_again_and_a_full_device_is) {
    BenchDesk bench(journal);
    using Kind = links::LinkError::Kind;
    bench.device->hold_connects(); // until there is a gate whose looks fail
    for (const auto& [kind, text] :
         {std::pair{Kind::no_line, "all lines are in use"}, std::pair{Kind::aaa, "nobody decides"},
          std::pair{Kind::locked, "the account is locked"}})
        bench.device->connect_once(tl::unexpected(links::LinkError{kind, text}));
    bench.begin();
    ASSERT_TRUE(bench.open("plane 3 up within 60 min"));
    bench.device->release_connects();
    std::vector<witness::NoAnswer> reasons;
    const auto is_locked = [&] {
        reasons.clear();
        for (const Recorded& recorded : bench.published())
            if (const auto* failed = std::get_if<witness::Failed>(&recorded.event.what))
                if (reasons.empty() || reasons.back() != failed->why)
                    reasons.push_back(failed->why);
        return !reasons.empty() && reasons.back() == witness::NoAnswer::locked;
    };
    bench.advance_until(Duration(60'000), is_locked);
    EXPECT_THAT(reasons, testing::ElementsAre(witness::NoAnswer::no_line, witness::NoAnswer::aaa,
                                              witness::NoAnswer::locked));
    const std::size_t failed = bench.looks();
    bench.advance_until(Duration(60'000), [&] { return bench.looks() >= failed + 5; });
    EXPECT_EQ(bench.device->connects(), 3U) << "an attempt more may do harm";
    const auto view = bench.desk().chassis("edge-7");
    EXPECT_EQ(view->session, Session::halted);
    EXPECT_EQ(view->session_reason, "account-locked");
    EXPECT_THAT(view->session_text, HasSubstr("POST /v1/chassis/edge-7/session"));
}

TEST_F(LiveDeskTest, where_a_session_leads_and_what_it_uses_is_recorded_and_another_address_told) {
    BenchDesk bench(journal);
    links::Reached reached{"192.0.2.7:22", "SHA256:first", {}};
    reached.agreed.cipher_to = reached.agreed.cipher_from = "aes256-cbc";
    bench.device->reach(reached);
    bench.begin();
    const auto gate = bench.open("plane 3 up within 60 min");
    ASSERT_TRUE(gate);
    const auto view = [&] { return *bench.desk().chassis("edge-7"); };
    bench.advance_until(pace, [&] { return view().last_answer.has_value(); });
    ASSERT_TRUE(view().opened);
    EXPECT_EQ(view().opened->address, "192.0.2.7:22");
    EXPECT_EQ(view().opened->host_key, "SHA256:first");
    EXPECT_EQ(view().opened->serial, *view().serial);
    EXPECT_THAT(view().opened->weak, testing::ElementsAre("aes256-cbc"));
    EXPECT_FALSE(view().switchover);

    bench.device->reach({"192.0.2.8:22", "SHA256:second", {}});
    bench.device->drop_sessions();
    bench.advance_until(Duration(60'000), [&] { return view().switchover.has_value(); });
    EXPECT_EQ(view().switchover->what, (witness::SwitchedOver{witness::SwitchedOver::Of::address,
                                                              "192.0.2.7:22", "192.0.2.8:22"}));
    std::size_t sessions = 0;
    for (const Recorded& recorded : bench.published())
        if (std::holds_alternative<witness::SessionOpened>(recorded.event.what)) {
            EXPECT_TRUE(recorded.stored);
            ++sessions;
        }
    EXPECT_EQ(sessions, 2U);
}

TEST_F(LiveDeskTest, a_device_that_tells_no_serial_is_refused) {
    BenchDesk bench(journal);
    bench.device->answer("tell chassis", "Chassis edge-7\n  Serial:\n");
    bench.begin();
    const auto gate = bench.open("plane 1 up within 10 s");
    ASSERT_TRUE(gate);
    bench.advance_until(pace, [&] {
        return bench.gate(gate->finding.id).finding.verdict != witness::Verdict::pending;
    });
    EXPECT_EQ(bench.gate(gate->finding.id).finding.verdict, witness::Verdict::fail);
}

TEST_F(LiveDeskTest, a_lost_session_is_connected_again_and_the_gate_goes_on) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 shut within 5 min");
    ASSERT_TRUE(gate);
    const std::string id = gate->finding.id;
    bench.advance_until(pace, [&] { return bench.gate(id).finding.truth == witness::Truth::no; });
    bench.device->drop_sessions();
    bench.device->answer("tell planes", plane_3_shut);
    bench.advance_until(pace,
                        [&] { return bench.gate(id).finding.verdict == witness::Verdict::pass; });
    EXPECT_GE(bench.device->connects(), 2u);
}

TEST_F(LiveDeskTest, a_restart_keeps_the_gate_and_its_deadline_and_the_hold_starts_again) {
    std::string id;
    units::Instant deadline;
    {
        BenchDesk bench(journal);
        bench.begin();
        bench.device->answer("tell planes", plane_3_shut);
        const auto gate = bench.open("plane 3 shut for 30 s within 5 min");
        ASSERT_TRUE(gate);
        id = gate->finding.id;
        deadline = *gate->finding.deadline;
        bench.advance_until(pace, [&] { return bench.gate(id).finding.held >= Duration(20'000); });
    }
    BenchDesk again(journal);
    again.machine.boottime_ms += 40'000;
    again.machine.wall_ms -= 3'600'000; // a step of the wall clock moves nothing within one boot
    again.device->answer("tell planes", plane_3_shut);
    again.begin();
    again.run_until([&] { return !again.published().empty(); });
    EXPECT_EQ(again.gate(id).finding.held, Duration(0));
    EXPECT_EQ(again.gate(id).finding.deadline, deadline);
    again.advance_until(
        pace, [&] { return again.gate(id).finding.verdict != witness::Verdict::pending; });
    EXPECT_EQ(again.gate(id).finding.verdict, witness::Verdict::pass);
    EXPECT_GE(again.gate(id).finding.held, Duration(30'000));
    EXPECT_TRUE(again.desk().health().ready);
}

TEST_F(LiveDeskTest,
       after_another_boot_with_an_unknown_time_between_a_pending_deadline_is_not_seen) {
    std::string id;
    {
        BenchDesk bench(journal);
        bench.begin();
        const auto gate = bench.open("plane 3 shut within 5 min");
        ASSERT_TRUE(gate);
        id = gate->finding.id;
    }
    BenchDesk again(journal);
    again.machine.boot_id = "boot-b";
    again.machine.wall_synchronised = false;
    again.begin();
    again.run_until([&] { return !again.published().empty(); });
    EXPECT_EQ(again.gate(id).finding.verdict, witness::Verdict::fail);
    EXPECT_EQ(again.gate(id).finding.failure, witness::Failure::not_seen);
}

/// Answers to every query of the family, from the fixtures.
void answer_everything(BenchDesk& bench) {
    for (const profiles::Asking& asking : profiles::all_queries(*bench.settings.profile)) {
        const std::string key = asking.key();
        if (key == "chassis" || key == "planes")
            continue;
        std::ifstream stream(SLOTWITNESS_FIXTURES "/quillon/healthy/" + key + ".txt");
        bench.device->answer("tell " + key,
                             std::string(std::istreambuf_iterator<char>(stream), {}));
    }
}

TEST_F(LiveDeskTest, a_baseline_is_made_of_every_query_and_outlives_a_restart) {
    {
        BenchDesk bench(journal);
        answer_everything(bench);
        bench.begin();
        EXPECT_FALSE(bench.desk().chassis("edge-7")->baseline);
        ASSERT_TRUE(bench.await(bench.desk().want_baseline("edge-7", "engineer")));
        bench.advance_until(pace,
                            [&] { return bench.desk().chassis("edge-7")->baseline.has_value(); });
        EXPECT_FALSE(bench.desk().chassis("edge-7")->baseline_wanted);
        EXPECT_EQ(bench.desk().chassis("edge-7")->baseline->by, "engineer");
        EXPECT_EQ(bench.desk().chassis("edge-7")->baseline->captures.size(),
                  profiles::all_queries(*bench.settings.profile).size());
    }
    BenchDesk again(journal);
    again.machine.boottime_ms += 40'000;
    answer_everything(again);
    again.begin();
    ASSERT_TRUE(again.desk().chassis("edge-7")->baseline);
    const auto gate = again.open("every plane up in baseline is up");
    ASSERT_TRUE(gate) << state::to_text(gate.error().problem);
    again.advance_until(pace, [&] {
        return again.gate(gate->finding.id).finding.verdict == witness::Verdict::pass;
    });
    EXPECT_TRUE(again.desk().health().ready);
}

TEST_F(LiveDeskTest, a_baseline_of_a_chassis_that_is_not_configured_is_refused) {
    BenchDesk bench(journal);
    bench.begin();
    const auto wanted = bench.await(bench.desk().want_baseline("edge-8", "engineer"));
    ASSERT_FALSE(wanted);
    EXPECT_EQ(wanted.error().kind, Refusal::Kind::no_such_chassis);
    EXPECT_EQ(wanted.error().problem.expected, "one of edge-7");
}

TEST_F(LiveDeskTest, a_peak_that_the_configuration_states_is_in_the_run) {
    BenchDesk bench(journal);
    bench.settings.peak_load = units::Decimal::of(9, 12);
    bench.begin();
    bench.run_until([&] { return !bench.published().empty(); });
    EXPECT_EQ(std::get<witness::RunStarted>(bench.published().front().event.what).peak_load,
              units::Decimal::of(9, 12));
}

TEST_F(LiveDeskTest, a_mistyped_name_is_refused_with_the_names_that_there_are) {
    BenchDesk bench(journal);
    bench.settings.inventory[state::Kind::plane] = {"1", "2", "3"};
    bench.begin();
    const auto gate = bench.open("plane 33 shut within 5 min");
    ASSERT_FALSE(gate);
    EXPECT_EQ(gate.error().kind, Refusal::Kind::unknown_name);
    EXPECT_THAT(gate.error().problem.expected, HasSubstr("1, 2, 3"));
}

TEST_F(LiveDeskTest, a_bad_sentence_is_refused_with_its_column) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 shutt");
    ASSERT_FALSE(gate);
    EXPECT_EQ(gate.error().kind, Refusal::Kind::bad_sentence);
    EXPECT_EQ(gate.error().problem.at.column, 9u);
}

TEST_F(LiveDeskTest, the_same_key_with_the_same_wish_opens_one_gate_also_across_a_restart) {
    std::string id;
    {
        BenchDesk bench(journal);
        bench.begin();
        const auto first = bench.open("plane 3 shut", "key-1");
        const auto second = bench.open("plane 3 shut", "key-1");
        ASSERT_TRUE(first && second);
        id = first->finding.id;
        EXPECT_EQ(second->finding.id, id);
        const auto other = bench.open("plane 2 shut", "key-1");
        ASSERT_FALSE(other);
        EXPECT_EQ(other.error().kind, Refusal::Kind::key_reused);
    }
    BenchDesk again(journal);
    again.begin();
    EXPECT_EQ(again.open("plane 3 shut", "key-1")->finding.id, id);
}

TEST_F(LiveDeskTest, a_cancelled_gate_stays_and_takes_no_more_looks) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 shut");
    ASSERT_TRUE(gate);
    const std::string id = gate->finding.id;
    const auto closed = bench.await(bench.desk().close_gate(id, "the test"));
    ASSERT_TRUE(closed);
    EXPECT_EQ(closed->finding.verdict, witness::Verdict::cancelled);
    EXPECT_EQ(bench.await(bench.desk().close_gate(id, "the test"))->finding.verdict,
              witness::Verdict::cancelled);
    EXPECT_EQ(bench.await(bench.desk().close_gate("nosuch", "the test")).error().kind,
              Refusal::Kind::no_such_gate);
}

TEST_F(LiveDeskTest, nothing_leaves_but_queries_of_the_profile) {
    BenchDesk bench(journal);
    bench.begin();
    const auto gate = bench.open("plane 3 shut and module FAB3 operational");
    ASSERT_TRUE(gate) << state::to_text(gate.error().problem);
    const std::size_t looks = bench.looks();
    bench.advance_until(pace, [&] { return bench.looks() > looks + 6; });
    for (const std::string& request : bench.device->asked())
        EXPECT_THAT(request, testing::StartsWith("tell "));
}

} // namespace
} // namespace slotwitness::desk
