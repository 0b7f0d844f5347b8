#pragma once

#include "hardware_xml.hpp"
#include "xml_tree.hpp"

#include <string_view>

namespace slotwitness::layouts {

inline constexpr std::string_view hardware_space = "urn:ietf:params:xml:ns:yang:ietf-hardware";
inline constexpr std::string_view classes_space = "urn:ietf:params:xml:ns:yang:iana-hardware";

/// Reads one component of a hardware element, by the rules of hardware_xml.hpp.
void read_component(XmlTree& tree, const HardwareXmlSpec& spec, const pugi::xml_node& component,
                    const TakeBlock& take);

} // namespace slotwitness::layouts
