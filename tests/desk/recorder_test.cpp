#include "../twins/passing_store.hpp"
#include "bench_desk.hpp"

#include <slotwitness/desk/recorder.hpp>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <limits>

// What several chassis have to write while the disk is busy is committed together.
namespace slotwitness::desk {
namespace {

using twins::Folder;

/// Appends one entry, and keeps what became of it.
class OneEntry final : public Writing {
  public:
    OneEntry(std::string chassis, nlohmann::json event)
        : chassis_(std::move(chassis)), event_(std::move(event)) {}
    void write(journal::Store& store) override {
        ++written;
        stored = store
                     .append(chassis_,
                             {{"at", "1"},
                              {"type", "tick"},
                              {"event", event_},
                              {"findings", nlohmann::json::array()}},
                             {})
                     .has_value();
    }
    void take_back() override { stored = false; }
    void done() override { is_done = true; }

    int written = 0;
    bool stored = false;
    bool is_done = false;

  private:
    std::string chassis_;
    nlohmann::json event_;
};

/// Counts the waits for the disk of a real store.
class CountingStore final : public twins::PassingStore {
  public:
    CountingStore(std::unique_ptr<journal::Store> store, int& commits)
        : PassingStore(std::move(store)), commits_(commits) {}
    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>& captures) override {
        commits_ += in_group_ ? 0 : 1;
        return PassingStore::append(chassis, body, captures);
    }
    tl::expected<void, journal::StoreError> begin_group() override {
        in_group_ = true;
        return PassingStore::begin_group();
    }
    tl::expected<void, journal::StoreError> commit_group() override {
        in_group_ = false;
        ++commits_;
        return PassingStore::commit_group();
    }

  private:
    int& commits_;
    bool in_group_ = false;
};

class RecorderTest : public testing::Test {
  protected:
    /// Has all of them written while the journal is busy with something else.
    void write(const std::vector<std::shared_ptr<OneEntry>>& all) {
        auto store = journal::open_sqlite(folder.file("journal"));
        ASSERT_TRUE(store);
        boost::asio::io_context journal;
        boost::asio::io_context loop;
        Recorder recorder(std::make_unique<CountingStore>(std::move(*store), commits),
                          journal.get_executor());
        for (const auto& each : all)
            recorder.write(loop.get_executor(), each);
        std::vector<bool> were_done;
        auto look = [&](journal::Store&) { return true; };
        recorder.run(loop.get_executor(), look, [&](bool) {
            for (const auto& each : all)
                were_done.push_back(each->is_done);
        });
        journal.run();
        loop.run();
        EXPECT_EQ(were_done, std::vector<bool>(all.size(), true))
            << "what was given before is done";
    }
    Folder folder;
    int commits = 0;
};

TEST_F(RecorderTest, what_waits_for_the_disk_is_committed_together) {
    const std::vector all{std::make_shared<OneEntry>("edge-7", nlohmann::json::object()),
                          std::make_shared<OneEntry>("edge-8", nlohmann::json::object()),
                          std::make_shared<OneEntry>("edge-9", nlohmann::json::object())};
    write(all);
    EXPECT_EQ(commits, 1);
    for (const auto& each : all)
        EXPECT_TRUE(each->stored);
}

TEST_F(RecorderTest, one_that_cannot_be_stored_keeps_none_of_the_others_out) {
    const auto good = std::make_shared<OneEntry>("edge-7", nlohmann::json::object());
    const auto bad = std::make_shared<OneEntry>("edge-8", std::numeric_limits<double>::quiet_NaN());
    const auto other = std::make_shared<OneEntry>("edge-9", nlohmann::json::object());
    write({good, bad, other});
    EXPECT_TRUE(good->stored);
    EXPECT_FALSE(bad->stored);
    EXPECT_TRUE(other->stored);
    EXPECT_EQ(good->written, 2) << "once with the others, and by itself";
    const auto kept = journal::open_sqlite_read_only(folder.file("journal"));
    EXPECT_EQ((*kept)->entries("edge-7")->size(), 1U);
    EXPECT_EQ((*kept)->entries("edge-8")->size(), 0U);
}

} // namespace
} // namespace slotwitness::desk
