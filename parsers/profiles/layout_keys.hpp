#pragma once

#include "fields.hpp"
#include "profile.hpp"

#include <string>
#include <vector>

/// The tables of the schema that describe layouts, each read in a .cpp of its own.
namespace slotwitness::profiles {

/// The layout of a query, and the labels that its cells may have.
struct Described {
    Layout layout;
    std::vector<std::string> labels;
};
/// The table of the query's `layout`; the query's other keys are left.
[[nodiscard]] Described read_layout(Fields& query_fields);

/// [query.ID.table]
[[nodiscard]] Described read_table_keys(Fields& fields);
/// [query.ID.record]
[[nodiscard]] Described read_record_keys(Fields& fields);

/// `key` is a list of texts that each name something once: columns, labels.
void check_labels(Fields& fields, std::string_view key);

} // namespace slotwitness::profiles
