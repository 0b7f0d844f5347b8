#pragma once

#include "sheet.hpp"

#include <slotwitness/state/words.hpp>

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// The identities of iana-hardware (RFC 8348, section 7.2) that mean a kind of their own: chassis,
/// module, fan (a tray), power-supply, sensor, port. A container may be a slot or a tray, so it is
/// none.
[[nodiscard]] std::map<std::string, state::Kind> default_classes();

/// Instance data of ietf-hardware (RFC 8348) in XML.
struct HardwareXmlSpec {
    /// Which kind a component is by the identity of iana-hardware, without prefix, in its class.
    std::map<std::string, state::Kind> classes = default_classes();
    /// Components of other identities of iana-hardware are set aside by their lines; otherwise they
    /// are unread, as those of other namespaces always are: such an identity may mean any of them.
    bool pass_over_other_classes = false;
    /// Elements and attributes that are passed over on purpose, as "{namespace}name".
    std::vector<std::string> pass_over;
};

/// Reads each component of urn:ietf:params:xml:ns:yang:ietf-hardware, in a document that is its
/// hardware element or holds it in a rpc-reply or data of NETCONF (RFC 6241) or a data of NMDA
/// (RFC 8526). Namespaces count and prefixes do not, in the value of a class neither.
///
/// A block is a component, of the kind of its class; its text is all its lines. Its cells are the
/// leaves of RFC 8348 under their own names, `state` and `sensor-data` included, but:
/// `contains-child` and `uri` are lists, joined by ", " and by a blank; `class` has no prefix; bits
/// are parted by one blank; the status of a sensor is `sensor-status`; its `value` is one exact
/// text of value, type, scale and precision as units::parse_quantity reads it ("38.5 C"), true or
/// false for a truth-value, followed by the type where that is no unit ("7 other"), and the bare
/// number where that is ±1000000000, which is no value. Text stands without white space around it,
/// at its first byte.
///
/// Unread, each with its whole text: an element that neither RFC 8348 nor `pass_over` names at its
/// place, and an element with an attribute that is no declaration of a namespace nor in
/// `pass_over`; text between elements; a leaf with control bytes; a value without type, scale and
/// precision; a component without one name and one class. Of a leaf that stands twice in one
/// component neither is given. Such a component is not complete. A document type declaration is
/// refused with all that follows: its entities could stand for text that is not in the answer;
/// nothing is ever fetched. So is all from where the text is no well-formed XML in UTF-8 or passes
/// a bound of xml_elements.hpp.
///
/// Where the text ends before its document, the component that is open is given, not complete, with
/// the leaves that had ended and without lists, if its class and name had; the rest is unread.
/// `ended` false only words that: a document that had closed is read as it is.
[[nodiscard]] Leftover read_hardware_xml(std::string_view answer, const HardwareXmlSpec& spec,
                                         bool ended, const TakeBlock& take);

} // namespace slotwitness::layouts
