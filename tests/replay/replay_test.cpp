#include "../twins/folder.hpp"
#include "recorded_life.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/replay/recover.hpp>
#include <slotwitness/replay/replay.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cstdlib>
#include <filesystem>

namespace slotwitness::replay {
namespace {

class ReplayTest : public testing::Test {
  protected:
    std::unique_ptr<journal::Store> open() {
        auto store = journal::open_sqlite(folder_.file("journal-" + std::to_string(next_++)));
        if (!store)
            throw std::runtime_error(store.error().text);
        return std::move(*store);
    }

  private:
    twins::Folder folder_{twins::Folder::memory()};
    int next_ = 0;
};

std::size_t lives() {
    return std::getenv("SLOTWITNESS_LONG") ? 400 : 40;
}

TEST_F(ReplayTest,
       recovering_what_is_open_gives_the_same_as_replaying_everything_and_so_does_the_rest) {
    std::size_t passed = 0, failed = 0, open_at_the_end = 0, compared = 0;
    std::size_t jobs_open = 0, jobs_closed = 0, jobs_left_out = 0;
    for (std::uint64_t seed = 1; seed <= lives(); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const auto store = open();
        RecordedLife life(*store, seed);
        life.live(220);
        auto quick = recover(*store, "edge-7");
        auto full = recover_fully(*store, "edge-7");
        ASSERT_TRUE(quick) << quick.error().text;
        ASSERT_TRUE(full) << full.error().text;
        EXPECT_FALSE(quick->difference) << quick->difference->text;
        EXPECT_FALSE(full->difference) << full->difference->text;
        EXPECT_EQ(quick->last_instant, full->last_instant);
        EXPECT_EQ(quick->last_round, full->last_round);
        ASSERT_EQ(quick->gates.size(), full->gates.size());
        for (std::size_t i = 0; i < full->gates.size(); ++i) {
            EXPECT_EQ(quick->gates[i].finding, full->gates[i].finding);
            EXPECT_EQ(quick->gates[i].changes, full->gates[i].changes);
            passed += full->gates[i].finding.verdict == witness::Verdict::pass;
            failed += full->gates[i].finding.verdict == witness::Verdict::fail;
            open_at_the_end += !full->gates[i].finding.retired;
            compared += full->gates[i].finding.sentence.find("baseline") != std::string::npos &&
                        full->gates[i].finding.verdict == witness::Verdict::pass;
        }
        ASSERT_EQ(quick->procedures.size(), life.told().size());
        for (const RecordedProcedure& procedure : quick->procedures) {
            const auto& told = life.told().at(procedure.opened.id);
            EXPECT_EQ(procedure.finding, told.procedure);
            EXPECT_EQ(procedure.steps, told.steps);
            EXPECT_EQ(procedure.rules, told.rules);
            EXPECT_EQ(procedure.cooling, told.cooling);
            const bool is_open = told.procedure.phase != witness::Phase::closed;
            jobs_open += is_open;
            jobs_closed += !is_open;
            jobs_left_out += !is_open && full->recomputed.contains(procedure.opened.id + ".shut") &&
                             !quick->recomputed.contains(procedure.opened.id + ".shut");
        }
        for (int i = 0; i < 60; ++i) {
            const witness::Event event = life.invent();
            const auto from_quick = quick->witness.step(event);
            const auto from_full = full->witness.step(event);
            const auto different = compare(from_full.findings, from_quick.findings);
            ASSERT_FALSE(different) << "event " << i << " of the rest: " << *different;
            life.see(from_full.findings);
            ASSERT_EQ(from_quick.next_due, from_full.next_due);
            ASSERT_EQ(quick->witness.wanted_askings(), full->witness.wanted_askings());
        }
    }
    // A property of lives in which nothing happens would hold as well.
    EXPECT_GT(passed, lives() / 4);
    EXPECT_GT(failed, lives() / 4);
    EXPECT_GT(open_at_the_end, lives() / 4);
    EXPECT_GT(jobs_open, lives() / 8);
    EXPECT_GT(jobs_closed, lives() / 4);
    EXPECT_GT(jobs_left_out, lives() / 20) << "of these nothing is stepped again";
    EXPECT_GT(compared, lives() / 8);
}

/// Writes a life anew, with a chain made to fit, altered once: `alter` tells whether it did. The
/// sequence of the entry that was altered; 0 if none was.
template <class Alter>
std::uint64_t forge(journal::Store& honest, journal::Store& forged, Alter alter) {
    const auto entries = honest.entries("edge-7");
    std::uint64_t altered = 0;
    for (const journal::Entry& entry : entries.value()) {
        nlohmann::json body = nlohmann::json::parse(entry.line);
        for (const char* chain : {"chassis", "seq", "prev"})
            body.erase(chain);
        std::vector<journal::Capture> captures;
        for (const char* name : {"capture", "profile"})
            if (body["event"].contains(name))
                if (const auto bytes = honest.capture(body["event"][name].get<std::string>());
                    bytes && *bytes)
                    captures.push_back({body["event"][name].get<std::string>(), **bytes});
        if (!altered && alter(body))
            altered = entry.sequence;
        EXPECT_TRUE(forged.append("edge-7", body, captures));
    }
    return altered;
}

void expect_named(journal::Store& forged, std::uint64_t altered, Difference::Kind kind,
                  const std::string& text = "") {
    ASSERT_GT(altered, 0U) << "the life has nothing to alter";
    const auto replayed = replay(forged);
    ASSERT_TRUE(replayed) << replayed.error().text;
    ASSERT_TRUE(replayed->front().difference);
    EXPECT_EQ(replayed->front().difference->sequence, altered);
    EXPECT_EQ(replayed->front().difference->kind, kind);
    EXPECT_THAT(replayed->front().difference->text, testing::HasSubstr(text));
}

TEST_F(ReplayTest, a_baseline_of_a_run_that_is_not_stepped_again_is_read_again) {
    const auto store = open();
    RecordedLife life(*store, 1);
    life.open_gate("plane 1 up");
    life.want_baseline();
    life.look(everything_up);
    life.close_gate();
    life.restart();
    life.look(everything_up);
    life.restart();
    life.open_gate("every plane up in baseline is up");
    life.look(plane_3_shut);

    auto quick = recover(*store, "edge-7");
    auto full = recover_fully(*store, "edge-7");
    ASSERT_TRUE(quick) << quick.error().text;
    ASSERT_TRUE(full) << full.error().text;
    EXPECT_FALSE(quick->difference) << quick->difference->text;
    EXPECT_FALSE(full->difference) << full->difference->text;
    EXPECT_EQ(full->recomputed.size(), 2u);
    ASSERT_EQ(quick->recomputed.size(), 1u) << "the first run is not stepped again";
    const witness::GateFinding& gate = quick->recomputed.begin()->second;
    EXPECT_EQ(gate.truth, witness::Truth::no);
    EXPECT_EQ(gate, full->recomputed.at(gate.id));
}

TEST_F(ReplayTest, a_baseline_that_is_wanted_is_still_wanted_after_recovery) {
    const auto store = open();
    RecordedLife life(*store, 1);
    life.want_baseline();
    life.restart();
    auto wanting = recover(*store, "edge-7");
    ASSERT_TRUE(wanting) << wanting.error().text;
    EXPECT_EQ(wanting->witness.wanted_askings(), (std::vector<std::string>{"planes"}));
    life.look(everything_up);
    life.restart();
    auto done = recover(*store, "edge-7");
    ASSERT_TRUE(done) << done.error().text;
    EXPECT_TRUE(done->witness.wanted_askings().empty());
}

TEST_F(ReplayTest, a_verdict_that_was_altered_with_a_chain_made_to_fit_is_named) {
    const auto honest = open(), forged = open();
    RecordedLife life(*honest, 7);
    life.live(200);
    const std::uint64_t altered = forge(*honest, *forged, [](nlohmann::json& body) {
        if (body["event"].contains("semantics"))
            body["event"]["semantics"] = 1;
        for (auto& finding : body["findings"])
            if (finding.value("verdict", "") == "pass") {
                finding["verdict"] = "cancelled";
                return true;
            }
        return false;
    });
    expect_named(*forged, altered, Difference::Kind::finding, "it was judged by semantics 1");
}

// It is what people read as the device's own words.
TEST_F(ReplayTest, a_line_that_was_altered_in_a_finding_is_named) {
    const auto honest = open(), forged = open();
    RecordedLife life(*honest, 7);
    life.live(200);
    const std::uint64_t altered = forge(*honest, *forged, [](nlohmann::json& body) {
        for (auto& finding : body["findings"])
            if (finding.contains("because") && !finding["because"]["cites"].empty()) {
                finding["because"]["cites"][0]["text"] = "3      engaged   carrying";
                return true;
            }
        return false;
    });
    expect_named(*forged, altered, Difference::Kind::finding, "by another line of an answer");
}

TEST_F(ReplayTest, what_was_altered_of_a_procedure_is_named) {
    const auto honest = open();
    RecordedLife life(*honest, 3);
    life.live(330);
    struct Alteration {
        const char* type;
        const char* member;
        nlohmann::json from, to;
        const char* text;
    };
    for (const Alteration& each :
         {Alteration{"procedure", "word", "CALL", "STATE MET", "procedure"},
          {"procedure", "step", "pull", "seat", "procedure job-"},
          {"step", "stage", "released", "confirmed", "step "},
          {"step", "released_by", "Ada", "Grace", "step "},
          {"step", "read_back", true, false, "step "},
          {"chassis", "read", "0017", "0018", "right chassis"},
          {"rule", "lost", true, false, "rule "},
          {"rule", "truth", "unknown", "true", "rule "},
          {"cooling", "passed", true, false, "cooling clock run out"},
          {"procedure.refused", "procedure", "job-0", "job-9",
           "procedure job-9 refused something"}}) {
        SCOPED_TRACE(std::string(each.type) + " " + each.member);
        const auto forged = open();
        const std::uint64_t altered = forge(*honest, *forged, [&](nlohmann::json& body) {
            for (auto& finding : body["findings"])
                if (finding["type"] == each.type && finding[each.member] == each.from) {
                    finding[each.member] = each.to;
                    return true;
                }
            return false;
        });
        expect_named(*forged, altered, Difference::Kind::finding, each.text);
    }
}

TEST_F(ReplayTest, an_act_that_was_altered_is_named_by_what_follows_from_it) {
    const auto honest = open(), forged = open();
    RecordedLife life(*honest, 3);
    life.live(300);
    const std::uint64_t altered = forge(*honest, *forged, [](nlohmann::json& body) {
        if (body["type"] != "step.released" ||
            body["findings"].dump().find("refused") != std::string::npos)
            return false;
        body["event"]["by"] = "Grace";
        return true;
    });
    expect_named(*forged, altered, Difference::Kind::finding, "step ");
}

TEST_F(ReplayTest, an_answer_that_now_reads_otherwise_is_a_reading_difference) {
    const auto honest = open(), forged = open();
    RecordedLife life(*honest, 3);
    life.live(60);
    const std::uint64_t altered = forge(*honest, *forged, [](nlohmann::json& body) {
        if (!body["event"].contains("reading"))
            return false;
        body["event"]["reading"] = std::string(64, '0');
        return true;
    });
    expect_named(*forged, altered, Difference::Kind::reading);
}

TEST_F(ReplayTest, a_forecast_that_no_look_supports_is_named) {
    const auto store = open();
    RecordedLife life(*store, 3);
    life.live(60);
    auto recovered = recover_fully(*store, "edge-7");
    ASSERT_TRUE(recovered) << recovered.error().text;
    ASSERT_FALSE(recovered->difference) << recovered->difference->text;
    const witness::Event forecast{
        recovered->last_instant,
        witness::ForecastMade{"job-0", "FAB3-core", recovered->last_instant, "It warms.", 1, 2}};
    const auto entry = store->append(
        "edge-7", journal::to_body(forecast, recovered->witness.step(forecast).findings), {});
    ASSERT_TRUE(entry) << entry.error().text;
    expect_named(*store, entry->sequence, Difference::Kind::finding,
                 "recorded: a forecast of sensor FAB3-core, rounds 1 to 2");
}

} // namespace
} // namespace slotwitness::replay
