#pragma once

#include "pack.hpp"

/// Files that are on the disk when the call returns.
namespace slotwitness::pack {

/// A new file; one that exists is an error. fsync included.
[[nodiscard]] tl::expected<void, PackError> write_file(const std::filesystem::path& path,
                                                       std::string_view bytes);
/// The names in a folder, on the disk.
[[nodiscard]] tl::expected<void, PackError> sync_folder(const std::filesystem::path& folder);
/// Moves a folder to where nothing or an empty folder stands.
[[nodiscard]] tl::expected<void, PackError> move_folder(const std::filesystem::path& from,
                                                        const std::filesystem::path& to);
[[nodiscard]] tl::expected<std::string, PackError> read_file(const std::filesystem::path& path);
/// A digest names a file of the pack: what is none could name a file elsewhere.
[[nodiscard]] bool is_digest(std::string_view text);

} // namespace slotwitness::pack
