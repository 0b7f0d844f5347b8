#pragma once

#include "http.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Entity tags and conditional requests, RFC 9110 §8.8.3 and §13.
namespace slotwitness::api {

struct EntityTag {
    std::string opaque; ///< between the quotes
    bool weak = false;
    friend bool operator==(const EntityTag&, const EntityTag&) = default;
};

/// `W/"opaque"` or `"opaque"`.
[[nodiscard]] std::string to_text(const EntityTag& tag);
/// RFC 9110 §8.8.3.2: equal opaque tags, and neither weak.
[[nodiscard]] bool strongly_equal(const EntityTag& left, const EntityTag& right);
/// RFC 9110 §8.8.3.2: equal opaque tags, weak or not.
[[nodiscard]] bool weakly_equal(const EntityTag& left, const EntityTag& right);

/// A list of tags, or `*`: any representation there is.
struct TagCondition {
    bool any = false;
    std::vector<EntityTag> tags;
};
/// Nothing if the field value is none.
[[nodiscard]] std::optional<TagCondition> parse_tag_condition(std::string_view value);

enum class Precondition {
    go_on,
    not_modified, ///< 304
    failed,       ///< 412
};
/// RFC 9110 §13.2.2 for If-Match and If-None-Match over a representation that exists. A field value
/// that cannot be read names no tag: If-None-Match then lets the request go on and If-Match fails
/// it.
[[nodiscard]] Precondition evaluate(const Request& request, const EntityTag& current);

} // namespace slotwitness::api
