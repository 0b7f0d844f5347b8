#include "mutant.hpp"

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

namespace fs = std::filesystem;

void run(const std::string& bytes) {
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

/// Changed at random, by the same seed each time. Each is on the disk before it runs, so that one
/// that brings the program down can be given to it again, and then be kept in the corpus.
bool run_mutants(const std::vector<std::string>& corpus, unsigned count, const fs::path& last) {
    slotwitness::fuzz::Mutants mutants{corpus};
    for (unsigned i = 0; i < count; ++i) {
        const std::string bytes = mutants.next();
        std::ofstream out{last, std::ios::binary};
        out << bytes;
        out.close();
        if (!out)
            return false;
        run(bytes);
    }
    fs::remove(last);
    return true;
}

} // namespace

/// FOLDER [COUNT]: replays every file of the folder, a fuzzer's corpus, as an ordinary test; then
/// COUNT inputs made of them.
int main(int count, char** arguments) {
    if (count < 2)
        return 2;
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator{arguments[1]})
        files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    std::vector<std::string> corpus;
    for (const auto& file : files) {
        std::printf("%s\n", file.filename().c_str());
        std::fflush(stdout); // names the input of a crash
        std::ifstream in{file, std::ios::binary};
        corpus.emplace_back(std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{});
        if (!in.is_open())
            return 2;
        run(corpus.back());
    }
    std::printf("%zu inputs replayed\n", corpus.size());
    if (corpus.empty())
        return 2; // a corpus that is not found tests nothing
    unsigned mutants = 0;
    const std::string_view wanted = count > 2 ? arguments[2] : "0";
    if (std::from_chars(wanted.begin(), wanted.end(), mutants).ec != std::errc{})
        return 2;
    const fs::path last = fs::path{arguments[0]}.filename().string() + ".mutant";
    std::printf("%u mutants, each in %s while it runs\n", mutants, fs::absolute(last).c_str());
    std::fflush(stdout);
    return run_mutants(corpus, mutants, last) ? 0 : 2;
}
