#include "generators.hpp"
#include "scratch.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/codec.hpp>
#include <slotwitness/journal/store.hpp>

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <fstream>
#include <limits>
#include <sqlite3.h>
#include <sys/stat.h>
#include <thread>

namespace slotwitness::journal {

using nlohmann::json;
using test::Scratch;
using testing::HasSubstr;
using Kind = StoreError::Kind;

namespace {

json body(int at) {
    return {{"at", std::to_string(at)},
            {"type", "tick"},
            {"event", json::object()},
            {"findings", json::array()}};
}

Capture capture_of(std::string bytes) {
    std::string digest = digest_of(bytes);
    return {std::move(digest), std::move(bytes)};
}

std::unique_ptr<Store> open(const std::string& path) {
    auto store = open_sqlite(path);
    if (!store)
        throw std::runtime_error(store.error().text);
    return std::move(*store);
}

/// Changes the file behind the store's back, through SQLite alone.
void tamper(const std::string& path, const std::string& sql) {
    sqlite3* connection = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &connection), SQLITE_OK);
    char* message = nullptr;
    EXPECT_EQ(sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, &message), SQLITE_OK)
        << message;
    sqlite3_close(connection);
}

mode_t permissions(const std::string& path) {
    struct stat status {};
    EXPECT_EQ(::stat(path.c_str(), &status), 0) << path;
    return status.st_mode & 0777;
}

} // namespace

TEST(Store, keeps_one_chain_a_chassis_over_reopening) {
    const Scratch scratch;
    std::vector<std::string> lines;
    for (int run = 0; run < 3; ++run) {
        const auto store = open(scratch.file());
        for (int i = 0; i < 5; ++i) {
            const auto entry = store->append("r1", body(5 * run + i), {});
            ASSERT_TRUE(entry) << entry.error().text;
            EXPECT_EQ(entry->sequence, static_cast<std::uint64_t>(5 * run + i + 1));
            lines.push_back(entry->line);
            ASSERT_TRUE(store->append("r2", body(i), {}));
        }
    }
    const auto store = open(scratch.file());
    const auto entries = store->entries("r1");
    ASSERT_TRUE(entries) << entries.error().text;
    ASSERT_EQ(entries->size(), 15U);
    Head head;
    for (std::size_t i = 0; i < 15; ++i) {
        const Entry& entry = (*entries)[i];
        EXPECT_EQ(entry.line, lines[i]);
        EXPECT_EQ(entry.chassis, "r1");
        EXPECT_EQ(broken(entry, "r1", head), std::nullopt);
        head = {entry.sequence, entry.hash};
    }
    EXPECT_THAT(*store->chassis(), testing::ElementsAre("r1", "r2"));
    EXPECT_TRUE(store->entries("r3")->empty());
}

TEST(Store, gives_the_entries_from_any_number_on) {
    const Scratch scratch;
    const auto store = open(scratch.file());
    for (int i = 1; i <= 5; ++i)
        ASSERT_TRUE(store->append("r1", body(i), {}));
    for (const std::uint64_t from :
         {std::uint64_t{0}, std::uint64_t{1}, std::uint64_t{2}, std::uint64_t{3}, std::uint64_t{5},
          std::uint64_t{6}, std::uint64_t{7}, UINT64_MAX}) {
        const auto entries = store->entries("r1", from);
        ASSERT_TRUE(entries) << entries.error().text;
        const std::uint64_t first = std::max<std::uint64_t>(from, 1);
        ASSERT_EQ(entries->size(), first > 5 ? 0 : 6 - first) << from;
        if (!entries->empty()) {
            EXPECT_EQ(entries->front().sequence, first);
        }
    }
}

TEST(Store, keeps_the_exact_bytes_of_captures) {
    const Scratch scratch;
    std::string all(256, '\0');
    for (int i = 0; i < 256; ++i)
        all[static_cast<std::size_t>(i)] = static_cast<char>(i);
    const std::vector<Capture> captures = {
        capture_of(""),  capture_of(std::string(1, '\0')),           capture_of("a"),
        capture_of(all), capture_of(std::string(3'000'000, '\xff')), capture_of("b")};
    {
        const auto store = open(scratch.file());
        ASSERT_TRUE(store->append("r1", body(1), captures));
        ASSERT_TRUE(store->append("r1", body(2), captures)) << "the same answer may come twice";
    }
    const auto store = open(scratch.file());
    for (const Capture& capture : captures) {
        const auto bytes = store->capture(capture.digest);
        ASSERT_TRUE(bytes) << bytes.error().text;
        ASSERT_TRUE(bytes->has_value());
        EXPECT_EQ(**bytes, capture.bytes);
    }
    EXPECT_EQ(*store->capture(std::string(64, '0')), std::nullopt);
}

TEST(Store, takes_no_misuse_and_goes_on_after_it) {
    const Scratch scratch;
    const auto store = open(scratch.file());
    json wrong = body(1);
    wrong["more"] = 1;
    EXPECT_EQ(store->append("r1", wrong, {}).error().kind, Kind::misuse);
    EXPECT_EQ(store->append("r1", body(1), {{std::string(64, '0'), "x"}}).error().kind,
              Kind::misuse);
    EXPECT_EQ(store->append("r\xff", body(1), {}).error().kind, Kind::misuse);
    json huge = body(1);
    huge["event"]["n"] = std::int64_t{1} << 60;
    EXPECT_EQ(store->append("r1", huge, {capture_of("never stored")}).error().kind, Kind::misuse);
    EXPECT_EQ(*store->capture(digest_of("never stored")), std::nullopt);
    EXPECT_TRUE(store->chassis()->empty());
    EXPECT_EQ(store->append("r1", body(1), {})->sequence, 1U);
}

TEST(Store, makes_a_group_durable_together) {
    const Scratch scratch;
    const std::string path = scratch.file();
    const auto store = open(path);
    ASSERT_TRUE(store->append("edge-7", body(1), {}));
    ASSERT_TRUE(store->begin_group());
    ASSERT_TRUE(store->append("edge-7", body(2), {capture_of("planes")}));
    ASSERT_TRUE(store->append("edge-8", body(3), {}));
    const auto reader = *open_sqlite_read_only(path);
    EXPECT_EQ(reader->entries("edge-7")->size(), 1U) << "nothing of it before the commit";
    ASSERT_TRUE(store->commit_group());
    EXPECT_EQ(reader->entries("edge-7")->size(), 2U);
    EXPECT_EQ(reader->entries("edge-8")->size(), 1U);
    EXPECT_TRUE(store->append("edge-8", body(4), {})) << "the chain goes on";
    EXPECT_EQ(reader->entries("edge-8")->size(), 2U);
}

TEST(Store, stores_nothing_of_a_group_of_which_one_fails_and_goes_on_from_before) {
    const Scratch scratch;
    const auto store = open(scratch.file());
    ASSERT_TRUE(store->append("edge-7", body(1), {}));
    ASSERT_TRUE(store->begin_group());
    ASSERT_TRUE(store->append("edge-7", body(2), {}));
    json unlike_json = body(3);
    unlike_json["event"] = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(store->append("edge-8", unlike_json, {}));
    EXPECT_FALSE(store->append("edge-9", body(4), {})) << "nothing more of it is taken";
    EXPECT_FALSE(store->commit_group());
    EXPECT_EQ(store->entries("edge-7")->size(), 1U);
    const auto next = store->append("edge-7", body(5), {});
    ASSERT_TRUE(next);
    EXPECT_EQ(next->sequence, 2U);
    EXPECT_FALSE(store->commit_group()) << "there is no group";
}

TEST(Store, lets_one_process_write_and_names_it_to_the_next) {
    const Scratch scratch;
    auto first = open(scratch.file());
    const auto second = open_sqlite(scratch.file());
    ASSERT_FALSE(second);
    EXPECT_EQ(second.error().kind, Kind::unavailable);
    EXPECT_EQ(second.error().text,
              "journal " + scratch.file() + ": another process (process " +
                  std::to_string(::getpid()) +
                  ") has it open for writing; stop that one first, or name another journal");
    ASSERT_TRUE(first->append("r1", body(1), {})) << "the first is not disturbed";
    first.reset();
    EXPECT_TRUE(open_sqlite(scratch.file()));
}

TEST(Store, is_readable_while_it_is_written_and_never_half) {
    const Scratch scratch;
    const auto writer = open(scratch.file());
    ASSERT_TRUE(writer->append("r1", body(1), {capture_of("1")}));
    constexpr std::uint64_t wanted = 300;
    std::thread reading([&] {
        const auto reader = open_sqlite_read_only(scratch.file());
        ASSERT_TRUE(reader) << reader.error().text;
        std::size_t seen = 0;
        while (seen < wanted) {
            const auto entries = (*reader)->entries("r1", seen + 1);
            ASSERT_TRUE(entries) << entries.error().text;
            seen += entries->size();
            const auto bytes = (*reader)->capture(digest_of(std::to_string(seen)));
            ASSERT_TRUE(bytes) << bytes.error().text;
            EXPECT_EQ(*bytes, std::to_string(seen)) << "a capture comes with its entry";
        }
    });
    for (std::uint64_t i = 2; i <= wanted; ++i) {
        const auto entry = writer->append("r1", body(1), {capture_of(std::to_string(i))});
        EXPECT_TRUE(entry) << entry.error().text;
    }
    reading.join();
}

TEST(Store, read_only_writes_nothing) {
    const Scratch scratch;
    open(scratch.file())->append("r1", body(1), {}).value();
    const auto reader = open_sqlite_read_only(scratch.file());
    ASSERT_TRUE(reader) << reader.error().text;
    EXPECT_EQ((*reader)->entries("r1")->size(), 1U);
    EXPECT_EQ((*reader)->append("r1", body(2), {}).error().kind, Kind::misuse);
    EXPECT_EQ((*reader)->entries("r1")->size(), 1U);
}

TEST(Store, is_private_to_its_user) {
    const Scratch scratch;
    const mode_t before = ::umask(0);
    const auto store = open(scratch.file());
    ::umask(before);
    ASSERT_TRUE(store->append("r1", body(1), {}));
    for (const char* beside : {"", "-wal", "-shm", ".lock"})
        EXPECT_EQ(permissions(scratch.file() + beside), 0600U) << beside;
}

TEST(Store, takes_names_with_blanks_signs_and_letters) {
    const Scratch scratch;
    const std::string path = scratch.file("jour nal  =x; é'%.db");
    open(path)->append("r1", body(1), {}).value();
    EXPECT_TRUE(std::filesystem::exists(path));
    EXPECT_EQ((*open_sqlite_read_only(path))->entries("r1")->size(), 1U);
}

TEST(Store, says_what_is_wrong_with_a_path) {
    const Scratch scratch;
    const auto refusal = [](const auto& opened) {
        return opened ? std::string("opened") : opened.error().text;
    };
    EXPECT_EQ(refusal(open_sqlite("")), "journal \"\": no file is named; name one");
    EXPECT_EQ(refusal(open_sqlite(scratch.file("no/journal.db"))),
              "journal \"" + scratch.file("no/journal.db") + "\": the folder " +
                  scratch.file("no") + " does not exist; make it, or name another file");
    EXPECT_THAT(refusal(open_sqlite(scratch.path().string())),
                HasSubstr("this is a folder; name a file in it"));
    EXPECT_THAT(refusal(open_sqlite(scratch.file("a\"b"))), HasSubstr("double quote"));
    EXPECT_THAT(refusal(open_sqlite_read_only(scratch.file("none.db"))),
                HasSubstr("check that it exists"));
    EXPECT_FALSE(std::filesystem::exists(scratch.file("none.db"))) << "reading makes no file";
}

TEST(Store, leaves_files_alone_that_are_no_journal) {
    const Scratch scratch;
    std::ofstream(scratch.file("text")) << std::string(5000, 'x');
    tamper(scratch.file("other.db"), "CREATE TABLE t (a)");
    const auto before = permissions(scratch.file("other.db"));
    for (const auto& open_it : {open_sqlite, open_sqlite_read_only}) {
        const auto text = open_it(scratch.file("text"));
        ASSERT_FALSE(text);
        EXPECT_EQ(text.error().kind, Kind::damaged);
        EXPECT_THAT(text.error().text, HasSubstr("the file is not a journal; name another one"));
        const auto other = open_it(scratch.file("other.db"));
        ASSERT_FALSE(other);
        EXPECT_EQ(other.error().kind, Kind::damaged);
        EXPECT_THAT(other.error().text, HasSubstr("a database of another program"));
    }
    EXPECT_EQ(permissions(scratch.file("other.db")), before);
    std::ifstream file(scratch.file("other.db"));
    std::string header(20, '\0');
    file.read(header.data(), 20);
    EXPECT_EQ(header[18], 1) << "still in its own journal mode (SQLite file format, 1.3)";
}

TEST(Store, asks_for_the_newer_version_that_wrote_the_file) {
    const Scratch scratch;
    open(scratch.file());
    tamper(scratch.file(), "PRAGMA user_version = 2");
    const auto store = open_sqlite(scratch.file());
    ASSERT_FALSE(store);
    EXPECT_EQ(store.error().kind, Kind::damaged);
    EXPECT_THAT(store.error().text,
                HasSubstr("a newer version of slotwitness wrote it (format 2, this one reads up "
                          "to 1); use that version"));
}

TEST(Store, is_durable_by_the_settings_that_sqlite_documents) {
    const Scratch scratch;
    open(scratch.file())->append("r1", body(1), {}).value();
    std::ifstream file(scratch.file());
    std::string header(100, '\0');
    file.read(header.data(), 100);
    // SQLite file format, 1.3: 2 at offsets 18 and 19 is write-ahead log; 60 and 68 are
    // user_version and application_id.
    EXPECT_EQ(header.substr(18, 2), "\x02\x02");
    EXPECT_EQ(header.substr(60, 4), std::string("\0\0\0\1", 4));
    EXPECT_EQ(header.substr(68, 4), "SWJ1");
}

/// A journal of five entries, closed.
class Damage : public testing::Test {
  protected:
    Damage() {
        const auto store = open(path_);
        for (int i = 1; i <= 5; ++i)
            store->append("r1", body(i), {capture_of("answer " + std::to_string(i))}).value();
    }
    [[nodiscard]] StoreError found(std::uint64_t from = 1) const {
        const auto entries = open(path_)->entries("r1", from);
        return entries ? StoreError{Kind::misuse, "whole"} : entries.error();
    }
    Scratch scratch_;
    std::string path_ = scratch_.file();
};

TEST_F(Damage, of_a_missing_entry_is_found) {
    tamper(path_, "DELETE FROM entries WHERE sequence = 3");
    EXPECT_EQ(found().kind, Kind::damaged);
    EXPECT_THAT(found().text,
                HasSubstr("entry 3 of chassis \"r1\" is missing: entry 4 stands in its place"));
    EXPECT_EQ(found(4).kind, Kind::damaged) << "entry 4 cannot be shown to follow anything";
    EXPECT_EQ(found(5).text, "whole");
}

TEST_F(Damage, of_a_missing_beginning_is_found) {
    tamper(path_, "DELETE FROM entries WHERE sequence = 1");
    EXPECT_THAT(found().text, HasSubstr("entry 1 of chassis \"r1\" is missing"));
    EXPECT_THAT(found(2).text, HasSubstr("entry 1 of chassis \"r1\" is missing"));
}

TEST_F(Damage, of_an_entry_moved_to_another_chassis_is_found) {
    tamper(path_, "UPDATE entries SET chassis = 'r9' WHERE sequence = 5");
    EXPECT_THAT(open(path_)->entries("r9").error().text,
                HasSubstr("entry 1 of chassis \"r9\" is missing"));
    tamper(path_, "UPDATE entries SET chassis = 'r9' WHERE sequence = 1");
    EXPECT_THAT(open(path_)->entries("r9").error().text,
                HasSubstr("entry 1 of chassis \"r9\" was altered"));
}

TEST_F(Damage, of_a_rewritten_line_with_its_hash_is_found_at_the_next) {
    const Entry old = open(path_)->entries("r1")->at(2);
    json changed = body(99);
    const Entry forged = next_entry("r1", {2, old.previous}, changed);
    tamper(path_, "UPDATE entries SET line = '" + forged.line + "', hash = '" + forged.hash +
                      "' WHERE sequence = 3");
    EXPECT_THAT(found().text,
                HasSubstr("entry 4 of chassis \"r1\" does not follow the entry before"));
}

TEST_F(Damage, of_a_capture_is_found) {
    tamper(
        path_,
        "UPDATE captures SET bytes = 'answer 7' WHERE bytes = x'616E737765722033'"); // "answer 3"
    const auto store = open(path_);
    EXPECT_EQ(store->capture(digest_of("answer 3")).error().kind, Kind::damaged);
    EXPECT_TRUE(store->capture(digest_of("answer 2")));
}

TEST_F(Damage, of_the_file_is_told_as_such) {
    const auto size = std::filesystem::file_size(path_);
    std::fstream file(path_, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(4096);
    file << std::string(size - 4096, '\x5a');
    file.close();
    const auto store = open_sqlite(path_);
    const StoreError error = store ? (*store)->entries("r1").error() : store.error();
    EXPECT_EQ(error.kind, Kind::damaged);
    EXPECT_THAT(error.text, HasSubstr("the file is damaged; keep a copy of it"));
}

RC_GTEST_FIXTURE_PROP(Damage, of_any_byte_of_a_line_is_found, ()) {
    const auto whole = *open(path_)->entries("r1");
    const auto victim = *rc::gen::inRange<std::size_t>(0, whole.size());
    const std::string& line = whole[victim].line;
    const auto at = *rc::gen::inRange<std::size_t>(0, line.size());
    const auto mask = *rc::gen::inRange(1, 256);
    std::string hex;
    constexpr std::string_view digits = "0123456789ABCDEF";
    for (std::size_t i = 0; i < line.size(); ++i) {
        const auto byte = static_cast<unsigned>(static_cast<unsigned char>(line[i])) ^
                          static_cast<unsigned>(i == at ? mask : 0);
        hex += {digits[byte >> 4], digits[byte & 0xF]};
    }
    tamper(path_, "UPDATE entries SET line = CAST(x'" + hex +
                      "' AS TEXT) WHERE sequence = " + std::to_string(victim + 1));
    const StoreError error = found();
    RC_ASSERT(error.kind == Kind::damaged);
    RC_ASSERT(error.text.find("entry " + std::to_string(victim + 1) +
                              " of chassis \"r1\" was altered") != std::string::npos);
}

RC_GTEST_PROP(StoreProperty, what_is_appended_verifies, ()) {
    const Scratch scratch;
    std::vector<json> bodies(*rc::gen::inRange<std::size_t>(1, 8));
    {
        const auto store = open(scratch.file());
        for (json& one : bodies) {
            one = to_body(test::event(), test::findings());
            const auto entry = store->append("r1", one, {});
            RC_ASSERT(entry.has_value());
        }
    }
    const auto entries = open(scratch.file())->entries("r1");
    RC_ASSERT(entries.has_value());
    RC_ASSERT(entries->size() == bodies.size());
    for (std::size_t i = 0; i < bodies.size(); ++i) {
        json line = json::parse((*entries)[i].line);
        for (const char* added : {"chassis", "seq", "prev"})
            line.erase(added);
        RC_ASSERT(line == bodies[i]);
    }
}

} // namespace slotwitness::journal
