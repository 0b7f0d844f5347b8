#pragma once

#include "../live/process.hpp"
#include "../twins/folder.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace slotwitness::program {

using live::Ran;

inline const std::string quillon = SLOTWITNESS_FIXTURES "/quillon/profile.toml";

/// Runs the program in a folder of its own.
class CommandLine : public testing::Test {
  protected:
    [[nodiscard]] Ran run(std::vector<std::string> words) const {
        words.insert(words.begin(), SLOTWITNESS_BIN "/slotwitness");
        return live::run(words);
    }
    [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
        return folder_.write(name, text);
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

    twins::Folder folder_;
};

} // namespace slotwitness::program
