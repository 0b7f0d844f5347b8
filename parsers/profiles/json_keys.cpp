#include "layout_keys.hpp"

namespace slotwitness::profiles {

Described read_json_keys(Fields& fields, const Around& around) {
    layouts::JsonSpec spec;
    fields.require("rows", "rows = \"/blockdevices/*\"");
    const std::string rows = fields.text("rows").value_or("");
    if (auto pointer = layouts::parse_pointer(rows, layouts::Wildcards::one))
        spec.rows = std::move(*pointer);
    else
        fields.wrong("rows", pointer.error().found, pointer.error().expected,
                     pointer.error().remedy);
    for (const std::string& label : around.cells) {
        if (label == "*")
            continue;
        if (const auto pointer = layouts::parse_pointer(label, layouts::Wildcards::none); !pointer)
            fields.problems().add(fields.source(), label,
                                  "in its cells " + pointer.error().expected,
                                  pointer.error().remedy);
    }
    spec.cells = around.cells;
    spec.pass_over = fields.texts("pass-over");
    for (const std::string& text : spec.pass_over)
        if (const auto pointer = layouts::parse_pointer(text, layouts::Wildcards::many); !pointer)
            fields.wrong("pass-over", pointer.error().found, pointer.error().expected,
                         pointer.error().remedy);
    return {std::move(spec), around.cells};
}

} // namespace slotwitness::profiles
