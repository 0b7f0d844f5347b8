#include "wrapped.hpp"

#include "legible.hpp"

#include <algorithm>

namespace slotwitness::marked {

std::string wrapped(std::string_view first, std::string_view text, std::size_t columns) {
    const Legible beginning = legible(first);
    const std::string indent(beginning.width, ' ');
    std::string all = beginning.text;
    std::size_t at = indent.size();
    bool has_words = false;
    while (!text.empty()) {
        const std::string_view bytes = text.substr(0, text.find(' '));
        text.remove_prefix(std::min(bytes.size() + 1, text.size()));
        const Legible word = legible(bytes);
        if (has_words && at + 1 + word.width > columns) {
            all += "\n" + indent;
            at = indent.size();
            has_words = false;
        }
        all += (has_words ? " " : "") + word.text;
        at += (has_words ? 1 : 0) + word.width;
        has_words = true;
    }
    return all + "\n";
}

} // namespace slotwitness::marked
