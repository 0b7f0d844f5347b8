#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace slotwitness::profiles {

/// A file below fixtures/; the test fails where it cannot be read.
[[nodiscard]] std::string fixture(const std::filesystem::path& path);
[[nodiscard]] Profile profile_of(const std::filesystem::path& path);

/// A captured answer of an invented family.
struct Fixture {
    std::string family;
    std::string folder; ///< what it is an example of: "healthy", "hostile" …
    std::string stem;
    std::string query;
    bool whole = true; ///< false where its name ends in "-cut"

    [[nodiscard]] std::filesystem::path path(const char* extension) const {
        return std::filesystem::path{family} / folder / (stem + extension);
    }
    friend auto operator<=>(const Fixture&, const Fixture&) = default;
};
/// All of them, sorted.
[[nodiscard]] std::vector<Fixture> fixtures_of(const std::string& family);
inline const std::vector<std::string> families{"ostrel", "quillon", "vennick"};

/// A reading as its fixture file holds it: a line a row, fact, unread line, remark and line that is
/// set aside.
[[nodiscard]] std::string to_text(const state::Reading& reading);

} // namespace slotwitness::profiles
