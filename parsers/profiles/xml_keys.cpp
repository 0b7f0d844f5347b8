#include "layout_keys.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

bool is_name(std::string_view text) {
    const auto is_letter = [](char byte) {
        return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || byte == '_';
    };
    const auto is_more = [&](char byte) {
        return is_letter(byte) || (byte >= '0' && byte <= '9') || byte == '-' || byte == '.';
    };
    return !text.empty() && is_letter(text.front()) &&
           std::all_of(text.begin(), text.end(), is_more);
}

/// The names of "interfaces/interface"; none if one is no identifier of YANG (RFC 7950,
/// section 6.2).
std::vector<std::string> names_of(std::string_view path) {
    std::vector<std::string> names;
    for (std::size_t at = 0; at <= path.size();) {
        const std::size_t end = std::min(path.find('/', at), path.size());
        if (!is_name(path.substr(at, end - at)))
            return {};
        names.emplace_back(path.substr(at, end - at));
        at = end + 1;
    }
    return names;
}

constexpr const char* no_path = "names of elements without prefix, parted by \"/\"";

void check_cells(Fields& fields, const std::vector<std::string>& cells) {
    for (const std::string& label : cells) {
        if (names_of(label).empty())
            fields.problems().add(fields.source(), label, std::string{"in its cells "} + no_path,
                                  "Write for example \"statistics/in-errors\".");
        for (const std::string& other : cells)
            if (label.starts_with(other + "/"))
                fields.problems().add(fields.source(), label, "no cell inside another",
                                      "Leave out \"" + other + "\", which has elements inside.");
    }
}

/// `label`, that `key` names, is a cell.
void check_cell(Fields& fields, std::string_view key, const std::string& label,
                const std::vector<std::string>& cells) {
    if (std::find(cells.begin(), cells.end(), label) == cells.end())
        fields.wrong(
            key, label, "one of the cells of this query",
            "Give it an entry in its cells, { as = \"ignored\" } if it says nothing else.");
}

std::optional<layouts::XmlSpec::Only> read_only(Fields& fields, const Around& around) {
    const toml::table* table = fields.table("only");
    if (table == nullptr)
        return std::nullopt;
    const std::string& path = fields.path();
    Fields keys{*table, path.substr(0, path.size() - 1) + ".only]", fields.problems()};
    keys.require("cell", "cell = \"type\"");
    keys.require("is", "is = [\"ethernetCsmacd\"]");
    layouts::XmlSpec::Only only;
    only.cell = keys.text("cell").value_or("");
    only.is = keys.texts("is");
    if (!only.cell.empty()) {
        check_cell(keys, "cell", only.cell, around.cells);
        if (only.cell.find('/') != std::string::npos)
            keys.wrong("cell", only.cell, "a leaf of the entry itself", "Name one without \"/\".");
    }
    keys.finish();
    return only;
}

} // namespace

Described read_xml_keys(Fields& fields, const Around& around) {
    layouts::XmlSpec spec;
    fields.require("namespace", "namespace = \"urn:ietf:params:xml:ns:yang:ietf-interfaces\"");
    fields.require("rows", "rows = \"interfaces/interface\"");
    spec.space = fields.text("namespace").value_or("");
    const std::string rows = fields.text("rows").value_or("");
    spec.rows = names_of(rows);
    if (spec.rows.empty())
        fields.wrong("rows", rows, no_path, "Write for example rows = \"interfaces/interface\".");
    check_cells(fields, around.cells);
    spec.cells = around.cells;
    if (const auto* identities = fields.table("identities"))
        for (const auto& [label, value] : *identities) {
            const auto space = value.value<std::string>();
            if (space && !space->empty())
                spec.identities[std::string{label.str()}] = *space;
            else
                fields.problems().add(value, shown(value), "the namespace of the identities",
                                      "Write for example type = "
                                      "\"urn:ietf:params:xml:ns:yang:iana-if-type\".");
            check_cell(fields, "identities", std::string{label.str()}, around.cells);
        }
    spec.only = read_only(fields, around);
    spec.pass_over = fields.texts("pass-over");
    for (std::string& name : spec.pass_over)
        if (!name.starts_with('{'))
            name = "{" + spec.space + "}" + name;
    return {std::move(spec), around.cells};
}

} // namespace slotwitness::profiles
