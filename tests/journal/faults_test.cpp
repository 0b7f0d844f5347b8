#include "fake_witness.hpp"
#include "faulty_files.hpp"
#include "scratch.hpp"

#include <slotwitness/journal/sequencer.hpp>
#include <slotwitness/journal/store.hpp>

#include <gmock/gmock.h>

#include <string>
#include <vector>

/// Every call that SQLite makes to its files fails once, one after the other.
namespace slotwitness::journal {

using test::captures_of;
using test::FakeWitness;
using test::FaultyFiles;
using test::recover;
using test::Scratch;
using test::story;
using testing::AnyOf;
using testing::HasSubstr;
using Fault = FaultyFiles::Fault;
using Kind = StoreError::Kind;

namespace {

struct Failing {
    Fault fault;
    bool lasting;
};

nlohmann::json tick(int number) {
    return to_body({test::at(number), witness::Tick{}}, {});
}

/// A journal with `count` events of the story, as one run.
std::vector<Entry> begun(Store& store, int count) {
    FakeWitness judge;
    for (int number = 1; number <= count; ++number) {
        const witness::Event event = story(number);
        store.append("r1", to_body(event, judge.step(event).findings), captures_of(event)).value();
    }
    return store.entries("r1").value();
}

std::vector<std::string> lines(const std::vector<Entry>& entries) {
    std::vector<std::string> out;
    for (const Entry& entry : entries)
        out.push_back(entry.line);
    return out;
}

class Faults : public testing::TestWithParam<Failing> {};
/// Where nothing is written: calls fail, but no disk is full.
class IoErrors : public Faults {};

} // namespace

TEST_P(Faults, an_append_that_fails_stores_nothing_and_the_chain_goes_on) {
    FaultyFiles files;
    bool failing = true;
    long failures = 0;
    for (long call = 0; failing; ++call) {
        const Scratch scratch;
        auto store = open_sqlite(scratch.file()).value();
        const auto before = begun(*store, 4);
        const Capture capture{digest_of("new answer"), "new answer"};

        files.arm(GetParam().fault, call, GetParam().lasting);
        const auto entry = store->append("r1", tick(5), {capture});
        failing = files.struck();
        files.disarm();
        // A checkpoint that fails costs nothing: SQLite tries again later.
        if (!entry) {
            ++failures;
            EXPECT_EQ(entry.error().kind, Kind::unavailable) << entry.error().text;
            EXPECT_THAT(entry.error().text, AnyOf(HasSubstr("the disk is full; make room"),
                                                  HasSubstr("look at the disk and the system log"),
                                                  HasSubstr("cannot be opened; check that"),
                                                  HasSubstr("holds a lock on it")));
            EXPECT_EQ(lines(*store->entries("r1")), lines(before)) << "call " << call;
            EXPECT_EQ(*store->capture(capture.digest), std::nullopt);
        } else {
            EXPECT_EQ(store->entries("r1")->size(), 5U);
        }
        const auto next = entry ? entry : store->append("r1", tick(5), {capture});
        ASSERT_TRUE(next) << next.error().text;
        EXPECT_EQ(next->sequence, 5U);
        EXPECT_EQ(next->previous, before.back().hash);
        store.reset();
        const auto after = open_sqlite(scratch.file()).value()->entries("r1");
        ASSERT_TRUE(after) << after.error().text;
        EXPECT_EQ(after->size(), 5U);
        EXPECT_EQ(after->back().line, next->line);
    }
    EXPECT_GE(failures, 3) << "reading, writing and syncing at least";
}

TEST_P(IoErrors, an_opening_that_fails_leaves_the_journal_whole) {
    FaultyFiles files;
    const Scratch scratch;
    const auto before = begun(*open_sqlite(scratch.file()).value(), 4);
    bool failing = true;
    long failures = 0;
    for (long call = 0; failing; ++call) {
        files.arm(GetParam().fault, call, GetParam().lasting);
        {
            const auto store = open_sqlite(scratch.file());
            if (!store) {
                ++failures;
                EXPECT_EQ(store.error().kind, Kind::unavailable) << store.error().text;
            }
        }
        failing = files.struck();
        files.disarm();
        const auto store = open_sqlite(scratch.file());
        ASSERT_TRUE(store) << store.error().text;
        const auto entries = (*store)->entries("r1");
        ASSERT_TRUE(entries) << entries.error().text;
        EXPECT_EQ(lines(*entries), lines(before)) << "call " << call;
    }
    EXPECT_GE(failures, 3);
}

TEST_P(Faults, a_journal_whose_making_failed_can_be_made_again) {
    FaultyFiles files;
    bool failing = true;
    long failures = 0;
    for (long call = 0; failing; ++call) {
        const Scratch scratch;
        files.arm(GetParam().fault, call, GetParam().lasting);
        {
            const auto store = open_sqlite(scratch.file());
            failures += store ? 0 : 1;
        }
        failing = files.struck();
        files.disarm();
        const auto store = open_sqlite(scratch.file());
        ASSERT_TRUE(store) << "call " << call << ": " << store.error().text;
        EXPECT_EQ((*store)->append("r1", tick(1), {}).value().sequence, 1U);
    }
    EXPECT_GE(failures, 3);
}

TEST_P(IoErrors, reading_that_fails_says_so_and_never_gives_less) {
    FaultyFiles files;
    const Scratch scratch;
    const auto before = begun(*open_sqlite(scratch.file()).value(), 30);
    bool failing = true;
    long failures = 0;
    for (long call = 0; failing; ++call) {
        const auto store = open_sqlite_read_only(scratch.file()).value();
        files.arm(GetParam().fault, call, GetParam().lasting);
        const auto entries = store->entries("r1");
        const auto names = store->chassis();
        const auto bytes = store->capture(digest_of("answer 3"));
        failing = files.struck();
        files.disarm();
        if (entries) {
            EXPECT_EQ(lines(*entries), lines(before));
        } else {
            ++failures;
            EXPECT_EQ(entries.error().kind, Kind::unavailable) << entries.error().text;
        }
        if (names) {
            EXPECT_THAT(*names, testing::ElementsAre("r1"));
        }
        if (bytes) {
            EXPECT_EQ(*bytes, "answer 3");
        }
    }
    EXPECT_GE(failures, 2);
}

TEST_P(Faults, what_is_published_is_in_the_journal_at_every_failure) {
    FaultyFiles files;
    bool failing = true;
    for (long call = 0; failing; ++call) {
        const Scratch scratch;
        auto store = open_sqlite(scratch.file()).value();
        std::vector<std::string> published;
        int unrecorded = 0;
        Sequencer<FakeWitness> sequencer(
            *store, "r1", FakeWitness(), [](witness::Instant) { return Beginning{}; },
            [&](const Sequenced& sequenced) {
                if (sequenced.stored())
                    published.push_back(sequenced.entry->line);
                else
                    ++unrecorded;
            });
        for (int number = 1; number <= 3; ++number)
            ASSERT_TRUE(sequencer.take(story(number), captures_of(story(number))));
        files.arm(GetParam().fault, call, GetParam().lasting);
        const bool taken = sequencer.take(story(4), captures_of(story(4))).has_value();
        failing = files.struck();
        files.disarm();
        EXPECT_EQ(unrecorded, taken ? 0 : 1);
        EXPECT_EQ(sequencer.interrupted(), !taken);
        EXPECT_EQ(lines(*store->entries("r1")), published) << "call " << call;
        ASSERT_TRUE(sequencer.take(story(5), captures_of(story(5))));

        const auto recovered = recover(*store, "r1");
        EXPECT_EQ(lines(recovered.entries), published);
        EXPECT_EQ(recovered.judge, sequencer.judge());
        // The run.started of the beginning, 1 to 3, then either 4 or another run.started, then 5.
        EXPECT_EQ(recovered.entries.size(), 6U);
        const Scratch other;
        EXPECT_EQ(test::uninterrupted(*open_sqlite(other.file()).value(), "r1", recovered.entries),
                  recovered.entries.back().hash);
    }
}

std::string name_of(const testing::TestParamInfo<Failing>& info) {
    return std::string(info.param.fault == Fault::full ? "full" : "io_error") +
           (info.param.lasting ? "_lasting" : "_once");
}
INSTANTIATE_TEST_SUITE_P(Kinds, Faults,
                         testing::Values(Failing{Fault::io_error, false},
                                         Failing{Fault::io_error, true},
                                         Failing{Fault::full, false}, Failing{Fault::full, true}),
                         name_of);
INSTANTIATE_TEST_SUITE_P(Kinds, IoErrors,
                         testing::Values(Failing{Fault::io_error, false},
                                         Failing{Fault::io_error, true}),
                         name_of);

/// https://www.sqlite.org/pragma.html#pragma_synchronous: with FULL the write-ahead log is synced
/// after each transaction. Seen from below: its last write is followed by its sync before append
/// returns.
TEST(Durability, of_each_append_is_a_sync_after_its_last_write) {
    FaultyFiles files;
    const Scratch scratch;
    const auto store = open_sqlite(scratch.file()).value();
    for (int number = 1; number <= 3; ++number) {
        const std::size_t before = files.calls().size();
        ASSERT_TRUE(store->append("r1", tick(number), {{digest_of("x"), "x"}}));
        std::string last;
        for (std::size_t i = before; i < files.calls().size(); ++i) {
            const auto& [name, file] = files.calls()[i];
            if ((name == "write" || name == "sync") && file == scratch.file() + "-wal")
                last = name;
        }
        EXPECT_EQ(last, "sync");
    }
}

} // namespace slotwitness::journal
