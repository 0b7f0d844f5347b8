#pragma once

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <unistd.h>

namespace slotwitness::journal::test {

/// A folder of its own, gone with the object.
class Scratch {
  public:
    Scratch() {
        // In memory where there is such a folder: a killed process loses nothing there either, and
        // thousands of durable commits take no time.
        const std::filesystem::path shared_memory = "/dev/shm";
        const bool there = ::access(shared_memory.c_str(), W_OK) == 0;
        const auto parent = there ? shared_memory : std::filesystem::temp_directory_path();
        std::string pattern = (parent / "slotwitness-journal-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr)
            throw std::runtime_error("cannot make a folder like " + pattern);
        folder_ = pattern;
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    ~Scratch() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }

    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
    [[nodiscard]] std::string file(const std::string& name = "journal.db") const {
        return (folder_ / name).string();
    }

  private:
    std::filesystem::path folder_;
};

} // namespace slotwitness::journal::test
