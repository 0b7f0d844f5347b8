#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace pugi {
class xml_node;
} // namespace pugi

namespace slotwitness::layouts {

/// A name with its namespace (Namespaces in XML 1.0): the prefix is the document's own affair.
struct XmlName {
    std::string space; ///< empty: in none
    std::string local;
    friend bool operator==(const XmlName&, const XmlName&) = default;
};

/// "{space}local".
[[nodiscard]] std::string to_text(const XmlName& name);

/// A qualified name by the declarations in scope at `where`. Without a prefix it is in the default
/// namespace if `has_default` (elements, identities: RFC 7950, section 9.10.3), else in none
/// (attributes). Nothing if its prefix is not declared, or it is no qualified name.
[[nodiscard]] std::optional<XmlName> expanded(const pugi::xml_node& where, std::string_view name,
                                              bool has_default);

/// What a NETCONF reply wraps around its data: rpc-reply and data (RFC 6241), data of NMDA (RFC
/// 8526).
[[nodiscard]] bool is_envelope(const XmlName& name);

/// The element's own name.
[[nodiscard]] std::optional<XmlName> name_of(const pugi::xml_node& element);

} // namespace slotwitness::layouts
