#include "attributes.hpp"
#include "layout_keys.hpp"
#include "schema.hpp"

#include <array>

namespace slotwitness::profiles {
namespace {

using state::Attribute;

/// No profile can name these lists: an id has no blank.
constexpr std::string_view list_prefix = "RFC 8348 ";

struct WordLeaf {
    std::string_view leaf;
    Attribute attribute;
};
constexpr std::array word_leaves{WordLeaf{"admin-state", Attribute::admin},
                                 WordLeaf{"oper-state", Attribute::oper},
                                 WordLeaf{"usage-state", Attribute::usage},
                                 WordLeaf{"alarm-state", Attribute::alarm},
                                 WordLeaf{"standby-state", Attribute::standby},
                                 WordLeaf{"sensor-status", Attribute::sensor_status}};

struct TextLeaf {
    std::string_view leaf;
    Attribute attribute;
};
constexpr std::array text_leaves{TextLeaf{"serial-num", Attribute::serial},
                                 TextLeaf{"model-name", Attribute::part},
                                 TextLeaf{"hardware-rev", Attribute::hardware_rev},
                                 TextLeaf{"software-rev", Attribute::software_rev},
                                 TextLeaf{"alias", Attribute::label},
                                 TextLeaf{"description", Attribute::text}};

} // namespace

std::map<std::string, Meaning> hardware_xml_cells() {
    std::map<std::string, Meaning> cells;
    cells["name"].as = Meaning::As::name;
    for (const auto& [leaf, attribute] : word_leaves) {
        Meaning& meaning = cells[std::string{leaf}];
        meaning.as = Meaning::As::word;
        meaning.words = std::string{list_prefix}.append(leaf);
        meaning.gravest = attribute == Attribute::alarm;
        meaning.required = false;
    }
    for (const auto& [leaf, attribute] : text_leaves) {
        Meaning& meaning = cells[std::string{leaf}];
        meaning.as = Meaning::As::text;
        meaning.attribute = attribute;
        meaning.required = false;
    }
    Meaning& value = cells["value"];
    value.as = Meaning::As::quantity;
    value.attribute = Attribute::reading;
    value.required = false;
    return cells;
}

std::map<std::string, WordList> hardware_xml_words() {
    std::map<std::string, WordList> lists;
    for (const auto& [leaf, attribute] : word_leaves) {
        WordList& list = lists[std::string{list_prefix}.append(leaf)];
        for (const std::string_view word : words_for(attribute))
            if (const auto value = value_of(attribute, word))
                list[std::string{word}] = {{attribute, *value}};
    }
    return lists;
}

Described read_hardware_xml_keys(Fields& fields, const Around&) {
    layouts::HardwareXmlSpec spec;
    if (const auto* classes = fields.table("classes")) {
        std::vector<std::string> kinds;
        for (const state::Kind kind : state::words_of<state::Kind>())
            kinds.emplace_back(to_word(kind));
        for (const auto& [identity, value] : *classes) {
            const auto word = value.value<std::string>().value_or("");
            if (const auto kind = state::from_word<state::Kind>(word))
                spec.classes[std::string{identity.str()}] = *kind;
            else
                fields.problems().add(
                    value, shown(value), one_of(kinds),
                    did_you_mean(word, kinds, "Write for example container = \"fan-tray\"."));
        }
    }
    spec.pass_over_other_classes = fields.truth("pass-over-other-classes").value_or(false);
    spec.pass_over = fields.texts("pass-over");
    return {std::move(spec), {}};
}

} // namespace slotwitness::profiles
