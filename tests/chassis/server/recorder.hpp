#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

namespace slotwitness::chassis {

/// Writes down every request that clients send, one line of JSON each, so that a test can see from
/// outside what was asked: {"time":…,"chassis":…,"session":…,"type":…,"bytes":…}. `time` is Unix
/// time in milliseconds; each byte stands in `bytes` as the character U+0000 to U+00FF of its
/// value.
class Recorder {
  public:
    Recorder() = default; ///< writes nothing

    /// Appends to `file`; false if it cannot be opened.
    [[nodiscard]] bool open(const std::filesystem::path& file);

    void write(std::string_view chassis, std::uint64_t session, std::string_view type,
               std::string_view bytes);

  private:
    std::ofstream file_;
};

} // namespace slotwitness::chassis
