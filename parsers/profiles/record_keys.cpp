#include "layout_keys.hpp"

#include <algorithm>
#include <array>

namespace slotwitness::profiles {
namespace {

using Separator = layouts::RecordSpec::Separator;
const std::vector<std::string> separators{":", "=", "..."};
constexpr std::array separator_values{Separator::colon, Separator::equals, Separator::dots};

void check_record(Fields& fields, const layouts::RecordSpec& spec, const std::string& separator) {
    for (const std::string& label : spec.labels) {
        if (label == spec.heading || label.find(separator.substr(0, 2)) != std::string::npos)
            fields.wrong("labels", label,
                         "a label other than the heading and without \"" + separator + '"',
                         "Correct the label.");
        std::size_t levels = 0;
        for (std::size_t at = label.find(layouts::below); at != std::string::npos;
             at = label.find(layouts::below, at + 1))
            ++levels;
        if (levels > layouts::most_levels)
            fields.wrong("labels", label,
                         "at most " + std::to_string(layouts::most_levels) + " levels",
                         "Shorten it.");
    }
    for (const std::string& label : spec.lists)
        if (std::find(spec.labels.begin(), spec.labels.end(), label) == spec.labels.end())
            fields.wrong("lists", label, "a label that labels has",
                         did_you_mean(label, spec.labels, "Leave it out, or add the label."));
}

} // namespace

Described read_record_keys(Fields& fields, const Around& around) {
    layouts::RecordSpec spec;
    fields.require("labels", "labels = [\"Serial\", \"State\"]");
    spec.heading = fields.text("heading").value_or("");
    const std::size_t separator = fields.word("separator", separators).value_or(0);
    spec.separator = separator_values.at(separator);
    spec.labels = fields.texts("labels");
    check_labels(fields, "labels");
    spec.lists = fields.texts("lists");
    spec.several = fields.truth("several").value_or(false);
    spec.pass_over = fields.texts("pass-over");
    spec.empty = fields.texts("empty");
    spec.pass_over_rules = line_matcher(fields, "pass-over-rules", around.profile);
    check_record(fields, spec, separators[separator]);
    std::vector<std::string> labels = spec.labels;
    if (!spec.heading.empty())
        labels.push_back(spec.heading);
    return {std::move(spec), std::move(labels)};
}

} // namespace slotwitness::profiles
