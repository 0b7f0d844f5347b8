#include <slotwitness/state/reading.hpp>

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <string>

namespace slotwitness::state {
namespace {

/// RFC 8348's own module, as Debian's libyuma-base ships it.
constexpr const char* module_file = "/usr/share/yuma/modules/ietf/ietf-hardware@2018-03-13.yang";

using Numbered = std::map<int, std::string>;

/// The `enum`s with their `value`, or the `bit`s with their `position`, of each typedef.
std::map<std::string, Numbered> typedefs_of(const char* file) {
    std::ifstream in{file};
    std::map<std::string, Numbered> typedefs;
    std::string name;
    std::string word;
    static const std::regex begins{R"(^\s*typedef ([\w-]+) \{)"};
    static const std::regex names{R"(^\s*(?:enum|bit) ([\w-]+) \{)"};
    static const std::regex numbers{R"(^\s*(?:value|position) (\d+);)"};
    for (std::string line; std::getline(in, line);) {
        std::smatch match;
        if (std::regex_search(line, match, begins))
            name = match[1];
        else if (std::regex_search(line, match, names))
            word = match[1];
        else if (std::regex_search(line, match, numbers))
            typedefs[name][std::stoi(match[1])] = word;
    }
    return typedefs;
}

template <class Word>
Numbered ours() {
    Numbered words;
    for (const Word word : words_of<Word>())
        words[static_cast<int>(word)] = to_word(word);
    return words;
}

TEST(Words, of_the_standard_are_those_of_its_module) {
    if (!std::filesystem::exists(module_file))
        GTEST_SKIP() << module_file << " is missing; install Debian's libyuma-base";
    auto standard = typedefs_of(module_file);
    EXPECT_EQ(ours<AdminState>(), standard["admin-state"]);
    EXPECT_EQ(ours<OperState>(), standard["oper-state"]);
    EXPECT_EQ(ours<UsageState>(), standard["usage-state"]);
    EXPECT_EQ(ours<StandbyState>(), standard["standby-state"]);
    EXPECT_EQ(ours<AlarmState>(), standard["alarm-state"]);
    EXPECT_EQ(ours<SensorStatus>(), standard["sensor-status"]);
}

template <class Word>
class EachWord : public testing::Test {};
using Enumerations = testing::Types<AdminState, OperState, UsageState, StandbyState, AlarmState,
                                    Severity, SensorStatus, Kind, Attribute>;
TYPED_TEST_SUITE(EachWord, Enumerations);

TYPED_TEST(EachWord, is_found_again_by_its_text_and_by_no_other) {
    for (const TypeParam word : words_of<TypeParam>()) {
        EXPECT_EQ(from_word<TypeParam>(to_word(word)), word);
        EXPECT_EQ(from_word<TypeParam>(std::string{to_word(word)} + "x"), std::nullopt);
    }
    EXPECT_EQ(from_word<TypeParam>(""), std::nullopt);
}

} // namespace
} // namespace slotwitness::state
