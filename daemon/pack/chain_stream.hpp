#pragma once

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/units/time.hpp>

#include <tl/expected.hpp>

#include <cstddef>
#include <memory>
#include <set>
#include <string>
#include <vector>

/// Evidence of a procedure: the chain of its chassis as it was recorded, with every byte that its
/// verdicts rest on, as a tar stream.
///
///     pack.json          format 2, chassis, procedure, captured, events, head
///     events             the chain's lines from its first on, each ending in LF
///     captures/DIGEST    each profile, each procedure's file and each raw answer, named by its
///                        SHA-256
///
/// A chain can be verified from its first entry alone, so it is whole; it ends where the pack was
/// asked for.
namespace slotwitness::pack {

/// Of packs that hold a chain as recorded.
inline constexpr int chain_format = 2;

struct ChainWish {
    std::string chassis;
    std::string procedure; ///< its id
    units::Instant asked;
};

/// Blocks as its store does: call it from one thread at a time, none that others wait for.
class ChainStream {
  public:
    /// Reads the chain once, to verify it and to know its size; holds no more than a page of it.
    [[nodiscard]] static tl::expected<ChainStream, journal::StoreError>
    begin(std::unique_ptr<journal::Store> store, ChainWish wish);

    /// The next piece of the stream, a page of the chain or one capture; empty at the end.
    [[nodiscard]] tl::expected<std::string, journal::StoreError> next();

  private:
    ChainStream(std::unique_ptr<journal::Store> store, ChainWish wish)
        : store_(std::move(store)), wish_(std::move(wish)) {}
    [[nodiscard]] tl::expected<void, journal::StoreError> survey();
    [[nodiscard]] tl::expected<std::string, journal::StoreError> next_lines();
    [[nodiscard]] tl::expected<std::string, journal::StoreError> next_capture();
    [[nodiscard]] std::string first_file() const;
    [[nodiscard]] std::string file(const std::string& name, const std::string& bytes) const;
    [[nodiscard]] std::string header_of(const std::string& name, std::uint64_t size) const;

    std::unique_ptr<journal::Store> store_;
    ChainWish wish_;
    journal::Head head_;        ///< where the pack ends
    std::uint64_t size_ = 0;    ///< of the lines
    std::uint64_t written_ = 0; ///< entries
    std::set<std::string> captures_;
    enum class Part { first_file, lines, captures, end, over } part_ = Part::first_file;
};

} // namespace slotwitness::pack
