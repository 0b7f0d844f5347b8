#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

/// The places `<name>` of a text. A `<` that begins no such place stands for itself.
namespace slotwitness::procedures {

struct Place {
    std::size_t begin = 0; ///< of its `<`, in bytes
    std::size_t end = 0;   ///< behind its `>`
    std::string_view name;
    friend bool operator==(const Place&, const Place&) = default;
};
[[nodiscard]] std::vector<Place> places_in(std::string_view text);

/// A text with its places filled, and where each part of it came from.
struct FilledText {
    std::string text;
    /// The column of the text with places at which the column of the filled one stands, from 1:
    /// within a value it is that of the place.
    [[nodiscard]] std::size_t column_before(std::size_t column) const;

    struct Part {
        std::size_t begin = 0;  ///< in `text`
        std::size_t before = 0; ///< in the text with places
        bool is_value = false;
    };
    std::vector<Part> parts; ///< in order
};
/// `value_of` is asked for each place in turn.
[[nodiscard]] FilledText fill(std::string_view text,
                              const std::function<std::string(std::string_view name)>& value_of);

} // namespace slotwitness::procedures
