#include "width.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

namespace slotwitness::terminal {
namespace {

/// Of valid UTF-8; of any other byte, that byte as ISO/IEC 8859-1 has it.
std::uint32_t code_point(std::string_view character) {
    const auto first = static_cast<unsigned char>(character.front());
    std::uint32_t value = first;
    if (character.size() > 1)
        value = first & (0x7fU >> character.size());
    for (const char byte : character.substr(1))
        value = value << 6U | (static_cast<unsigned char>(byte) & 0x3fU);
    return value;
}

struct Range {
    std::uint32_t first;
    std::uint32_t last;
};

/// Blocks of Unicode without wide, combining or invisible characters (from memory of UAX #11).
constexpr std::array narrow{
    Range{0x0020, 0x00ac}, Range{0x00ae, 0x02ff}, // Latin, without the soft hyphen
    Range{0x0370, 0x0482}, Range{0x048a, 0x052f}, // Greek, Cyrillic
    Range{0x2010, 0x2027}, Range{0x2030, 0x205e}, // dashes, quotes, bullets
    Range{0x20a0, 0x20bf}, Range{0x2100, 0x22ff}, // currencies, arrows, mathematics
    Range{0x2500, 0x25fc},                        // lines and blocks
};

} // namespace

bool takes_one_place(std::string_view character) {
    const std::uint32_t point = code_point(character);
    return std::any_of(narrow.begin(), narrow.end(),
                       [&](Range range) { return range.first <= point && point <= range.last; });
}

} // namespace slotwitness::terminal
