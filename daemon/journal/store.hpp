#pragma once

#include <nlohmann/json_fwd.hpp>
#include <tl/expected.hpp>

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Append-only storage of what happened to each chassis: one hash chain a chassis.
namespace slotwitness::journal {

/// What the caller should do about a failed call.
struct StoreError {
    enum class Kind {
        unavailable, ///< disk full, I/O error, locked: nothing was stored; the caller may try again
                     ///< later
        damaged,     ///< what is stored is not a whole chain: an operator must look
        misuse,      ///< our defect
    };
    Kind kind = Kind::unavailable;
    std::string text;
};

/// One event as stored. `line` is canonical JSON (RFC 8785) without a line feed; its members are
/// `chassis`, `seq` (string), `prev`, `at` (string, milliseconds of the daemon's time line),
/// `type`, `event`, `findings`.
struct Entry {
    std::string chassis;
    std::uint64_t sequence = 0; ///< from 1
    std::string previous;       ///< hash of the entry before; 64 zeros for the first
    std::string hash;           ///< SHA-256 of `line`, 64 lower-case hex digits
    std::string line;
};

/// Raw bytes that entries name by their SHA-256.
struct Capture {
    std::string digest;
    std::string bytes;
};

/// The digest by which `bytes` are named: SHA-256, 64 lower-case hex digits.
[[nodiscard]] std::string digest_of(std::string_view bytes);

/// One journal. Every call blocks: call it from the journal's own thread, one thread at a time.
class Store {
  public:
    virtual ~Store() = default;

    /// Stores the next entry of the chassis and the captures it names in one durable transaction.
    /// `body` has the members `at`, `type`, `event`, `findings`; the store adds chassis, seq and
    /// prev. On failure nothing of it is stored, and the chain goes on from the entry before. (Only
    /// if the process ends before the next append may the next one find the entry stored after all,
    /// whole and in its place: the disk may have written what it failed to confirm.)
    [[nodiscard]] virtual tl::expected<Entry, StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<Capture>& captures) = 0;

    /// What is appended from here to `commit` becomes durable together, by one wait for the disk:
    /// until then nothing of it has happened. A store that has no such thing makes each durable by
    /// itself, as without. One group at a time.
    [[nodiscard]] virtual tl::expected<void, StoreError> begin_group() { return {}; }
    /// On failure nothing of the group is stored, and every chain goes on from before it.
    [[nodiscard]] virtual tl::expected<void, StoreError> commit_group() { return {}; }

    /// The entries of a chassis from a sequence number on, in order, so many at most; the chain is
    /// verified while read.
    [[nodiscard]] virtual tl::expected<std::vector<Entry>, StoreError>
    entries(std::string_view chassis, std::uint64_t from = 1, std::size_t most = all) = 0;
    static constexpr std::size_t all = std::numeric_limits<std::size_t>::max();
    [[nodiscard]] virtual tl::expected<std::vector<std::string>, StoreError> chassis() = 0;
    /// The raw bytes; their digest is verified. Nothing if the journal has none of that name.
    [[nodiscard]] virtual tl::expected<std::optional<std::string>, StoreError>
    capture(std::string_view digest) = 0;
};

/// Opens or makes a journal file. One process at a time: a second one gets `unavailable` and is
/// told so.
[[nodiscard]] tl::expected<std::unique_ptr<Store>, StoreError> open_sqlite(const std::string& path);

/// Opens an existing journal for reading only, as `replay` does; also while a daemon writes it.
[[nodiscard]] tl::expected<std::unique_ptr<Store>, StoreError>
open_sqlite_read_only(const std::string& path);

} // namespace slotwitness::journal
