#pragma once

#include "desk.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/pack/chain_stream.hpp>

#include <boost/asio/thread_pool.hpp>

#include <functional>
#include <memory>
#include <optional>

namespace slotwitness::desk {

/// Opens the journal once more, for reading alone.
using OpenToRead =
    std::function<tl::expected<std::unique_ptr<journal::Store>, journal::StoreError>()>;

/// Reads evidence on a thread of its own: it takes as long as the journal is, and neither the loop
/// nor what is being recorded may wait for it.
class EvidenceReader {
  public:
    explicit EvidenceReader(OpenToRead open) : open_(std::move(open)) {}
    ~EvidenceReader();
    EvidenceReader(const EvidenceReader&) = delete;
    EvidenceReader& operator=(const EvidenceReader&) = delete;

    /// Returns once the chain was verified. The reader outlives what it gives.
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
    begin(pack::ChainWish wish);

  private:
    OpenToRead open_;
    std::optional<boost::asio::thread_pool> thread_; ///< made when it is first needed
};

} // namespace slotwitness::desk
