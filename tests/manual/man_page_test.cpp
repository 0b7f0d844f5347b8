#include "../../daemon/program/options.hpp"
#include "../live/process.hpp"

#include <slotwitness/manual/man_page.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <sstream>
#include <string>

namespace slotwitness::manual {
namespace {

using testing::HasSubstr;

const std::filesystem::path share = SLOTWITNESS_SHARE;

CommandLine small() {
    return {"tool",
            "1.2",
            {},
            {{"look",
              "Look once",
              {{"--config", "FILE", "It's \"a\\b\"", true, false},
               {"--json", "", "JSON", false, false}},
              {{"NAME", "", ".hidden", false, true}}}}};
}

TEST(ManPage, lists_verbs_with_synopsis_options_and_operands) {
    const std::string page = man_page("v@VERSION@\n@VERBS@\nend\n", small());
    EXPECT_EQ(
        page,
        "v1.2\n"
        ".SS look\n.SY \"tool look\"\n"
        "\\fB\\-\\-config\\fR \\fIFILE\\fR\n[\\fB\\-\\-json\\fR]\n[\\fINAME\\fR]\\|.\\|.\\|.\n"
        ".YS\n.PP\nLook once.\n"
        ".TP\n\\fINAME\\fR\n\\&.hidden.\n"
        ".TP\n\\fB\\-\\-config\\fR \\fIFILE\\fR\nIt\\(aqs \\(dqa\\eb\\(dq.\n"
        ".TP\n\\fB\\-\\-json\\fR\nJSON.\nend\n");
}

/// What a person reads: formatted by groff, with every warning.
live::Ran formatted(const std::filesystem::path& page) {
    return live::run(
        {"groff", "-man", "-Tutf8", "-ww", "-k", "-P-cbou", "-rLL=100n", page.string()});
}

class EveryPage : public testing::TestWithParam<const char*> {};

TEST_P(EveryPage, is_formatted_without_a_warning) {
    const live::Ran ran = formatted(share / GetParam());
    EXPECT_EQ(ran.status, 0);
    EXPECT_THAT(ran.output, testing::Not(HasSubstr("warning")));
    EXPECT_THAT(ran.output, testing::Not(HasSubstr("@"))) << "a mark that nothing replaced";
    EXPECT_THAT(ran.output, HasSubstr("NAME\n")) << ran.output;
}

INSTANTIATE_TEST_SUITE_P(pages, EveryPage,
                         testing::Values("man/man1/slotwitness.1", "man/man5/slotwitness.toml.5"));

/// By heading; those of second rank stand behind three blanks.
std::map<std::string, std::string> sections_of(const std::string& page) {
    std::map<std::string, std::string> sections;
    std::istringstream lines(page);
    std::string heading;
    for (std::string line; std::getline(lines, line);) {
        const std::size_t indent = line.find_first_not_of(' ');
        if (indent == 0 || indent == 3)
            heading = line.substr(indent);
        else
            sections[heading] += line + '\n';
    }
    return sections;
}

TEST(ManPageOfTheProgram, names_every_verb_option_and_operand) {
    const auto sections = sections_of(formatted(share / "man/man1/slotwitness.1").output);
    const CommandLine line = program::command_line();
    ASSERT_GE(line.verbs.size(), 13U);
    for (const Verb& verb : line.verbs) {
        ASSERT_TRUE(sections.contains(verb.name)) << verb.name;
        EXPECT_FALSE(verb.options.empty() && verb.operands.empty()) << verb.name;
        for (const auto* arguments : {&verb.options, &verb.operands})
            for (const Argument& argument : *arguments)
                EXPECT_THAT(sections.at(verb.name), HasSubstr("\n       " + argument.name))
                    << verb.name;
    }
}

} // namespace
} // namespace slotwitness::manual
