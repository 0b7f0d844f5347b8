#pragma once

#include "sheet.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Instance data of a YANG module in XML (RFC 7950, section 7), whose rows are the entries of one
/// list. All elements that it names are of one namespace.
struct XmlSpec {
    std::string space; ///< the namespace of the module
    /// The names from the outermost element to the list's entries: {"interfaces", "interface"}.
    std::vector<std::string> rows;
    /// The leaves of an entry, by their names from it on: "name", "statistics/in-errors". They are
    /// also the labels. None lies inside another.
    std::vector<std::string> cells;
    /// Cells whose value is an identity (RFC 7950, section 9.10), and the namespace that it must be
    /// of: the prefix of a value is the document's own affair.
    std::map<std::string, std::string> identities;
    /// Which entries are rows: those whose `cell` is one of `is`. All others are set aside.
    struct Only {
        std::string cell; ///< a leaf of the entry itself, one of `cells`
        std::vector<std::string> is;
    };
    std::optional<Only> only;
    /// Elements and attributes that are passed over on purpose, as "{namespace}name".
    std::vector<std::string> pass_over;
};

/// Reads each entry of the list, in a document that is its outermost element or holds it in a
/// rpc-reply or data of NETCONF (RFC 6241) or a data of NMDA (RFC 8526). Namespaces count and
/// prefixes do not. A cell's text stands without white space around it, at its first byte; that of
/// an identity is its name without prefix. A block's text is all lines of the entry.
///
/// Unread, each with its whole text: an element that is not on the way to the rows, in an entry not
/// on the way to a cell, and not passed over; one with an attribute that is no declaration of a
/// namespace and not passed over; text between elements; a leaf with control bytes; an identity of
/// another namespace; a second outer element of the same name. Of a leaf that stands twice in one
/// entry neither is given. Such an entry is not complete. An entry whose `only` cell is missing, or
/// not to be read, is unread as a whole. Document types and all that is no well-formed XML: as
/// hardware_xml.hpp says.
///
/// Where the text ends before its document, the entry that is open is given, not complete, with the
/// cells that had ended; one whose `only` cell had not is unread with the rest.
[[nodiscard]] Leftover read_xml(std::string_view answer, const XmlSpec& spec, bool ended,
                                const TakeBlock& take);

} // namespace slotwitness::layouts
