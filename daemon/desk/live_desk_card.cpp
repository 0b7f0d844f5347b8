#include "post.hpp"

#include <slotwitness/card/from_journal.hpp>
#include <slotwitness/card/print.hpp>

#include <boost/asio/async_result.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <nlohmann/json.hpp>

#include <utility>

// A card is made from the journal as it stands, on a thread of its own: it reads all of a chassis,
// and neither the loop nor a commit may wait for that.
namespace slotwitness::desk {

namespace {

/// Cards under way at once, of all who ask.
constexpr std::size_t most_cards = 4;

using Made = tl::expected<std::string, Refusal>;

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

Made make_card(journal::Store& store, const std::string& chassis, const std::string& id,
               units::Instant now, CardForm form) {
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
    if (!archive_)
        co_return tl::unexpected(refusal(Refusal::Kind::not_done, "no journal to be read again",
                                         "a daemon that keeps one",
                                         "make the card with slotwitness report"));
    if (cards_under_way_ >= most_cards)
        co_return tl::unexpected(refusal(Refusal::Kind::busy,
                                         std::to_string(cards_under_way_) + " cards under way", "",
                                         "ask again in some seconds"));
    ++cards_under_way_;
    std::function<Made(journal::Store&)> work = [chassis = view->chassis, id, form,
                                                 at = now()](journal::Store& store) {
        return make_card(store, chassis, id, at, form);
    };
    auto initiate = [this](auto handler, std::function<Made(journal::Store&)> work) {
        auto shared = std::make_shared<decltype(handler)>(std::move(handler));
        auto done = [shared](Made made) { std::move (*shared)(std::move(made)); };
        archive_->run(executor_, std::move(work), std::move(done));
    };
    Made made =
        co_await boost::asio::async_initiate<const boost::asio::use_awaitable_t<>, void(Made)>(
            std::move(initiate), boost::asio::use_awaitable, std::move(work));
    --cards_under_way_;
    co_return made;
}

} // namespace slotwitness::desk
