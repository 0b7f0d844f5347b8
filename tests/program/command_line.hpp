#pragma once

#include "../live/process.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace slotwitness::program {

using live::Ran;

inline const std::string quillon = SLOTWITNESS_FIXTURES "/quillon/profile.toml";

/// Runs the program in a folder of its own.
class CommandLine : public testing::Test {
  protected:
    void SetUp() override {
        std::string pattern =
            (std::filesystem::temp_directory_path() / "slotwitness-line-XXXXXX").string();
        folder_ = ::mkdtemp(pattern.data());
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }

    [[nodiscard]] Ran run(std::vector<std::string> words) const {
        words.insert(words.begin(), SLOTWITNESS_BIN "/slotwitness");
        return live::run(words);
    }
    [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
        std::ofstream(folder_ / name) << text;
        return (folder_ / name).string();
    }
    [[nodiscard]] std::string config(const std::string& chassis,
                                     const std::string& daemon = "") const {
        return write("slotwitness.toml",
                     "[daemon]\njournal = \"j\"\n" + daemon + "[[chassis]]\n" + chassis);
    }
    [[nodiscard]] std::string whole_chassis() const {
        return "name = \"edge-7\"\nprofile = \"" + quillon +
               "\"\naddress = \"127.0.0.1\"\nuser = \"u\"\nkey = \"k\"\nknown-hosts = \"h\"\n";
    }

    std::filesystem::path folder_;
};

} // namespace slotwitness::program
