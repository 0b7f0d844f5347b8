#include "command_line.hpp"

#include <algorithm>
#include <string_view>

namespace slotwitness::manual {

std::vector<std::string> choices(const std::string& value) {
    std::vector<std::string> all;
    if (value.find('|') == std::string::npos)
        return all;
    std::string_view rest = value;
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find('|'), rest.size());
        all.emplace_back(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return all;
}

} // namespace slotwitness::manual
