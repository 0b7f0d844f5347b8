#include "../../daemon/program/options.hpp"
#include "../live/process.hpp"
#include "../twins/folder.hpp"

#include <slotwitness/manual/completion.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace slotwitness::manual {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::UnorderedElementsAre;

/// Bash itself completes, in a folder with a configuration and a folder.
class BashCompletion : public testing::Test {
  protected:
    void SetUp() override {
        std::filesystem::create_directory(folder_.path() / "packs");
        std::ofstream(folder_.path() / "site.toml")
            << "[[bastion]]\nname = \"b1\"\n[[chassis]]\nname = \"edge-7\"\n"
               "[chassis.pace]\nidle = \"60 s\"\n[[chassis]]\nname = \"edge-8\"\n";
        std::ofstream(folder_.path() / "slotwitness.bash")
            << bash_completion(program::command_line());
    }

    /// What is offered for the last word.
    [[nodiscard]] std::vector<std::string> offered(const std::vector<std::string>& words) const {
        // compopt works only while readline completes.
        const live::Ran ran = live::run([&] {
            std::vector<std::string> all{
                "bash",
                "--norc",
                "-c",
                "cd \"$1\"; compopt() { :; }; . ./slotwitness.bash; shift; "
                "COMP_WORDS=(slotwitness \"$@\"); COMP_CWORD=$#; "
                "_slotwitness; printf '%s\\n' \"${COMPREPLY[@]}\"",
                "bash",
                folder_.path().string()};
            all.insert(all.end(), words.begin(), words.end());
            return all;
        }());
        EXPECT_EQ(ran.status, 0) << ran.output;
        std::vector<std::string> found;
        std::istringstream lines(ran.output);
        for (std::string line; std::getline(lines, line);)
            if (!line.empty())
                found.push_back(line);
        return found;
    }

    twins::Folder folder_;
};

TEST_F(BashCompletion, offers_every_verb_and_every_option) {
    const CommandLine line = program::command_line();
    for (const Verb& verb : line.verbs) {
        std::vector<std::string> words;
        std::istringstream parts(verb.name);
        for (std::string part; parts >> part;) {
            words.emplace_back();
            EXPECT_THAT(offered(words), testing::Contains(part)) << verb.name;
            words.back() = part;
        }
        words.emplace_back("--");
        std::vector<std::string> options{"--help"};
        for (const Argument& option : verb.options)
            options.push_back(option.name);
        EXPECT_THAT(offered(words), testing::UnorderedElementsAreArray(options)) << verb.name;
    }
}

TEST_F(BashCompletion, offers_files_and_folders_where_one_is_asked_for) {
    EXPECT_THAT(offered({"look", "--config", "si"}), ElementsAre("site.toml"));
    EXPECT_THAT(offered({"capture", "--to", ""}), ElementsAre("packs"));
    EXPECT_THAT(offered({"replay", "pa"}), ElementsAre("packs"));
}

TEST_F(BashCompletion, offers_the_words_of_a_choice) {
    EXPECT_THAT(offered({"serve", "--log", "j"}), ElementsAre("json"));
    EXPECT_THAT(offered({"token", "make", "--role", ""}),
                UnorderedElementsAre("viewer", "rack", "engineer", "auditor"));
}

TEST_F(BashCompletion, offers_the_names_of_chassis_and_of_nothing_else) {
    EXPECT_THAT(offered({"look", "--config", "site.toml", ""}), ElementsAre("edge-7", "edge-8"));
    EXPECT_THAT(offered({"look", "--config", "site.toml", "edge-7", "edge-8"}),
                ElementsAre("edge-8"));
    EXPECT_THAT(offered({"ask", "--config", "site.toml", "edge-7", "e"}), IsEmpty())
        << "a sentence stands here";
    EXPECT_THAT(offered({"ask", "--config", "nosuch.toml", ""}), IsEmpty());
}

TEST(ZshCompletion, names_every_verb_and_every_option) {
    const CommandLine line = program::command_line();
    const std::string script = zsh_completion(line);
    for (const Verb& verb : line.verbs) {
        const std::size_t begin = script.find("        '" + verb.name + "')\n");
        ASSERT_NE(begin, std::string::npos) << verb.name;
        const std::string part = script.substr(begin, script.find(" ;;\n", begin) - begin);
        for (const Argument& option : verb.options)
            EXPECT_THAT(part, HasSubstr(option.name + "[")) << verb.name;
    }
}

TEST(ZshCompletion, guards_what_would_mean_something_to_the_shell) {
    const CommandLine line{
        "tool", "1", {}, {{"look", "It's", {{"--to", "FOLDER", "a:b [c] 'd'", false, false}}, {}}}};
    EXPECT_THAT(zsh_completion(line),
                testing::AllOf(HasSubstr("'look:It'\\''s'"),
                               HasSubstr("'--to[a\\:b \\[c\\] '\\''d'\\'']:FOLDER:_files -/'")));
}

} // namespace
} // namespace slotwitness::manual
