#include <slotwitness/readback/code_book.hpp>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

namespace slotwitness::readback {
namespace {

std::vector<std::string> numbered(std::size_t count) {
    std::vector<std::string> decisions;
    for (std::size_t n = 0; n < count; ++n)
        decisions.push_back("decision " + std::to_string(n));
    return decisions;
}

int places_apart(const std::string& one, const std::string& other) {
    int apart = 0;
    for (std::size_t i = 0; i < length; ++i)
        apart += one.at(i) != other.at(i) ? 1 : 0;
    return apart;
}

/// Codes that are recorded must come out of every later version too, or old journals no longer
/// replay. These two a second program derived, written from the words of the header in another
/// language.
TEST(CodeBook, derives_what_it_always_did) {
    const CodeBook book("edge-7\nk7fq2mxd", {"pull-tray.released", "pull-tray.stop"});
    EXPECT_EQ(book.code("pull-tray.released"), "R84");
    EXPECT_EQ(book.code("pull-tray.stop"), "P7M");
}

TEST(CodeBook, knows_no_code_of_a_decision_that_it_does_not_have) {
    const CodeBook book("a", {"one"});
    EXPECT_EQ(book.code("two"), "");
    EXPECT_EQ(book.decision(book.code("one")), "one");
    EXPECT_EQ(book.decision("ZZZ"), "");
    EXPECT_EQ(CodeBook().code("one"), "");
}

RC_GTEST_PROP(CodeBook, gives_the_first_codes_two_apart, (const std::string& of)) {
    const CodeBook book(of, numbered(two_apart));
    for (std::size_t n = 0; n < two_apart; ++n)
        for (std::size_t m = 0; m < n; ++m)
            RC_ASSERT(places_apart(book.code("decision " + std::to_string(n)),
                                   book.code("decision " + std::to_string(m))) >= 2);
}

RC_GTEST_PROP(CodeBook, gives_a_code_that_is_neither_word_nor_number, (const std::string& of)) {
    const CodeBook book(of, numbered(400));
    for (const std::string& decision : numbered(400)) {
        const std::string code = book.code(decision);
        RC_ASSERT(read(code) == code);
        RC_ASSERT(code.find_first_of(letters) != std::string::npos);
        RC_ASSERT(code.find_first_of(digits) != std::string::npos);
        RC_ASSERT(book.decision(code) == decision);
    }
}

TEST(CodeBook, has_a_code_of_its_own_for_as_many_decisions_as_it_says) {
    const CodeBook book("edge-7", numbered(most_decisions));
    std::set<std::string> codes;
    for (const std::string& decision : numbered(most_decisions))
        codes.insert(book.code(decision));
    EXPECT_EQ(codes.size(), most_decisions);
    EXPECT_THROW(CodeBook("edge-7", numbered(most_decisions + 1)), std::length_error);
}

/// What somebody hears of another chassis, or of another procedure, must not fit here by more than
/// chance.
TEST(CodeBook, of_one_thing_says_nothing_of_that_of_another) {
    constexpr int things = 40'000;
    const std::string here =
        CodeBook("edge-7\nk7fq2mxd", {"pull-tray.released"}).code("pull-tray.released");
    int same = 0;
    for (int n = 0; n < things; ++n)
        same += CodeBook("edge-7\n" + std::to_string(n), {"pull-tray.released"})
                            .code("pull-tray.released") == here
                    ? 1
                    : 0;
    // Expected 8.4 with deviation 2.9 were they drawn evenly: six deviations are allowed.
    EXPECT_LE(same, 26);
}

} // namespace
} // namespace slotwitness::readback
