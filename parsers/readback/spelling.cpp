#include "spelling.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace slotwitness::readback {
namespace {

struct Word {
    char character;
    std::string_view spoken;
};

constexpr std::array words{
    Word{'A', "Alfa"},    Word{'B', "Bravo"},    Word{'C', "Charlie"}, Word{'D', "Delta"},
    Word{'E', "Echo"},    Word{'F', "Foxtrot"},  Word{'G', "Golf"},    Word{'H', "Hotel"},
    Word{'I', "India"},   Word{'J', "Juliett"},  Word{'K', "Kilo"},    Word{'L', "Lima"},
    Word{'M', "Mike"},    Word{'N', "November"}, Word{'O', "Oscar"},   Word{'P', "Papa"},
    Word{'Q', "Quebec"},  Word{'R', "Romeo"},    Word{'S', "Sierra"},  Word{'T', "Tango"},
    Word{'U', "Uniform"}, Word{'V', "Victor"},   Word{'W', "Whiskey"}, Word{'X', "X-ray"},
    Word{'Y', "Yankee"},  Word{'Z', "Zulu"},     Word{'0', "Zero"},    Word{'1', "One"},
    Word{'2', "Two"},     Word{'3', "Three"},    Word{'4', "Four"},    Word{'5', "Five"},
    Word{'6', "Six"},     Word{'7', "Seven"},    Word{'8', "Eight"},   Word{'9', "Nine"},
};

/// Letters and digits alone, in capitals: "X-ray" and "x ray" are the same.
std::string bare(std::string_view text) {
    std::string out;
    for (const char byte : text)
        if (std::isalnum(static_cast<unsigned char>(byte)))
            out += static_cast<char>(std::toupper(static_cast<unsigned char>(byte)));
    return out;
}

/// Takes words from the front, and letters and digits that begin none, until nothing is left. No
/// word begins with another, and none can begin in a code, for each has a vowel.
std::string characters_of(std::string said) {
    std::string out;
    while (!said.empty()) {
        std::size_t taken = 1;
        char character = said.front();
        for (const Word& word : words)
            if (const std::string spoken = bare(word.spoken); said.starts_with(spoken)) {
                taken = spoken.size();
                character = word.character;
            }
        out += character;
        said.erase(0, taken);
    }
    return out;
}

} // namespace

std::string spelled(std::string_view code) {
    std::string out;
    for (const char character : code) {
        const auto word = std::find_if(words.begin(), words.end(), [&](const Word& each) {
            return each.character == character;
        });
        out += out.empty() ? "" : " ";
        out += word == words.end() ? std::string_view(&character, 1) : word->spoken;
    }
    return out;
}

std::string shown(std::string_view code) {
    return std::string(code) + " (" + spelled(code) + ")";
}

std::optional<std::string> read(std::string_view said) {
    std::string code = characters_of(bare(said));
    const auto may_stand = [](char character) {
        return letters.find(character) != std::string_view::npos ||
               digits.find(character) != std::string_view::npos;
    };
    if (code.size() != length || !std::all_of(code.begin(), code.end(), may_stand))
        return std::nullopt;
    return code;
}

} // namespace slotwitness::readback
