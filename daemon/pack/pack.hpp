#pragma once

#include <slotwitness/witness/event.hpp>

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <filesystem>
#include <map>
#include <string>
#include <vector>

/// Evidence packs: what a chassis answered, in a plain folder that anybody can look into.
///
///     pack.json          format, chassis, family, captured, events, head
///     events             a line each: the chain of journal/chain.hpp, each ending in LF
///     profile.toml       the profile in force, complete in itself
///     answers/DIGEST     each raw answer, named by its SHA-256
///     readings/DIGEST    how each was read when captured: canonical JSON, named by its SHA-256,
///                        which is the digest that its event carries
///
/// `head` is the hash of the last event, so that lines cannot go missing at the end.
namespace slotwitness::pack {

/// Of the folder. A later one may add files; a reader refuses what is newer than it.
inline constexpr int format = 1;

struct PackError {
    enum class Kind {
        missing, ///< a file that cannot be read
        damaged, ///< it is not what it is named, or nothing that this version knows
        refused, ///< a folder stands there already
        disk,    ///< it could not be written
    };
    Kind kind = Kind::damaged;
    std::string text; ///< names the file
};

/// What goes into a pack.
struct Contents {
    std::string chassis;
    std::string family;
    std::string profile; ///< text that reads by itself
    /// From a run.started on, in their order. Each Answered has its reading, and its capture is in
    /// `answers`.
    std::vector<witness::Event> events;
    std::map<std::string, std::string> answers; ///< raw bytes by their SHA-256
};

/// Why no pack can be written there: something stands there that is not an empty folder.
[[nodiscard]] tl::expected<void, PackError> may_write(const std::filesystem::path& folder);

/// Writes beside `folder` and moves it into place once all of it is on the disk: there is the whole
/// pack or none.
[[nodiscard]] tl::expected<void, PackError> write(const std::filesystem::path& folder,
                                                  const Contents& contents);

/// One answer of a pack, with how it was read then.
struct KeptAnswer {
    std::string asking;
    std::string capture; ///< digest of `bytes`
    witness::Ending ending;
    std::string bytes;
    nlohmann::json reading; ///< as journal::to_json writes it
    std::string reading_digest;
};

struct Pack {
    std::string chassis;
    std::string family;
    std::string captured; ///< RFC 3339
    std::string profile;
    std::vector<KeptAnswer> answers;
};

/// Reads a pack and verifies all of it: the chain, its head, every digest. Every file that is
/// missing or damaged is named, at least one.
[[nodiscard]] tl::expected<Pack, std::vector<PackError>> open(const std::filesystem::path& folder);

} // namespace slotwitness::pack
