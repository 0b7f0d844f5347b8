#include "merge.hpp"

#include <utility>

namespace slotwitness::profiles {
namespace {

/// Moves each value: a copy would forget where it stands.
void lay_over(toml::table& below, toml::table&& above) {
    for (auto& [key, value] : above) {
        toml::node* under = below.get(key.str());
        if (under != nullptr && under->is_table() && value.is_table())
            lay_over(*under->as_table(), std::move(*value.as_table()));
        else
            below.insert_or_assign(key, std::move(value));
    }
}

} // namespace

std::optional<toml::table> merged_document(std::span<const ProfileFile> files, Problems& problems) {
    std::optional<toml::table> document;
    // The last first. NOLINTNEXTLINE(modernize-loop-convert): a range of its own would be longer.
    for (auto file = files.rbegin(); file != files.rend(); ++file) {
        std::optional<toml::table> read = keys::parse(*file, problems);
        if (!read)
            return std::nullopt;
        if (document)
            lay_over(*document, std::move(*read));
        else
            document = std::move(read);
    }
    return document;
}

std::optional<std::string> based_on(std::string_view toml) {
    try {
        return toml::parse(toml).at_path("profile.based-on").value<std::string>();
    } catch (const toml::parse_error&) {
        return std::nullopt;
    }
}

} // namespace slotwitness::profiles
