#include "fake_witness.hpp"
#include "faulty_files.hpp"
#include "scratch.hpp"

#include <slotwitness/journal/sequencer.hpp>
#include <slotwitness/journal/store.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <csignal>
#include <functional>
#include <optional>
#include <random>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <utility>
#include <vector>

/// A process that sequences the story over a real journal is killed, started again, killed again.
namespace slotwitness::journal {

using test::captures_of;
using test::FakeWitness;
using test::FaultyFiles;
using test::recover;
using test::Scratch;
using test::story;
using Fault = FaultyFiles::Fault;

namespace {

/// How a process comes to its end before the story does.
struct Death {
    std::optional<std::pair<Fault, long>> at_call; ///< by its own hand, at a call to its files
    std::optional<std::size_t> after;              ///< by ours, when it has published so much
};

struct Life {
    std::vector<std::string> published; ///< hashes, as the process told them
    bool killed = false;
};

/// What the process does: recovers, and tells the story on to event `last`. Each published entry
/// goes to `out`, 64 bytes each, which a pipe takes whole or not at all (POSIX: writes up to
/// PIPE_BUF are atomic).
[[noreturn]] void live(const std::string& path, int last, const Death& death, int out,
                       FaultyFiles& files) {
    if (death.at_call)
        files.arm(death.at_call->first, death.at_call->second);
    auto store = open_sqlite(path);
    if (!store)
        ::_exit(2);
    auto recovered = recover(**store, "r1");
    Sequencer<FakeWitness> sequencer(
        **store, "r1", recovered.judge, [](witness::Instant) { return Beginning{}; },
        [out](const Sequenced& sequenced) {
            if (!sequenced.stored() || ::write(out, sequenced.entry->hash.data(), 64) != 64)
                ::_exit(3);
        });
    for (int number = recovered.told + 1; number <= last; ++number)
        if (!sequencer.take(story(number), captures_of(story(number))))
            ::_exit(4);
    store->reset();
    ::_exit(0);
}

Life run(const std::string& path, int last, const Death& death, FaultyFiles& files) {
    int ends[2];
    if (::pipe(ends) != 0)
        throw std::runtime_error("no pipe");
    const pid_t child = ::fork();
    if (child == 0) {
        ::close(ends[0]);
        live(path, last, death, ends[1], files);
    }
    ::close(ends[1]);
    std::string told;
    char buffer[4096];
    const auto kill_in_time = [&] {
        if (death.after && told.size() / 64 >= *death.after)
            ::kill(child, SIGKILL);
    };
    kill_in_time();
    for (ssize_t got = 0; (got = ::read(ends[0], buffer, sizeof buffer)) > 0; kill_in_time())
        told.append(buffer, static_cast<std::size_t>(got));
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    Life life;
    for (std::size_t i = 0; i + 64 <= told.size(); i += 64)
        life.published.push_back(told.substr(i, 64));
    life.killed = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    if (!life.killed && !(WIFEXITED(status) && WEXITSTATUS(status) == 0))
        throw std::runtime_error("the process failed with status " + std::to_string(status));
    return life;
}

/// What must be so after every death, whatever it interrupted.
void check(const std::string& path, const Life& life, std::size_t before) {
    std::vector<Entry> entries;
    {
        const auto reader = open_sqlite_read_only(path);
        // Killed while it made the journal: there is none yet, or an empty file.
        if (!reader) {
            EXPECT_TRUE(life.published.empty()) << reader.error().text;
            EXPECT_EQ(before, 0U) << reader.error().text;
            return;
        }
        entries = recover(**reader, "r1").entries;
    }
    ASSERT_GE(entries.size(), before) << "nothing that was there is gone";
    std::vector<std::string> added;
    for (std::size_t i = before; i < entries.size(); ++i)
        added.push_back(entries[i].hash);
    ASSERT_GE(added.size(), life.published.size());
    EXPECT_TRUE(std::equal(life.published.begin(), life.published.end(), added.begin()))
        << "what was published is in the journal, in its order";
    EXPECT_LE(added.size(), life.published.size() + 1)
        << "one at most was stored and not yet published";
}

std::size_t count(const std::string& path) {
    const auto store = open_sqlite_read_only(path);
    return store ? (*store)->entries("r1").value().size() : 0;
}

/// Whether the whole story is there, once each and in order, and the chain that one process would
/// have written of the same events is the same to its last hash.
void check_end(const std::string& path, int last) {
    const auto store = open_sqlite(path).value();
    const auto recovered = recover(*store, "r1");
    std::vector<int> told;
    for (const Entry& entry : recovered.entries)
        if (const auto decoded = from_line(entry.line);
            !std::holds_alternative<witness::RunStarted>(decoded->event.what))
            told.push_back(static_cast<int>(decoded->event.at.time_since_epoch().count() / 1000));
    std::vector<int> all(static_cast<std::size_t>(last));
    for (int number = 1; number <= last; ++number)
        all[static_cast<std::size_t>(number - 1)] = number;
    EXPECT_EQ(told, all);
    const Scratch other;
    EXPECT_EQ(test::uninterrupted(*open_sqlite(other.file()).value(), "r1", recovered.entries),
              recovered.entries.back().hash);
}

} // namespace

TEST(Killed, at_every_call_it_loses_nothing_that_it_published) {
    FaultyFiles files;
    int kills = 0;
    for (const Fault fault : {Fault::kill, Fault::tear}) {
        bool killed = true;
        for (long call = 0; killed; ++call) {
            const Scratch scratch;
            const Life life = run(scratch.file(), 4, {std::pair(fault, call), std::nullopt}, files);
            killed = life.killed;
            kills += killed ? 1 : 0;
            check(scratch.file(), life, 0);
            const std::size_t before = count(scratch.file());
            check(scratch.file(), run(scratch.file(), 6, {}, files), before);
            check_end(scratch.file(), 6);
            if (HasFailure())
                FAIL() << "call " << call;
        }
    }
    RecordProperty("kills", kills);
    EXPECT_GE(kills, 100);
}

TEST(Killed, again_and_again_it_ends_with_the_chain_of_an_uninterrupted_run) {
    constexpr unsigned seed = 20261125;
    std::mt19937 random(seed);
    FaultyFiles files;
    int kills = 0;
    for (int journal = 0; journal < 5; ++journal) {
        const Scratch scratch;
        constexpr int last = 150;
        bool killed = true;
        while (killed) {
            Death death;
            switch (random() % 3) {
            case 0:
                death.at_call = std::pair(Fault::kill, static_cast<long>(random() % 200));
                break;
            case 1:
                death.at_call = std::pair(Fault::tear, static_cast<long>(random() % 30));
                break;
            default:
                death.after = random() % 8;
            }
            const std::size_t before = count(scratch.file());
            const Life life = run(scratch.file(), last, death, files);
            killed = life.killed;
            kills += killed ? 1 : 0;
            check(scratch.file(), life, before);
            if (HasFailure())
                FAIL() << "seed " << seed << ", journal " << journal << ", kill " << kills;
        }
        check_end(scratch.file(), last);
    }
    RecordProperty("kills", kills);
    EXPECT_GE(kills, 100);
}

/// A sync that fails may come after the writes: the commit was refused, and may yet be found whole
/// after the next start. Then it is one more event, with its findings; never half of one.
TEST(Killed, after_a_commit_that_failed_the_chain_is_whole) {
    FaultyFiles files;
    bool struck = true;
    for (long call = 0; struck; ++call) {
        const Scratch scratch;
        std::string wanted;
        {
            const auto store = open_sqlite(scratch.file()).value();
            store->append("r1", to_body({test::at(1), witness::Tick{}}, {}), {}).value();
        }
        const Scratch twin;
        {
            const auto store = open_sqlite(twin.file()).value();
            store->append("r1", to_body({test::at(1), witness::Tick{}}, {}), {}).value();
            wanted =
                store->append("r1", to_body({test::at(2), witness::Tick{}}, {}), {}).value().line;
        }
        const pid_t child = ::fork();
        if (child == 0) {
            const auto store = open_sqlite(scratch.file()).value();
            files.arm(Fault::io_error, call);
            (void)store->append("r1", to_body({test::at(2), witness::Tick{}}, {}), {});
            ::_exit(files.struck() ? 1 : 0); // the store is not closed
        }
        int status = 0;
        ::waitpid(child, &status, 0);
        ASSERT_TRUE(WIFEXITED(status));
        struck = WEXITSTATUS(status) == 1;
        const auto entries = open_sqlite(scratch.file()).value()->entries("r1");
        ASSERT_TRUE(entries) << "call " << call << ": " << entries.error().text;
        ASSERT_GE(entries->size(), 1U);
        ASSERT_LE(entries->size(), 2U);
        if (entries->size() == 2) {
            EXPECT_EQ(entries->back().line, wanted);
        }
    }
}

} // namespace slotwitness::journal
