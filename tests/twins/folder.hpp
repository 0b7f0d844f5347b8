#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <unistd.h>

namespace slotwitness::twins {

/// A temporary folder of its own that goes with the test.
class Folder {
  public:
    Folder() : Folder(std::filesystem::temp_directory_path()) {}
    /// In `parent`. Throws if none can be made there.
    explicit Folder(const std::filesystem::path& parent) {
        std::string pattern = parent / "slotwitness-test-XXXXXX";
        if (::mkdtemp(pattern.data()) == nullptr)
            throw std::runtime_error("cannot make a folder like " + pattern);
        path_ = pattern;
    }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    /// A parent in memory where this machine has one: a killed process loses nothing there either,
    /// and thousands of durable commits take no time.
    [[nodiscard]] static std::filesystem::path memory() {
        const std::filesystem::path shared = "/dev/shm";
        return ::access(shared.c_str(), W_OK) == 0 ? shared
                                                   : std::filesystem::temp_directory_path();
    }

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    [[nodiscard]] std::string file(const std::string& name) const { return path_ / name; }
    /// Gives the file's path. Of mode 0600, as a file with a secret has to be.
    std::string write(const std::string& name, const std::string& text) const {
        std::ofstream(file(name), std::ios::binary) << text;
        std::filesystem::permissions(file(name), std::filesystem::perms(0600));
        return file(name);
    }
    /// What is in a file; empty if there is none.
    [[nodiscard]] std::string text(const std::string& name) const {
        std::ifstream stream(file(name), std::ios::binary);
        return {std::istreambuf_iterator<char>(stream), {}};
    }

  private:
    std::filesystem::path path_;
};

} // namespace slotwitness::twins
