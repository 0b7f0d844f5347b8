#include "preconditions.hpp"

#include <algorithm>

namespace slotwitness::api {

std::string to_text(const EntityTag& tag) {
    return (tag.weak ? "W/\"" : "\"") + tag.opaque + '"';
}

bool strongly_equal(const EntityTag& left, const EntityTag& right) {
    return !left.weak && !right.weak && left.opaque == right.opaque;
}

bool weakly_equal(const EntityTag& left, const EntityTag& right) {
    return left.opaque == right.opaque;
}

std::optional<TagCondition> parse_tag_condition(std::string_view value) {
    TagCondition condition;
    value = trimmed(value);
    if (value == "*") {
        condition.any = true;
        return condition;
    }
    // A tag is no quoted string: it may hold commas, and a backslash in it is a backslash.
    for (;;) {
        value.remove_prefix(std::min(value.find_first_not_of(" \t,"), value.size()));
        if (value.empty())
            break;
        EntityTag tag;
        if (value.starts_with("W/")) {
            tag.weak = true;
            value.remove_prefix(2);
        }
        if (!value.starts_with('"'))
            return std::nullopt;
        const auto end = value.find('"', 1);
        if (end == std::string_view::npos)
            return std::nullopt;
        tag.opaque = value.substr(1, end - 1);
        value.remove_prefix(end + 1);
        if (const auto rest = trimmed(value); !rest.empty() && !rest.starts_with(','))
            return std::nullopt;
        condition.tags.push_back(std::move(tag));
    }
    if (condition.tags.empty())
        return std::nullopt;
    return condition;
}

Precondition evaluate(const Request& request, const EntityTag& current) {
    if (const auto value = request.field("If-Match")) { // RFC 9110 §13.1.1: strong comparison
        const auto condition = parse_tag_condition(*value);
        const bool holds = condition && (condition->any ||
                                         std::ranges::any_of(condition->tags, [&](const auto& tag) {
                                             return strongly_equal(tag, current);
                                         }));
        if (!holds)
            return Precondition::failed;
    }
    if (const auto value = request.field("If-None-Match")) { // RFC 9110 §13.1.2: weak comparison
        const auto condition = parse_tag_condition(*value);
        const bool matches =
            condition &&
            (condition->any || std::ranges::any_of(condition->tags, [&](const auto& tag) {
                 return weakly_equal(tag, current);
             }));
        if (matches)
            return request.method == Method::get || request.method == Method::head
                       ? Precondition::not_modified
                       : Precondition::failed;
    }
    return Precondition::go_on;
}

} // namespace slotwitness::api
