#pragma once

#include "profile.hpp"
#include "schema.hpp"

#include <string>
#include <vector>

/// The tables of the schema that describe layouts, each read in a .cpp of its own.
namespace slotwitness::profiles {

/// The layout of a query, and the labels that its cells may have.
struct Described {
    Layout layout;
    std::vector<std::string> labels;
};
/// What the table of a layout may refer to.
struct Around {
    const Profile& profile; ///< with its grammar
    std::vector<std::string>
        cells; ///< the labels of [query.ID.cells], for layouts that take theirs from there
};
/// The table of the query's `layout`; the query's other keys are left.
[[nodiscard]] Described read_layout(Fields& query_fields, const Profile& profile);

/// [query.ID.table]
[[nodiscard]] Described read_table_keys(Fields& fields, const Around& around);
/// [query.ID.record]
[[nodiscard]] Described read_record_keys(Fields& fields, const Around& around);
/// [query.ID.lines]
[[nodiscard]] Described read_lines_keys(Fields& fields, const Around& around);
/// [query.ID.json]
[[nodiscard]] Described read_json_keys(Fields& fields, const Around& around);
/// [query.ID.xml]
[[nodiscard]] Described read_xml_keys(Fields& fields, const Around& around);
/// [query.ID.hardware-xml]
[[nodiscard]] Described read_hardware_xml_keys(Fields& fields, const Around& around);

/// `key` is a list of names of rules of the profile's grammar.
[[nodiscard]] std::vector<std::string> rule_names(Fields& fields, std::string_view key,
                                                  const Profile& profile);
/// The rules of `key`, made ready to match whole lines.
[[nodiscard]] layouts::LineMatcher line_matcher(Fields& fields, std::string_view key,
                                                const Profile& profile);

/// `key` is a list of texts that each name something once: columns, labels.
void check_labels(Fields& fields, std::string_view key);

} // namespace slotwitness::profiles
