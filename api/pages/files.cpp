#include "files.hpp"

#include <algorithm>

namespace slotwitness::pages {

const File* find(std::string_view name) {
    const auto all = files();
    const auto found = std::ranges::find(all, name, &File::name);
    return found == all.end() ? nullptr : &*found;
}

} // namespace slotwitness::pages
