#pragma once

#include <slotwitness/tokens/token.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace slotwitness::tokens {

/// 2026-11-25T12:00:00Z: when these tests play.
inline constexpr WallTime noon{std::chrono::seconds{1'795'608'000}};

/// A folder of the test's own, gone with it.
class Folder {
  public:
    Folder() {
        std::string pattern =
            (std::filesystem::temp_directory_path() / "slotwitness-tokens-XXXXXX").string();
        path_ = ::mkdtemp(pattern.data());
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] std::string file(const std::string& name) const {
        return (path_ / name).string();
    }
    /// Of mode 0600.
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(file(name)) << text;
        std::filesystem::permissions(file(name), std::filesystem::perms(0600));
    }
    [[nodiscard]] std::string text(const std::string& name) const {
        std::ifstream stream(file(name));
        return {std::istreambuf_iterator<char>(stream), {}};
    }

  private:
    std::filesystem::path path_;
};

} // namespace slotwitness::tokens
