#include "xml_names.hpp"

#include <pugixml.hpp>

namespace slotwitness::layouts {
namespace {

constexpr std::string_view netconf = "urn:ietf:params:xml:ns:netconf:base:1.0";
constexpr std::string_view nmda = "urn:ietf:params:xml:ns:yang:ietf-netconf-nmda";

/// What the nearest declaration around `where` says; null if none does.
const char* declared(pugi::xml_node where, const std::string& attribute) {
    for (; where; where = where.parent())
        if (const pugi::xml_attribute found = where.attribute(attribute.c_str()))
            return found.value();
    return nullptr;
}

} // namespace

std::string to_text(const XmlName& name) {
    return "{" + name.space + "}" + name.local;
}

bool is_envelope(const XmlName& name) {
    return (name.space == netconf && (name.local == "rpc-reply" || name.local == "data")) ||
           (name.space == nmda && name.local == "data");
}

std::optional<XmlName> expanded(const pugi::xml_node& where, std::string_view name,
                                bool has_default) {
    const std::size_t colon = name.find(':');
    if (colon == std::string_view::npos) {
        const char* space = has_default ? declared(where, "xmlns") : nullptr;
        return name.empty()
                   ? std::nullopt
                   : std::optional{XmlName{space == nullptr ? "" : space, std::string{name}}};
    }
    const std::string prefix{name.substr(0, colon)};
    const std::string local{name.substr(colon + 1)};
    if (prefix.empty() || local.empty() || local.find(':') != std::string::npos)
        return std::nullopt;
    if (prefix == "xml")
        return XmlName{"http://www.w3.org/XML/1998/namespace", local};
    const char* space = declared(where, "xmlns:" + prefix);
    if (space == nullptr || *space == '\0')
        return std::nullopt;
    return XmlName{space, local};
}

std::optional<XmlName> name_of(const pugi::xml_node& element) {
    return expanded(element, element.name(), true);
}

} // namespace slotwitness::layouts
