#include <slotwitness/readback/spelling.hpp>

#include <gtest/gtest.h>

namespace slotwitness::readback {
namespace {

/// The words of ICAO Annex 10, Volume II, figure 5-1, as Regulation (EU) No 923/2012 repeats them
/// in SERA.14020, table S14-2, read there letter by letter.
TEST(Spelling, of_letters_is_that_of_the_radiotelephony_alphabet) {
    EXPECT_EQ(spelled("ABCDEFGHIJKLM"), "Alfa Bravo Charlie Delta Echo Foxtrot Golf Hotel India "
                                        "Juliett Kilo Lima Mike");
    EXPECT_EQ(spelled("NOPQRSTUVWXYZ"), "November Oscar Papa Quebec Romeo Sierra Tango Uniform "
                                        "Victor Whiskey X-ray Yankee Zulu");
}

/// Annex 10, Volume II, 5.2.1.4.3.1 says each digit by its own word (from memory).
TEST(Spelling, of_digits_is_a_word_each) {
    EXPECT_EQ(spelled("0123456789"), "Zero One Two Three Four Five Six Seven Eight Nine");
}

TEST(Spelling, stands_beside_the_code_for_people) {
    EXPECT_EQ(shown("K7F"), "K7F (Kilo Seven Foxtrot)");
}

TEST(Spelling, is_read_back_however_it_is_typed) {
    for (const char* said : {"K7F", "k7f", " K 7 F ", "k-7-f", "Kilo Seven Foxtrot",
                             "KILO 7 foxtrot", "kilosevenfoxtrot"})
        EXPECT_EQ(read(said), "K7F") << said;
    EXPECT_EQ(read("x-ray two x ray"), "X2X");
}

TEST(Spelling, of_every_code_is_read_back_as_that_code) {
    const std::string all = std::string(letters) + std::string(digits);
    for (const char a : all)
        for (const char b : all)
            for (const char c : all) {
                const std::string code{a, b, c};
                ASSERT_EQ(read(spelled(code)), code);
            }
}

TEST(Spelling, of_something_else_is_no_code) {
    for (const char* said : {"", "K7", "K7FF", "K7O", "K1F", "K7F?K", "seven", "Kilo Seven Fox",
                             "\xC3\x84"
                             "7F"})
        EXPECT_EQ(read(said), std::nullopt) << said;
}

/// RFC 4648, 3.4, names 0 and O, and 1, l and I; the others are common practice, no source.
TEST(Spelling, has_no_two_characters_that_look_alike) {
    const std::string all = std::string(letters) + std::string(digits);
    for (const std::string_view alike :
         {"0OQD", "1IL", "2Z", "5S", "6G", "8B", "UVY", "MN", "59"}) {
        int there = 0;
        for (const char character : alike)
            there += all.find(character) != std::string::npos ? 1 : 0;
        EXPECT_LE(there, 1) << alike;
    }
    EXPECT_EQ(all.find_first_of("AEIOU"), std::string::npos) << "a code must not be a word";
}

} // namespace
} // namespace slotwitness::readback
