#include "legible.hpp"

#include <slotwitness/layouts/glyphs.hpp>

#include <algorithm>

namespace slotwitness::marked {

namespace {

void spell_out(std::string_view bytes, std::string& text) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    for (const char byte : bytes) {
        const auto value = static_cast<unsigned char>(byte);
        text.append("\\x");
        text.push_back(digits[value / 16]);
        text.push_back(digits[value % 16]);
    }
}

/// C0, DEL, C1 (U+0080 to U+009F), stray bytes, and the marks of direction U+200E, U+200F,
/// U+202A to U+202E, U+2066 to U+2069 (Unicode, section 23.2).
bool must_be_spelt_out(std::string_view glyph) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(glyph[i]); };
    if (glyph.size() == 1)
        return byte(0) < 0x20 || byte(0) >= 0x7f;
    if (glyph.size() == 2)
        return byte(0) == 0xc2 && byte(1) < 0xa0;
    if (glyph.size() != 3 || byte(0) != 0xe2)
        return false;
    return (byte(1) == 0x80 &&
            ((byte(2) >= 0x8e && byte(2) <= 0x8f) || (byte(2) >= 0xa8 && byte(2) <= 0xae))) ||
           (byte(1) == 0x81 && byte(2) >= 0xa6 && byte(2) <= 0xa9);
}

} // namespace

Legible legible(std::string_view bytes) {
    Legible shown;
    while (!bytes.empty()) {
        const std::string_view glyph = bytes.substr(0, layouts::sequence_length(bytes));
        if (must_be_spelt_out(glyph)) {
            spell_out(glyph, shown.text);
            shown.width += 4 * glyph.size();
        } else {
            shown.text.append(glyph);
            ++shown.width;
        }
        bytes.remove_prefix(glyph.size());
    }
    return shown;
}

std::size_t place_of(std::string_view line, std::size_t column) {
    return column == 0 ? 0 : legible(line.substr(0, std::min(column - 1, line.size()))).width;
}

} // namespace slotwitness::marked
