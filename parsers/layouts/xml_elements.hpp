#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// XML 1.0, section 2.3: S.
inline constexpr std::string_view white_space = " \t\r\n";

/// Bounds of an XML answer. What exceeds them is unread.
inline constexpr std::size_t deepest_xml = 64;
/// Its tree takes some ten times as much memory as its text.
inline constexpr std::size_t largest_xml = 16 * 1024 * 1024;

/// Where an element stands: from its "<" to behind its end tag.
struct XmlElement {
    static constexpr auto open = static_cast<std::size_t>(-1);
    std::size_t begin = 0;
    std::size_t end = open; ///< `open` where the text ends before the element does
};

struct XmlStop {
    std::size_t at = 0;
    std::string expected;
};

/// The elements of a text, in the order of their start tags.
struct XmlElements {
    std::vector<XmlElement> all;
    /// Up to here the text is tokens of well-formed XML.
    std::size_t readable = 0;
    /// Why not further; nothing if the text is one whole document.
    std::optional<XmlStop> stop;

    /// The element whose start tag begins at `begin`, or null.
    [[nodiscard]] const XmlElement* at(std::size_t begin) const;
};

/// Holds a text to what the tree's library lets pass (text outside of the root, references to
/// nothing, characters that are none), and finds where each element ends, which the tree does not
/// tell.
[[nodiscard]] XmlElements find_elements(std::string_view text);

} // namespace slotwitness::layouts
