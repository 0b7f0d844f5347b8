#include "journal_reader.hpp"

#include "live_desk.hpp"
#include "post.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <exception>
#include <utility>

namespace slotwitness::desk {

namespace {

namespace asio = boost::asio;
using journal::StoreError;
using Opened = tl::expected<std::shared_ptr<pack::ChainStream>, StoreError>;
using Piece = tl::expected<std::string, StoreError>;

// These run where the journal is read; what they throw is told there, too.

asio::awaitable<Opened> open_stream(OpenToRead open, pack::ChainWish wish) {
    try {
        auto store = open();
        if (!store)
            co_return tl::unexpected(std::move(store.error()));
        auto stream = pack::ChainStream::begin(std::move(*store), std::move(wish));
        if (!stream)
            co_return tl::unexpected(std::move(stream.error()));
        co_return std::make_shared<pack::ChainStream>(std::move(*stream));
    } catch (const std::exception& error) {
        co_return tl::unexpected(StoreError{StoreError::Kind::misuse, error.what()});
    }
}

asio::awaitable<Piece> read_piece(std::shared_ptr<pack::ChainStream> stream) {
    try {
        co_return stream->next();
    } catch (const std::exception& error) {
        co_return tl::unexpected(StoreError{StoreError::Kind::misuse, error.what()});
    }
}

Refusal unreadable(const std::string& why) {
    return refusal(Refusal::Kind::not_recorded, "", "", "the journal cannot be read: " + why);
}

asio::awaitable<JournalReader::Made> do_work(OpenToRead open, JournalReader::Work work) {
    try {
        auto store = open();
        if (!store)
            co_return tl::unexpected(unreadable(store.error().text));
        co_return work(**store);
    } catch (const std::exception& error) {
        co_return tl::unexpected(unreadable(error.what()));
    }
}

Refusal nothing_to_read() {
    return refusal(Refusal::Kind::not_recorded, "", "",
                   "this desk keeps no journal that can be read");
}

class Streamed final : public Evidence {
  public:
    Streamed(std::shared_ptr<pack::ChainStream> stream, asio::any_io_executor place)
        : stream_(std::move(stream)), place_(std::move(place)) {}

    [[nodiscard]] asio::awaitable<tl::expected<std::string, std::string>> next() override {
        auto reading = asio::co_spawn(place_, read_piece(stream_), asio::use_awaitable);
        Piece piece = co_await std::move(reading);
        if (!piece)
            co_return tl::unexpected(std::move(piece.error().text));
        co_return std::move(*piece);
    }

  private:
    std::shared_ptr<pack::ChainStream> stream_;
    asio::any_io_executor place_;
};

} // namespace

JournalReader::~JournalReader() {
    if (thread_)
        thread_->join();
}

asio::any_io_executor JournalReader::place() {
    if (place_)
        return *place_;
    if (!thread_)
        thread_.emplace(1);
    return thread_->get_executor();
}

asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
JournalReader::evidence(pack::ChainWish wish) {
    if (!open_)
        co_return tl::unexpected(nothing_to_read());
    auto opening =
        asio::co_spawn(place(), open_stream(open_, std::move(wish)), asio::use_awaitable);
    Opened opened = co_await std::move(opening);
    if (!opened)
        co_return tl::unexpected(unreadable(opened.error().text));
    co_return std::make_unique<Streamed>(std::move(*opened), place());
}

asio::awaitable<JournalReader::Made> JournalReader::make(Work work) {
    if (!open_)
        co_return tl::unexpected(nothing_to_read());
    auto making = asio::co_spawn(place(), do_work(open_, std::move(work)), asio::use_awaitable);
    co_return co_await std::move(making);
}

asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
LiveDesk::evidence(std::string id) {
    const auto view = published_procedures_->procedure(id);
    if (!view)
        co_return tl::unexpected(refusal(Refusal::Kind::no_such_procedure, std::move(id), "",
                                         "list the procedures to see their ids"));
    pack::ChainWish wish{view->chassis, std::move(id), now()};
    auto beginning = journal_->evidence(std::move(wish));
    co_return co_await std::move(beginning);
}

} // namespace slotwitness::desk
