#include "evidence.hpp"

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

// These run on the reader's thread; what they throw is told there, too.

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

class Streamed final : public Evidence {
  public:
    Streamed(std::shared_ptr<pack::ChainStream> stream, asio::thread_pool& thread)
        : stream_(std::move(stream)), thread_(thread) {}

    [[nodiscard]] asio::awaitable<tl::expected<std::string, std::string>> next() override {
        auto reading = asio::co_spawn(thread_, read_piece(stream_), asio::use_awaitable);
        Piece piece = co_await std::move(reading);
        if (!piece)
            co_return tl::unexpected(std::move(piece.error().text));
        co_return std::move(*piece);
    }

  private:
    std::shared_ptr<pack::ChainStream> stream_;
    asio::thread_pool& thread_;
};

} // namespace

EvidenceReader::~EvidenceReader() {
    if (thread_)
        thread_->join();
}

asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
EvidenceReader::begin(pack::ChainWish wish) {
    if (!open_)
        co_return tl::unexpected(refusal(Refusal::Kind::not_recorded, "", "",
                                         "this desk keeps no journal that can be read"));
    if (!thread_)
        thread_.emplace(1);
    auto opening =
        asio::co_spawn(*thread_, open_stream(open_, std::move(wish)), asio::use_awaitable);
    Opened opened = co_await std::move(opening);
    if (!opened)
        co_return tl::unexpected(refusal(Refusal::Kind::not_recorded, "", "",
                                         "the journal cannot be read: " + opened.error().text));
    co_return std::make_unique<Streamed>(std::move(*opened), *thread_);
}

asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
LiveDesk::evidence(std::string id) {
    const auto view = published_procedures_->procedure(id);
    if (!view)
        co_return tl::unexpected(refusal(Refusal::Kind::no_such_procedure, std::move(id), "",
                                         "list the procedures to see their ids"));
    pack::ChainWish wish{view->chassis, std::move(id), now()};
    auto beginning = evidence_->begin(std::move(wish));
    co_return co_await std::move(beginning);
}

} // namespace slotwitness::desk
