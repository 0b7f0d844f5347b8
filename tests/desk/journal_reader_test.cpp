#include "health_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// The journal is read on a thread of its own while another one writes it.
namespace slotwitness::desk {
namespace {

using testing::HasSubstr;
using twins::BenchDesk;
using twins::Folder;

class JournalReading : public testing::Test {
  protected:
    void SetUp() override {
        twins::begin_with_health_check(bench);
        auto opening = bench.desk().open_procedure(twins::health_check_of("edge-7"));
        const auto opened = bench.await(std::move(opening));
        ASSERT_TRUE(opened) << state::to_text(opened.error().problem);
        id = opened->record.opened.id;
    }
    /// Lets the device be looked at until `done`, so that the journal grows meanwhile.
    void look_until(const std::function<bool()>& done) {
        bench.advance_until(units::Duration(2'000), done);
    }

    Folder folder;
    BenchDesk bench{folder.file("journal")};
    std::string id;
};

TEST_F(JournalReading, makes_a_card_while_looks_are_recorded) {
    std::vector<tl::expected<std::string, Refusal>> cards;
    for (const CardForm form : {CardForm::text, CardForm::json, CardForm::page}) {
        auto making = bench.desk().card(id, form);
        boost::asio::co_spawn(
            bench.loop(), std::move(making),
            [&cards](const std::exception_ptr&, tl::expected<std::string, Refusal> card) {
                cards.push_back(std::move(card));
            });
    }
    const std::size_t before = bench.looks();
    look_until([&] { return cards.size() == 3 && bench.looks() > before; });
    for (const auto& card : cards) {
        ASSERT_TRUE(card) << state::to_text(card.error().problem);
        EXPECT_THAT(*card, HasSubstr("edge-7"));
    }
}

TEST_F(JournalReading, streams_the_evidence_as_it_was_asked_for_while_looks_are_recorded) {
    const std::size_t before = bench.looks();
    auto asking = bench.desk().evidence(id);
    const auto evidence = bench.await(std::move(asking));
    ASSERT_TRUE(evidence) << state::to_text(evidence.error().problem);
    std::string tar;
    for (bool ended = false; !ended;) {
        auto reading = (*evidence)->next();
        const auto piece = bench.await(std::move(reading));
        ASSERT_TRUE(piece) << piece.error();
        tar += *piece;
        ended = piece->empty();
        const std::size_t looks = bench.looks();
        if (!ended)
            look_until([&] { return bench.looks() > looks; });
    }
    EXPECT_GT(bench.looks(), before);
    EXPECT_EQ(tar.size() % 512, 0U) << "a tar archive is of whole blocks";
    EXPECT_THAT(tar, HasSubstr(id));
}

} // namespace
} // namespace slotwitness::desk
