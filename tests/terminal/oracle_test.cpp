#include "../twins/folder.hpp"

#include <slotwitness/terminal/clean.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <optional>
#include <pty.h>
#include <string>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

/// What programs of this machine make of overprinted text, and what a pager of this machine sends:
/// util-linux's `col` and `more`.
namespace slotwitness::terminal {
namespace {

std::optional<std::string> output_of(const std::string& command) {
    const std::string quiet = "LC_ALL=C.UTF-8 " + command + " 2>/dev/null";
    const auto close = [](std::FILE* pipe) { return pclose(pipe); };
    std::unique_ptr<std::FILE, decltype(close)> pipe{popen(quiet.c_str(), "r"), close};
    if (!pipe)
        return std::nullopt;
    std::string text;
    std::array<char, 4096> buffer{};
    while (const std::size_t size = std::fread(buffer.data(), 1, buffer.size(), pipe.get()))
        text.append(buffer.data(), size);
    return pclose(pipe.release()) == 0 ? std::optional{text} : std::nullopt;
}

/// A line of a printer: each word plain, bold or underlined, by backspaces or a second pass.
std::string overprinted_line() {
    const auto words = *rc::gen::container<std::vector<std::string>>(
        rc::gen::element<std::string>("a", "Fan", "3.2", "Tb/s", "x_y",
                                      "\xc2\xb0"
                                      "C"));
    std::string line;
    for (const std::string& word : words) {
        const int style = *rc::gen::inRange(0, 4);
        for (std::size_t at = 0; at < word.size();) {
            const std::size_t size = word[at] == '\xc2' ? 2 : 1;
            const std::string character = word.substr(at, size);
            if (style == 1)
                line += character + "\b";
            if (style == 2)
                line += "_\b";
            if (style == 3)
                line += "_\b" + character + "\b";
            line += character;
            at += size;
        }
        line += " ";
    }
    line += ".";
    if (*rc::gen::arbitrary<bool>() && line.find('\b') == std::string::npos)
        line += "\r" + line;
    return line;
}

TEST(Overprinting, comes_out_as_col_has_it) {
    if (!output_of("col -b </dev/null"))
        GTEST_SKIP() << "this machine has no col";
    const twins::Folder folder;
    EXPECT_TRUE(rc::check([&] {
        std::string raw;
        for (int lines = *rc::gen::inRange(1, 30); lines > 0; --lines)
            raw += overprinted_line() + "\n";
        const Clean cleaned = clean(raw, {}, true);
        RC_ASSERT(cleaned.unread.empty());
        RC_ASSERT(output_of("col -bx <" + folder.write("raw", raw)) == std::string{cleaned.text()});
    }));
}

/// What `more` sends to a terminal of 20 lines that answers each prompt with a blank, and whether
/// it ended well.
std::optional<std::string> paged_by_more(const std::string& path) {
    winsize size{};
    size.ws_row = 20;
    size.ws_col = 80;
    int terminal = -1;
    const pid_t pager = forkpty(&terminal, nullptr, nullptr, &size);
    if (pager < 0)
        return std::nullopt;
    if (pager == 0) {
        setenv("TERM", "vt100", 1);
        setenv("LC_ALL", "C.UTF-8", 1);
        unsetenv("MORE");
        execlp("more", "more", "-e", path.c_str(), nullptr);
        _exit(127);
    }
    std::string shown;
    std::array<char, 4096> buffer{};
    std::size_t answered = 0;
    for (ssize_t got = 0; (got = read(terminal, buffer.data(), buffer.size())) > 0;) {
        shown.append(buffer.data(), static_cast<std::size_t>(got));
        const std::size_t prompt = shown.find("%)", answered);
        if (prompt != std::string::npos && write(terminal, " ", 1) == 1)
            answered = prompt + 2;
    }
    close(terminal);
    int status = 0;
    waitpid(pager, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0 ? std::optional{shown} : std::nullopt;
}

TEST(Pagers, of_this_machine_clean_to_the_file_that_they_show) {
    std::string meant;
    for (int i = 1; i <= 100; ++i)
        meant += "FAB" + std::to_string(i) + "   engaged  running\n";
    const twins::Folder folder;
    const auto shown = paged_by_more(folder.write("shown", meant));
    if (!shown)
        GTEST_SKIP() << "this machine has no terminal, or no more";
    ASSERT_NE(shown->find("--More--"), std::string::npos);
    TerminalSpec spec;
    for (int percent = 0; percent <= 100; ++percent)
        spec.pagers.push_back("--More--(" + std::to_string(percent) + "%)");
    const Clean cleaned = clean(*shown, spec, true);
    EXPECT_TRUE(cleaned.unread.empty()) << ::testing::PrintToString(*shown);
    std::string text{cleaned.text()};
    std::erase(text, '\r');
    EXPECT_EQ(text, meant) << ::testing::PrintToString(*shown);
}

} // namespace
} // namespace slotwitness::terminal
