#pragma once

#include "desk.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/pack/chain_stream.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/thread_pool.hpp>

#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace slotwitness::desk {

/// Opens the journal once more, for reading alone.
using OpenToRead =
    std::function<tl::expected<std::unique_ptr<journal::Store>, journal::StoreError>()>;

/// Reads the journal while it is written, on a thread of its own: it takes as long as the journal
/// is, and neither the loop nor what is being recorded may wait for it.
class JournalReader {
  public:
    /// `place`: where it reads; nothing: on its own thread, begun when it is first needed.
    JournalReader(OpenToRead open, std::optional<boost::asio::any_io_executor> place)
        : open_(std::move(open)), place_(std::move(place)) {}
    ~JournalReader();
    JournalReader(const JournalReader&) = delete;
    JournalReader& operator=(const JournalReader&) = delete;

    /// Returns once the chain was verified. The reader outlives what it gives.
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
    evidence(pack::ChainWish wish);

    using Made = tl::expected<std::string, Refusal>;
    using Work = std::function<Made(journal::Store&)>;
    /// What `work` makes of the journal as it stands.
    [[nodiscard]] boost::asio::awaitable<Made> make(Work work);

  private:
    [[nodiscard]] boost::asio::any_io_executor place();

    OpenToRead open_;
    std::optional<boost::asio::any_io_executor> place_;
    std::optional<boost::asio::thread_pool> thread_;
};

} // namespace slotwitness::desk
