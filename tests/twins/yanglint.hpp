#pragma once

#include <filesystem>
#include <string>

namespace slotwitness::twins {

/// A validator that nobody here wrote: libyang's (Debian libyang2-tools), with the modules of
/// Debian's libyuma-base.
struct Yanglint {
    [[nodiscard]] static std::filesystem::path hardware_module();
    [[nodiscard]] static bool is_missing();
    /// What it says against this instance data of ietf-hardware; empty if it is valid.
    [[nodiscard]] static std::string complaint_about(const std::string& data);
};

} // namespace slotwitness::twins
