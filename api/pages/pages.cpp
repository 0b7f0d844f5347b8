#include "pages.hpp"

#include <algorithm>

namespace slotwitness::pages {

const File* find(std::string_view path) {
    const auto found = std::ranges::find(files(), path, &File::path);
    return found == files().end() ? nullptr : &*found;
}

std::string_view media_type(std::string_view path) {
    if (path.ends_with(".html"))
        return "text/html; charset=utf-8";
    if (path.ends_with(".css"))
        return "text/css; charset=utf-8";
    if (path.ends_with(".js"))
        return "text/javascript; charset=utf-8"; // RFC 9239 §6
    return "";
}

} // namespace slotwitness::pages
