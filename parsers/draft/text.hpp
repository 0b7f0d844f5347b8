#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

/// Texts of a device in TOML, and in names of ours.
namespace slotwitness::draft {

[[nodiscard]] std::vector<std::string> lines_of(std::string_view text);
/// Those whose labels can stand in a profile: no control byte, and UTF-8.
[[nodiscard]] std::vector<std::string> legible_lines_of(std::string_view text);
[[nodiscard]] bool is_blank(std::string_view text);
[[nodiscard]] std::string_view trimmed(std::string_view text);
[[nodiscard]] std::size_t indent_of(std::string_view line);
/// What blanks part, each at least `gap` of them.
[[nodiscard]] std::vector<std::string_view> cut_at_blanks(std::string_view line, std::size_t gap);

/// A basic string of TOML 1.0; bytes that are not UTF-8 become U+FFFD.
[[nodiscard]] std::string in_toml(std::string_view text);
/// The beginning of a text for a comment, on one line, in quotes.
[[nodiscard]] std::string in_comment(std::string_view text);
/// "[a, b]"
[[nodiscard]] std::string in_toml(const std::vector<std::string>& texts);
/// Lower-case letters, digits and "-", from a letter; `otherwise` if nothing of it is left.
[[nodiscard]] std::string slug(std::string_view text, std::string_view otherwise);
/// `text`, or with a number behind it the first that is not `taken`; it is then taken.
[[nodiscard]] std::string unique(std::string text, std::string_view before_number,
                                 std::set<std::string>& taken);

} // namespace slotwitness::draft
