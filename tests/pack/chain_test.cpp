#include "../replay/recorded_life.hpp"
#include "../twins/folder.hpp"

#include <slotwitness/pack/chain_store.hpp>
#include <slotwitness/pack/chain_stream.hpp>
#include <slotwitness/pack/pack.hpp>
#include <slotwitness/replay/replay.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>

namespace slotwitness::pack {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

/// A recorded life in a journal, lived once for all tests, and its pack, which is unpacked by the
/// tar of this system: a program that nobody here wrote.
class ChainPack : public testing::Test {
  protected:
    static void SetUpTestSuite() {
        lived_.emplace(twins::Folder::memory());
        auto store = journal::open_sqlite(lived_->file("journal.sqlite"));
        ASSERT_TRUE(store) << store.error().text;
        replay::RecordedLife life(**store, 7);
        life.live(300); // more than a page of the chain
        chassis_ = (*store)->chassis()->front();
    }
    static void TearDownTestSuite() { lived_.reset(); }
    void SetUp() override { fs::copy_file(lived_->file("journal.sqlite"), journal()); }

    [[nodiscard]] std::string journal() const { return parent_.file("journal.sqlite"); }
    [[nodiscard]] fs::path folder() const { return parent_.path() / "evidence-p1"; }

    [[nodiscard]] std::string stream() const {
        auto store = journal::open_sqlite_read_only(journal());
        auto pack = ChainStream::begin(
            std::move(*store),
            {chassis_, "p1", units::Instant{units::Duration{1'700'000'000'000}}});
        EXPECT_TRUE(pack) << pack.error().text;
        return rest_of(*pack);
    }
    static std::string rest_of(ChainStream& pack) {
        std::string bytes;
        for (auto piece = pack.next(); piece && !piece->empty(); piece = pack.next())
            bytes += *piece;
        return bytes;
    }
    void unpack() const { unpack(stream()); }
    void unpack(const std::string& stream) const {
        const std::string command =
            "tar -C " + parent_.path().string() + " -xf " + parent_.write("pack.tar", stream);
        ASSERT_EQ(std::system(command.c_str()), 0);
    }
    static std::string text_of(const fs::path& file) {
        std::ifstream in(file, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    static void overwrite(const fs::path& file, const std::string& text) {
        fs::permissions(file, fs::perms::owner_all);
        std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
    }
    /// Why the folder does not open, or is not replayed; empty if it is.
    [[nodiscard]] std::string fault() const {
        auto store = open_chain(folder());
        if (!store)
            return store.error().text;
        const auto replayed = replay::replay(**store);
        return replayed ? "" : replayed.error().text;
    }

    inline static std::optional<twins::Folder> lived_;
    inline static std::string chassis_;
    twins::Folder parent_;
};

TEST_F(ChainPack, replays_as_the_journal_that_it_came_from) {
    unpack();
    auto from_pack = open_chain(folder());
    ASSERT_TRUE(from_pack) << from_pack.error().text;
    auto from_journal = journal::open_sqlite_read_only(journal());
    const auto told = replay::replay(**from_pack);
    const auto expected = replay::replay(**from_journal);
    ASSERT_TRUE(told) << told.error().text;
    ASSERT_EQ(told->size(), 1U);
    EXPECT_GE(told->front().entries, 300U);
    EXPECT_EQ(told->front().entries, expected->front().entries);
    EXPECT_FALSE(told->front().difference);
    ASSERT_EQ(told->front().gates.size(), expected->front().gates.size());
    EXPECT_FALSE(told->front().gates.empty());
    for (std::size_t i = 0; i < told->front().gates.size(); ++i)
        EXPECT_EQ(told->front().gates[i].reason, expected->front().gates[i].reason);
}

TEST_F(ChainPack, ends_where_it_was_asked_for) {
    auto store = journal::open_sqlite_read_only(journal());
    auto pack = ChainStream::begin(std::move(*store), {chassis_, "p1", units::Instant{}});
    ASSERT_TRUE(pack);
    {
        auto writing = journal::open_sqlite(journal());
        ASSERT_TRUE(writing);
        const auto before = (*writing)->entries(chassis_)->size();
        auto body = nlohmann::json::parse((*writing)->entries(chassis_, before)->front().line);
        body.erase("chassis");
        body.erase("seq");
        body.erase("prev");
        ASSERT_TRUE((*writing)->append(chassis_, body, {}));
    }
    unpack(rest_of(*pack));
    EXPECT_EQ(fault(), "");
}

TEST_F(ChainPack, names_its_procedure) {
    unpack();
    EXPECT_THAT(text_of(folder() / "pack.json"), HasSubstr("\"procedure\": \"p1\""));
}

TEST_F(ChainPack, that_was_altered_is_refused_by_name) {
    unpack();
    const fs::path events = folder() / "events";
    const std::string lines = text_of(events);

    overwrite(events, lines.substr(0, lines.size() - 2));
    EXPECT_THAT(fault(), HasSubstr("events: its last line is cut"));
    overwrite(events, lines.substr(0, lines.rfind('\n', lines.size() - 2) + 1));
    EXPECT_THAT(fault(), HasSubstr("its last event is not the head"));
    std::string changed = lines;
    changed[changed.find("\"at\":\"") + 6] ^= 1;
    overwrite(events, changed);
    EXPECT_THAT(fault(), HasSubstr("events: "));
    overwrite(events, lines);
    EXPECT_EQ(fault(), "");

    const fs::path capture = fs::directory_iterator(folder() / "captures")->path();
    const std::string bytes = text_of(capture);
    overwrite(capture, bytes + " ");
    EXPECT_THAT(fault(), HasSubstr(capture.filename().string() + ": it was altered"));
    fs::remove(capture);
    EXPECT_THAT(fault(), HasSubstr(capture.filename().string()));
}

TEST_F(ChainPack, and_a_pack_of_answers_are_told_apart) {
    unpack();
    const auto as_answers = open(folder());
    ASSERT_FALSE(as_answers);
    EXPECT_THAT(as_answers.error().front().text, HasSubstr("format is 2"));
    overwrite(folder() / "pack.json", R"({"format": 1, "chassis": "edge-7", "head": "0"})");
    EXPECT_THAT(fault(), HasSubstr("does not hold a chain as recorded"));
}

} // namespace
} // namespace slotwitness::pack
