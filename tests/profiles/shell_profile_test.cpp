#include "files.hpp"

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

/// With a prompt "edge-7> " and one pager; `reach` goes on in [reach].
tl::expected<Profile, std::vector<state::Problem>> reached(const std::string& reach,
                                                           const std::string& terminal = "") {
    return parse_profile("[profile]\nformat = 1\nfamily = \"Test\"\n[reach]\n" + reach +
                             "[grammar]\nrules = '''\nprompt = \"edge-\" 1*DIGIT \"> \"\n'''\n" +
                             terminal +
                             "[query.planes]\nask = [\"tell\", \"planes\"]\nkind = \"plane\"\n"
                             "layout = \"table\"\n[query.planes.table]\ncolumns = [\"NAME\"]\n"
                             "edges = \"header\"\n[query.planes.cells]\nNAME = { as = \"name\" }\n",
                         "p.toml");
}

std::string faults_of(const std::string& reach) {
    const auto profile = reached(reach);
    std::string problems;
    if (!profile)
        for (const state::Problem& problem : profile.error())
            problems += state::to_text(problem) + "\n";
    return problems;
}

const std::string by_shell = "by = \"shell\"\nprompt = [\"prompt\"]\n";
const std::string with_pager = "[terminal]\npagers = [\"-- hold --\"]\n";

TEST(ShellProfile, tells_the_prompt_the_session_queries_and_the_pagers_key) {
    const auto profile = reached(by_shell + "session-queries = [\"page off\", \"log no\"]\n"
                                            "pager-key = \"return\"\ncolumns = 200\n",
                                 with_pager);
    ASSERT_TRUE(profile) << state::to_text(profile.error().front());
    const Shell& shell = profile->reach.shell;
    abnf::Scratch scratch;
    EXPECT_TRUE(shell.prompt.takes("edge-7> ", scratch));
    EXPECT_FALSE(shell.prompt.takes("edge-7>", scratch));
    EXPECT_THAT(shell.session_queries, ElementsAre("page off", "log no"));
    EXPECT_EQ(shell.pager_key, '\r');
    EXPECT_EQ(shell.columns, 200U);
}

TEST(ShellProfile, sends_nothing_besides_queries_unless_it_says_so) {
    const auto profile = reached(by_shell);
    ASSERT_TRUE(profile) << state::to_text(profile.error().front());
    EXPECT_TRUE(profile->reach.shell.session_queries.empty());
    EXPECT_EQ(profile->reach.shell.pager_key, std::nullopt);
}

TEST(ShellProfile, tells_by_which_keys_a_shell_that_is_there_already_is_met) {
    EXPECT_FALSE(reached(by_shell)->reach.shell.console);
    EXPECT_FALSE(reached(by_shell + "console = false\n")->reach.shell.console);
    const auto profile = reached(by_shell + "console = true\nredraw-key = \"ctrl-r\"\n"
                                            "clear-key = \"ctrl-u\"\nquiet = \"2 s\"\n");
    ASSERT_TRUE(profile) << state::to_text(profile.error().front());
    const auto& console = profile->reach.shell.console;
    ASSERT_TRUE(console);
    // ECMA-48, section 5.2: DC2 is 01/02, NAK is 01/05.
    EXPECT_EQ(console->redraw_key, '\x12');
    EXPECT_EQ(console->clear_key, '\x15');
    EXPECT_EQ(console->quiet, units::Duration(2'000));
}

TEST(ShellProfile, names_each_fault_with_its_remedy) {
    struct Case {
        std::string reach, problem;
    };
    for (const Case& fault : {
             Case{"by = \"shell\"\n", "expected the key \"prompt\" in [reach]"},
             Case{"by = \"shell\"\nprompt = [\"promt\"]\n", "found \"promt\""},
             Case{by_shell + "parallel = 2\n", "expected 1 unless by = \"command\""},
             Case{by_shell + "session-queries = [\"page off\\rerase all\"]\n", "found \"page off"},
             Case{by_shell + "session-queries = [\"page; erase\"]\n", "found \"page; erase\""},
             Case{by_shell + "session-queries = [\" page\"]\n", "found \" page\""},
             Case{by_shell + "session-queries = [\"\"]\n", "parted by single blanks"},
             Case{by_shell + "pager-key = \"q\"\n", "found \"q\""},
             Case{by_shell + "pager-key = \"blank\"\n", "expected pagers in [terminal]"},
             Case{by_shell + "columns = 20\n", "found \"20\""},
             Case{by_shell + "console = true\nclear-key = \"ctrl-u\"\n",
                  "expected the key \"redraw-key\" in [reach]"},
             Case{by_shell + "console = true\nredraw-key = \"ctrl-l\"\n",
                  "expected the key \"clear-key\" in [reach]"},
             Case{by_shell + "console = true\nredraw-key = \"ctrl-m\"\n", "found \"ctrl-m\""},
             Case{by_shell + "clear-key = \"ctrl-u\"\n", "expected console = true beside it"},
             Case{by_shell + "quiet = \"1 h\"\n", "quiet"},
             Case{"prompt = [\"prompt\"]\n", "found \"prompt\""},
         })
        EXPECT_THAT(faults_of(fault.reach), HasSubstr(fault.problem)) << fault.reach;
}

} // namespace
} // namespace slotwitness::profiles
