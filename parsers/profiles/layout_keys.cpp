#include "layout_keys.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace slotwitness::profiles {

void check_labels(Fields& fields, std::string_view key) {
    const toml::node* node = fields.node(key);
    const auto* array = node != nullptr ? node->as_array() : nullptr;
    if (array == nullptr)
        return;
    if (array->empty() || array->size() > layouts::most_columns)
        fields.wrong(key, std::to_string(array->size()) + " of them",
                     "1 to " + std::to_string(layouts::most_columns) + " labels",
                     "Name each label as the device prints it.");
    std::set<std::string> seen;
    for (const toml::node& item : *array) {
        const auto* text = item.as_string();
        if (text == nullptr)
            continue;
        const std::string& label = text->get();
        const bool bare = label.empty() || label.front() == ' ' || label.back() == ' ' ||
                          std::any_of(label.begin(), label.end(), [](char byte) {
                              return static_cast<unsigned char>(byte) < 0x20 || byte == 0x7f;
                          });
        if (bare)
            fields.problems().add(item, label, "a label as printed, without blanks around it",
                                  "Take blanks and control bytes away.");
        else if (!seen.insert(label).second)
            fields.problems().add(item, label, "each label once",
                                  "Leave the second out; a layout with two columns of one name "
                                  "cannot be told apart.");
    }
}

Described read_layout(Fields& query_fields, const Profile& profile) {
    struct Choice {
        std::string name;
        Described (*read)(Fields&, const Around&);
    };
    static const std::array choices{
        Choice{"table", read_table_keys}, Choice{"record", read_record_keys},
        Choice{"lines", read_lines_keys}, Choice{"json", read_json_keys},
        Choice{"xml", read_xml_keys},     Choice{"hardware-xml", read_hardware_xml_keys}};
    std::vector<std::string> names;
    for (const Choice& choice : choices)
        names.push_back(choice.name);
    query_fields.require("layout", "layout = \"table\"");
    const auto chosen = query_fields.word("layout", names);
    Described described;
    Around around{profile, {}};
    if (const auto* cells = query_fields.source()["cells"].as_table())
        for (const auto& [key, value] : *cells)
            around.cells.emplace_back(key.str());
    for (std::size_t i = 0; i < choices.size(); ++i) {
        const std::string& name = choices.at(i).name;
        const toml::table* table = query_fields.table(name);
        if (!chosen)
            continue;
        const std::string& path = query_fields.path();
        const std::string sub = path.substr(0, path.size() - 1) + "." + name + "]";
        if (table == nullptr && i == *chosen) {
            query_fields.wrong("layout", name, "a table " + sub + " that describes it",
                               "Add " + sub + ".");
        } else if (table != nullptr && i != *chosen) {
            query_fields.wrong(name, name, "only the table of layout = \"" + names[*chosen] + '"',
                               "Leave it out, or write layout = \"" + name + "\".");
        } else if (table != nullptr) {
            Fields fields{*table, sub, query_fields.problems()};
            described = choices.at(i).read(fields, around);
            fields.finish();
        }
    }
    return described;
}

} // namespace slotwitness::profiles
