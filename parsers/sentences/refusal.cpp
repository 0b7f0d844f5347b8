#include "refusal.hpp"

#include "sentence_grammar.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace slotwitness::sentences {
namespace {

namespace p = tao::pegtl;

template <class Rule>
std::size_t length_of(std::string_view text) {
    p::memory_input<p::tracking_mode::lazy> in(text.data(), text.size(), "sentence");
    return p::parse<Rule>(in) ? in.byte() : 0;
}

struct token : p::sor<p::plus<grammar::name_char>,
                      p::seq<p::one<'"'>, p::star<grammar::quoted_char>, p::one<'"'>>,
                      p::utf8::ranges<0x20, 0x7E, 0xA0, 0x10FFFF>> {};

std::string in_hex(unsigned char byte) {
    static constexpr std::string_view digits = "0123456789abcdef";
    return {'b', 'y', 't', 'e', ' ', '0', 'x', digits[byte >> 4U], digits[byte & 0xfU]};
}

char lower(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

/// Letters put in, left out, changed, or swapped with their neighbour (optimal string alignment).
std::size_t distance(std::string_view left, std::string_view right) {
    std::vector<std::size_t> before;
    std::vector<std::size_t> above(right.size() + 1);
    for (std::size_t j = 0; j <= right.size(); ++j)
        above[j] = j;
    for (std::size_t i = 1; i <= left.size(); ++i) {
        std::vector<std::size_t> row(right.size() + 1, i);
        for (std::size_t j = 1; j <= right.size(); ++j) {
            const bool same = lower(left[i - 1]) == lower(right[j - 1]);
            row[j] = std::min({row[j - 1] + 1, above[j] + 1, above[j - 1] + (same ? 0 : 1)});
            if (i > 1 && j > 1 && lower(left[i - 1]) == lower(right[j - 2]) &&
                lower(left[i - 2]) == lower(right[j - 1]))
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        before = std::exchange(above, std::move(row));
    }
    return above.back();
}

std::string remedy_for(const std::string& found, const Message& message) {
    if (found.starts_with("byte 0x"))
        return "write the sentence in UTF-8, without control characters";
    const bool is_reserved = length_of<p::seq<grammar::reserved, p::eof>>(found) > 0;
    if (is_reserved && message.expected == "a name")
        return "put a name that is a word of the sentence in double quotes, as in \"" + found +
               "\"";
    // A word of the language in the wrong place is no slip of the finger.
    const std::string_view meant = is_reserved ? "" : nearest_word(found, message.words);
    if (!meant.empty())
        return "did you mean \"" + std::string{meant} + "\"?";
    return std::string{message.remedy};
}

} // namespace

std::string token_at(std::string_view text, std::size_t column) {
    if (column > text.size())
        return "end of text";
    const std::string_view rest = text.substr(column - 1);
    const std::size_t length = length_of<token>(rest);
    return length > 0 ? std::string{rest.substr(0, length)}
                      : in_hex(static_cast<unsigned char>(rest.front()));
}

std::string_view nearest_word(std::string_view text, std::string_view words) {
    std::string_view nearest;
    std::size_t least = 3;
    while (!words.empty()) {
        const std::string_view word = words.substr(0, words.find(' '));
        words.remove_prefix(std::min(words.size(), word.size() + 1));
        // A word of up to three letters is near to too many others.
        const std::size_t allowed = word.size() < 4 ? 1 : 2;
        const bool begun = text.size() >= 3 && word.starts_with(text);
        const std::size_t steps = begun ? 1 : distance(text, word);
        if (steps <= allowed && steps < least && text.size() > 1) {
            nearest = word;
            least = steps;
        }
    }
    return nearest;
}

state::Problem to_problem(std::string_view text, const Refusal& refusal) {
    const std::string found =
        refusal.found.empty() ? token_at(text, refusal.column) : refusal.found;
    return {.where = "sentence",
            .at = {.line = 1, .column = refusal.column},
            .found = found,
            .expected = std::string{refusal.message.expected},
            .remedy = remedy_for(found, refusal.message)};
}

} // namespace slotwitness::sentences
