#include "glyphs.hpp"

#include <algorithm>

namespace slotwitness::layouts {
std::size_t sequence_length(std::string_view text) {
    const auto byte = [&](std::size_t at) {
        return at < text.size() ? static_cast<unsigned char>(text[at]) : 0U;
    };
    const auto is_tail = [&](std::size_t at) { return byte(at) >= 0x80 && byte(at) <= 0xbf; };
    const unsigned first = byte(0);
    const unsigned second = byte(1);
    if (first >= 0xc2 && first <= 0xdf)
        return is_tail(1) ? 2 : 1;
    if (first >= 0xe0 && first <= 0xef) {
        const unsigned low = first == 0xe0 ? 0xa0 : 0x80;
        const unsigned high = first == 0xed ? 0x9f : 0xbf;
        return second >= low && second <= high && is_tail(2) ? 3 : 1;
    }
    if (first >= 0xf0 && first <= 0xf4) {
        const unsigned low = first == 0xf0 ? 0x90 : 0x80;
        const unsigned high = first == 0xf4 ? 0x8f : 0xbf;
        return second >= low && second <= high && is_tail(2) && is_tail(3) ? 4 : 1;
    }
    return 1;
}

void Glyphs::show(std::string_view line) {
    show_ascii(line);
    is_ascii_ = std::all_of(line.begin(), line.end(),
                            [](char byte) { return static_cast<unsigned char>(byte) < 0x80; });
    if (is_ascii_)
        return;
    starts_.clear();
    for (std::size_t at = 0; at < line.size(); at += sequence_length(line.substr(at)))
        starts_.push_back(at);
    size_ = starts_.size();
}

std::size_t Glyphs::place_of(std::size_t offset) const {
    if (is_ascii_ || offset >= line_.size())
        return std::min(offset, size_);
    const auto after = std::upper_bound(starts_.begin(), starts_.end(), offset);
    return static_cast<std::size_t>(after - starts_.begin()) - 1;
}

} // namespace slotwitness::layouts
