#pragma once

#include <span>
#include <string_view>

/// What a browser is given: pages, styles, scripts. The same bytes for everybody, and no state of
/// any chassis.
namespace slotwitness::pages {

struct File {
    std::string_view name; ///< as it stands in this folder, "rack.js"
    std::string_view type; ///< for Content-Type
    std::string_view bytes;
    std::string_view digest; ///< SHA-256 of the bytes, in hex
};

[[nodiscard]] std::span<const File> files();

/// Null if there is none of that name.
[[nodiscard]] const File* find(std::string_view name);

} // namespace slotwitness::pages
