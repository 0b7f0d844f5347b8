#pragma once

#include <slotwitness/chassis/words.hpp>

#include <cstdint>
#include <filesystem>
#include <string>
#include <variant>

namespace slotwitness::chassis {

struct Options {
    std::uint16_t port = 0; ///< of the first chassis; 0: the system chooses for each
    int chassis = 1;
    std::filesystem::path host_key;
    std::filesystem::path authorized_keys;
    std::filesystem::path control; ///< empty: none
    std::filesystem::path record;  ///< empty: none
    std::string name = "quillon";
    std::string serial = "QL40000017";
    Time refresh{2'000};
    Time boot{20'000};
    int speed = 1;
    bool shell = false;                   ///< it has login shells too
    std::filesystem::path print_fixtures; ///< empty: serve
};

/// The options, or the exit status of a program that has said all that it has to say.
[[nodiscard]] std::variant<Options, int> parse_options(int argc, const char* const* argv);

/// The serial of the nth chassis: its last digits counted up from the first one's.
[[nodiscard]] std::string nth_serial(const std::string& first, int n);

} // namespace slotwitness::chassis
