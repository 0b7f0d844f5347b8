#include "options.hpp"

#include <slotwitness/manual/completion.hpp>
#include <slotwitness/manual/man_page.hpp>

#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

// Writes what the build makes from the command line: `slotwitness-manual FROM TO` takes the man
// pages' texts from one folder and fills another, laid out as /usr/share is.

namespace fs = std::filesystem;

namespace {

std::string text_of(const fs::path& path) {
    std::ifstream file(path);
    file.exceptions(std::ios::failbit | std::ios::badbit);
    return {std::istreambuf_iterator<char>(file), {}};
}

void write(const fs::path& path, const std::string& text) {
    fs::create_directories(path.parent_path());
    std::ofstream file(path);
    file.exceptions(std::ios::failbit | std::ios::badbit);
    file << text << std::flush;
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: slotwitness-manual FROM TO\n");
        return 64;
    }
    try {
        const fs::path from = argv[1], to = argv[2];
        const slotwitness::manual::CommandLine line = slotwitness::program::command_line();
        for (const char* page : {"slotwitness.1", "slotwitness.toml.5"}) {
            const std::string section = fs::path(page).extension().string().substr(1);
            write(to / "man" / ("man" + section) / page,
                  slotwitness::manual::man_page(text_of(from / (std::string(page) + ".in")), line));
        }
        write(to / "bash-completion/completions/slotwitness",
              slotwitness::manual::bash_completion(line));
        write(to / "zsh/site-functions/_slotwitness", slotwitness::manual::zsh_completion(line));
    } catch (const std::exception& error) {
        std::fprintf(stderr, "slotwitness-manual: %s\n", error.what());
        return 70;
    }
}
