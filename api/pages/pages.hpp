#pragma once

#include <span>
#include <string_view>

/// The pages that people see, as files of our own: HTML, style sheets and scripts, compiled in.
/// They hold no state: what is shown comes from the API, with the token of who looks.
namespace slotwitness::pages {

struct File {
    std::string_view path;   ///< below this folder: "engineer/face.js"
    std::string_view digest; ///< SHA-256 of its bytes, in hex
    std::string_view bytes;
};

[[nodiscard]] std::span<const File> files();

/// Null if there is none of that path.
[[nodiscard]] const File* find(std::string_view path);

/// By the end of its name; empty for what is no part of a page.
[[nodiscard]] std::string_view media_type(std::string_view path);

} // namespace slotwitness::pages
