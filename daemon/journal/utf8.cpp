#include "utf8.hpp"

#include <cstddef>

namespace slotwitness::journal {

namespace {

struct Part {
    std::size_t length;
    bool well_formed;
};

/// The sequence that `text` begins with, or the part of one that is to be replaced as a whole.
Part first_part(std::string_view text) {
    const auto byte = [text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(0);
    if (lead < 0x80)
        return {1, true};
    const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                               : lead >= 0xE0 && lead <= 0xEF ? 3
                               : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                              : 0;
    if (length == 0)
        return {1, false};
    // Only the second byte has bounds that depend on the first: they exclude overlong forms,
    // surrogates and what lies beyond U+10FFFF.
    unsigned char low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
    unsigned char high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
    for (std::size_t i = 1; i < length; ++i, low = 0x80, high = 0xBF)
        if (i >= text.size() || byte(i) < low || byte(i) > high)
            return {i, false};
    return {length, true};
}

} // namespace

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const Part part = first_part(text);
        if (!part.well_formed)
            return false;
        text.remove_prefix(part.length);
    }
    return true;
}

std::string as_utf8(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const Part part = first_part(text);
        out += part.well_formed ? text.substr(0, part.length) : "\xEF\xBF\xBD";
        text.remove_prefix(part.length);
    }
    return out;
}

} // namespace slotwitness::journal
