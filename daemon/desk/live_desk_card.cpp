#include "post.hpp"

#include <slotwitness/card/from_journal.hpp>
#include <slotwitness/card/print.hpp>

#include <nlohmann/json.hpp>

#include <utility>

// A card is made from the journal as it stands.
namespace slotwitness::desk {

namespace {

/// Cards under way at once, of all who ask.
constexpr std::size_t most_cards = 4;

std::string printed(const card::Card& card, CardForm form) {
    switch (form) {
    case CardForm::json:
        return card::to_json(card).dump(2, ' ', false, nlohmann::json::error_handler_t::replace) +
               "\n";
    case CardForm::page:
        return card::to_page(card);
    case CardForm::text:
        return card::to_text(card);
    }
    return "";
}

JournalReader::Made make_card(journal::Store& store, const std::string& chassis,
                              const std::string& id, units::Instant now, CardForm form) {
    const auto found = card::from_journal(store, chassis, now);
    if (!found)
        return tl::unexpected(
            refusal(Refusal::Kind::not_done, "a journal that cannot be read: " + found.error().text,
                    "a journal that is whole", "verify it with slotwitness replay"));
    for (const card::Record& record : found->procedures)
        if (record.procedure.opened.id == id)
            return printed(card::card_of(record, now), form);
    return tl::unexpected(
        refusal(Refusal::Kind::no_such_procedure, id, "", "list the procedures to see their ids"));
}

} // namespace

boost::asio::awaitable<tl::expected<std::string, Refusal>> LiveDesk::card(std::string id,
                                                                          CardForm form) {
    const auto view = published_procedures_->procedure(id);
    if (!view)
        co_return tl::unexpected(refusal(Refusal::Kind::no_such_procedure, id, "",
                                         "list the procedures to see their ids"));
    if (cards_under_way_ >= most_cards)
        co_return tl::unexpected(refusal(Refusal::Kind::busy,
                                         std::to_string(cards_under_way_) + " cards under way", "",
                                         "ask again in some seconds"));
    ++cards_under_way_;
    JournalReader::Work work = [chassis = view->chassis, id, form,
                                at = now()](journal::Store& store) {
        return make_card(store, chassis, id, at, form);
    };
    auto making = journal_->make(std::move(work));
    JournalReader::Made made = co_await std::move(making);
    --cards_under_way_;
    co_return made;
}

} // namespace slotwitness::desk
