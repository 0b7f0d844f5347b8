#include "health_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

// Another chassis answers at the address in the midst of the work: nothing that it says is of this
// one, and the person at the rack is told so.
namespace slotwitness::desk {
namespace {

using testing::AllOf;
using testing::Each;
using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;
using units::Duration;
using witness::Word;

/// One moves on by it at each answer, and ten answers of a round may not lie too far apart.
constexpr Duration each_look{1'000};
constexpr Duration idle_pace{60'000};
/// As the fixture's chassis tells it, and one that differs in a character.
const std::string ours = "QL40000017";
const std::string theirs = "QL40000071";

class OtherChassis : public testing::Test {
  protected:
    /// A healthy chassis, of which nothing is configured but the address.
    static void plug_in(BenchDesk& bench, const std::string& serial) {
        bench.device->reach({"192.0.2.7:22", "SHA256:first", {}});
        for (const auto& entry :
             std::filesystem::directory_iterator(SLOTWITNESS_FIXTURES "/quillon/healthy")) {
            std::ifstream file(entry.path());
            std::string text(std::istreambuf_iterator<char>(file), {});
            if (const auto at = text.find(ours); at != std::string::npos)
                text.replace(at, ours.size(), serial);
            bench.device->answer("tell " + entry.path().stem().string(), text);
        }
    }
    static void begin(BenchDesk& bench, const std::string& serial) {
        bench.settings.pace.pending = each_look;
        plug_in(bench, serial);
        const std::string file = SLOTWITNESS_FIXTURES "/quillon/procedures/health-check.toml";
        std::ifstream stream(file);
        const std::string text(std::istreambuf_iterator<char>(stream), {});
        auto procedure = procedures::parse_procedure({file, text});
        ASSERT_TRUE(procedure) << state::to_text(procedure.error().front());
        bench.book.try_emplace("health-check", WrittenProcedure{std::move(*procedure), text});
        bench.begin();
        bench.run_until([&] { return bench.desk().health().ready; });
    }
    /// To where the device reports the first step's fact and the engineer has released it.
    void work(BenchDesk& bench) {
        const std::size_t whole = profiles::all_queries(*bench.settings.profile).size();
        bench.run_until([&] { return bench.looks() >= whole; });
        auto opening = bench.desk().open_procedure(twins::health_check_of("edge-7"));
        const auto opened = bench.await(std::move(opening));
        ASSERT_TRUE(opened) << state::to_text(opened.error().problem);
        id_ = opened->record.opened.id;
        bench.advance_until(each_look, [&] {
            return bench.gate(id_ + ".traffic").finding.verdict == witness::Verdict::pass;
        });
        auto releasing = bench.desk().act(witness::StepReleased{
            {id_, "traffic", told(bench).record.steps.at("traffic").revision, "the engineer"}});
        const auto released = bench.await(std::move(releasing));
        ASSERT_TRUE(released) << state::to_text(released.error().problem);
        ASSERT_EQ(word(bench), Word::state_met) << text(bench);
    }
    [[nodiscard]] static bool connected(const BenchDesk& bench) {
        return const_cast<BenchDesk&>(bench).desk().chassis("edge-7")->session ==
               Session::connected;
    }
    [[nodiscard]] ProcedureView told(BenchDesk& bench) const {
        return *bench.desk().procedure(id_);
    }
    [[nodiscard]] Word word(BenchDesk& bench) const { return told(bench).record.finding.word; }
    [[nodiscard]] std::string text(BenchDesk& bench) const {
        return told(bench).record.finding.text;
    }
    /// No word but WAIT and CALL, with the reason, and nothing but the serial is asked.
    void expect_turned_away(BenchDesk& bench, std::size_t asked_before) const {
        EXPECT_EQ(bench.desk().chassis("edge-7")->session, Session::refused);
        EXPECT_EQ(word(bench), Word::wait);
        EXPECT_THAT(text(bench),
                    AllOf(HasSubstr(theirs + ", expected " + ours), HasSubstr("another chassis")));
        const auto& asked = bench.device->asked();
        EXPECT_THAT(
            std::vector(asked.begin() + static_cast<std::ptrdiff_t>(asked_before), asked.end()),
            Each("tell chassis"));
    }

    Folder folder_;
    std::string journal_ = folder_.file("journal");
    std::string id_;
};

TEST_F(OtherChassis, after_a_reconnect_takes_state_met_away_and_says_why_until_ours_is_back) {
    BenchDesk bench(journal_);
    begin(bench, ours);
    work(bench);

    plug_in(bench, theirs);
    bench.device->drop_sessions();
    const std::size_t asked = bench.device->asked().size();
    bench.advance_until(each_look, [&] { return word(bench) != Word::state_met; });
    bench.advance_until(each_look, [&] { return text(bench).find(theirs) != std::string::npos; });
    expect_turned_away(bench, asked);

    plug_in(bench, ours);
    bench.advance_until(each_look, [&] { return word(bench) == Word::state_met; });
    EXPECT_TRUE(connected(bench));
}

TEST_F(OtherChassis, after_a_restart_goes_on_with_no_work_that_was_begun_on_ours) {
    {
        BenchDesk bench(journal_);
        begin(bench, ours);
        work(bench);
    }
    BenchDesk again(journal_);
    begin(again, theirs);
    EXPECT_NE(word(again), Word::state_met);
    again.advance_until(each_look, [&] { return text(again).find(theirs) != std::string::npos; });
    expect_turned_away(again, 0);
    for (const Recorded& recorded : again.published())
        EXPECT_FALSE(std::holds_alternative<witness::Answered>(recorded.event.what));

    plug_in(again, ours);
    again.advance_until(each_look, [&] { return word(again) == Word::state_met; });
}

TEST_F(OtherChassis, is_as_good_as_the_first_one_where_no_work_goes_on) {
    {
        BenchDesk bench(journal_);
        begin(bench, ours);
        bench.advance_until(idle_pace, [&] { return connected(bench); });
    }
    BenchDesk again(journal_);
    begin(again, theirs);
    again.advance_until(idle_pace, [&] { return connected(again); });
    EXPECT_EQ(again.desk().chassis("edge-7")->serial, theirs);
}

} // namespace
} // namespace slotwitness::desk
