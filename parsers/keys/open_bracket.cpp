#include "open_bracket.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace slotwitness::keys {
namespace {

/// How many bytes the string or comment at the beginning of `text` has; 0 if there is none.
std::size_t quoted_size(std::string_view text) {
    if (text.starts_with('#'))
        return std::min(text.find('\n'), text.size());
    for (const std::string_view quote :
         std::to_array<std::string_view>({"\"\"\"", "'''", "\"", "'"})) {
        if (!text.starts_with(quote))
            continue;
        const bool has_escapes = quote.front() == '"';
        for (std::size_t at = quote.size(); at < text.size(); ++at) {
            if (text.substr(at).starts_with(quote))
                return at + quote.size();
            // A string of one line that is not closed ends with it.
            if (quote.size() == 1 && text[at] == '\n')
                return at;
            at += has_escapes && text[at] == '\\' ? 1 : 0;
        }
        return text.size();
    }
    return 0;
}

} // namespace

std::optional<state::Position> open_bracket(std::string_view text, state::Position end) {
    std::vector<state::Position> open;
    state::Position here{1, 1};
    const auto pass = [&](std::size_t size) {
        for (const char byte : text.substr(0, size)) {
            if (byte == '\n')
                here = {here.line + 1, 1};
            else if ((static_cast<unsigned char>(byte) & 0xc0U) != 0x80U) // begins a character
                ++here.column;
        }
        text.remove_prefix(size);
    };
    while (!text.empty() && here < end) {
        if (const std::size_t size = quoted_size(text)) {
            pass(size);
            continue;
        }
        if (text.front() == '[' || text.front() == '{')
            open.push_back(here);
        else if ((text.front() == ']' || text.front() == '}') && !open.empty())
            open.pop_back();
        pass(1);
    }
    return open.empty() ? std::nullopt : std::optional{open.back()};
}

} // namespace slotwitness::keys
