#pragma once

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <optional>
#include <string>
#include <string_view>

/// What RFC 8348 (ietf-hardware@2018-03-13) has in a component, and how a layout tells it.
namespace slotwitness::layouts {

/// Where in a component a leaf stands.
enum class Place { component, state, sensor_data };

struct HardwareLeaf {
    enum class Form {
        text,
        bits,   ///< words parted by white space
        names,  ///< a list, joined by ", "
        uris,   ///< a list, joined by a blank, which no URI has
        class_, ///< an identity: its name without prefix
        part,   ///< of a sensor's value; not told by itself
    };
    Place place;
    std::string_view name;
    std::string_view label;
    Form form = Form::text;
};

/// Null if RFC 8348 has no leaf of this name there.
[[nodiscard]] const HardwareLeaf* find_leaf(Place place, std::string_view name);

/// The container of a component by its name.
[[nodiscard]] std::optional<Place> find_container(std::string_view name);

/// What a sensor says of its value; empty where it says nothing.
struct SensorParts {
    std::string_view value;
    std::string_view type;
    std::string_view scale;
    std::string_view precision;
};

/// One exact text, as hardware_xml.hpp says; or what was expected, where that is none.
[[nodiscard]] tl::expected<std::string, std::string> sensor_text(const SensorParts& parts);

} // namespace slotwitness::layouts
