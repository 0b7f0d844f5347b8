#pragma once

#include "replay.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/journal/store.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <tl/expected.hpp>

#include <optional>
#include <string>

namespace slotwitness::replay {

/// Brings stored entries back to events that a witness can step over: answers are read again from
/// their raw bytes, with the profile that was in force then.
class Rereader {
  public:
    explicit Rereader(journal::Store& store) : store_(store) {}

    struct Reread {
        journal::Decoded decoded;             ///< with the reading filled in
        std::optional<Difference> difference; ///< the reading's digest is not the recorded one
    };

    /// Entries of one chassis, as decoded from their lines, in order, from a run.started on.
    [[nodiscard]] tl::expected<Reread, journal::StoreError> reread(const journal::Entry& entry,
                                                                   journal::Decoded decoded);

  private:
    [[nodiscard]] tl::expected<void, journal::StoreError> take_profile(const journal::Entry& entry,
                                                                       const std::string& digest);
    [[nodiscard]] tl::expected<std::string, journal::StoreError>
    fetch(const journal::Entry& entry, const std::string& digest, std::string_view what);

    journal::Store& store_;
    std::string profile_digest_;
    std::optional<profiles::Profile> profile_;
};

/// The reading of an answer, the one way that live daemon and replay both take.
[[nodiscard]] state::Reading read_answer(const profiles::Profile& profile,
                                         std::string_view asking_key, std::string_view bytes,
                                         const witness::Ending& ending);

/// What the two lists of findings disagree about, in words; nothing if they agree on everything
/// that identity covers (prose is not).
[[nodiscard]] std::optional<std::string> compare(const std::vector<witness::Finding>& recorded,
                                                 const std::vector<witness::Finding>& recomputed);

} // namespace slotwitness::replay
