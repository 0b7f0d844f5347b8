#pragma once

#include "json.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// One pointer of a specification, from the root of the document.
struct JsonPath {
    enum class To { row, cell, pass_over };
    To to = To::row;
    Pointer pointer;
    std::string_view label; ///< of a cell, in the specification

    [[nodiscard]] bool ends_at(std::size_t depth) const { return pointer.tokens.size() == depth; }
};

/// The pointers that lead to a value or further down from it: all of them have the value's depth
/// behind them.
using Reached = std::vector<const JsonPath*>;

/// The pointers of a specification, ready to be followed down a document.
class JsonPaths {
  public:
    /// What is wrong with the specification, as what was expected of it.
    [[nodiscard]] static tl::expected<JsonPaths, std::string> of(const JsonSpec& spec);

    [[nodiscard]] Reached root() const;
    [[nodiscard]] bool wants_key() const { return !key_label_.empty(); }
    /// "*" of the specification's cells.
    [[nodiscard]] std::string_view key_label() const { return key_label_; }

  private:
    std::vector<JsonPath> paths_;
    std::string_view key_label_;
};

/// The pointers among `reached`, at `depth`, that go on to this member or element.
[[nodiscard]] Reached into_member(const Reached& reached, std::size_t depth, std::string_view name);
[[nodiscard]] Reached into_element(const Reached& reached, std::size_t depth, std::size_t index);

/// A row or a cell lies here or further down.
[[nodiscard]] bool is_named(const Reached& reached);
/// The pointer of this kind that ends at this depth, or null.
[[nodiscard]] const JsonPath* ending(const Reached& reached, JsonPath::To to, std::size_t depth);
/// The pointer to the rows, if it goes further down than this depth, or null.
[[nodiscard]] const JsonPath* towards_rows(const Reached& reached, std::size_t depth);

/// "the list /blockdevices": what must stand below a value that `rows` passes at `depth`.
[[nodiscard]] std::string missing_towards(const JsonPath& rows, std::size_t depth);

} // namespace slotwitness::layouts
