#include "json_paths.hpp"

#include "lines.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace slotwitness::layouts {
namespace {

using To = JsonPath::To;

template <class Goes>
Reached filtered(const Reached& reached, std::size_t depth, Goes goes) {
    Reached further;
    for (const JsonPath* path : reached)
        if (!path->ends_at(depth) && goes(path->pointer.tokens[depth]))
            further.push_back(path);
    return further;
}

bool is_inside(const Pointer& inner, const Pointer& outer) {
    return inner.tokens.size() >= outer.tokens.size() &&
           std::equal(outer.tokens.begin(), outer.tokens.end(), inner.tokens.begin());
}

tl::expected<Pointer, std::string> pointer_of(std::string_view text, Wildcards wildcards,
                                              const char* list) {
    auto pointer = parse_pointer(text, wildcards);
    if (!pointer)
        return tl::make_unexpected(std::string{list} + " that are JSON Pointers, where " +
                                   in_quotes(text) + " is none: " + pointer.error().expected +
                                   " at column " + std::to_string(pointer.error().at.column));
    return *std::move(pointer);
}

} // namespace

tl::expected<JsonPaths, std::string> JsonPaths::of(const JsonSpec& spec) {
    JsonPaths paths;
    const auto& rows = spec.rows.tokens;
    const auto wildcards =
        std::count_if(rows.begin(), rows.end(), [](const Token& token) { return token.any; });
    if (wildcards > 1)
        return tl::make_unexpected(std::string{"rows with at most one *"});
    paths.paths_.push_back({To::row, spec.rows, {}});
    for (const std::string& label : spec.cells) {
        if (label == "*") {
            if (wildcards == 0)
                return tl::make_unexpected(
                    std::string{"rows with a *, whose member's name is the cell \"*\""});
            paths.key_label_ = label;
            continue;
        }
        auto pointer = pointer_of(label, Wildcards::none, "cells");
        if (!pointer)
            return tl::make_unexpected(pointer.error());
        Pointer whole = spec.rows;
        std::move(pointer->tokens.begin(), pointer->tokens.end(), std::back_inserter(whole.tokens));
        for (const JsonPath& other : paths.paths_)
            if (other.to == To::cell &&
                (is_inside(whole, other.pointer) || is_inside(other.pointer, whole)))
                return tl::make_unexpected("cells of which none lies inside another, as " +
                                           in_quotes(label) + " and " + in_quotes(other.label) +
                                           " do");
        paths.paths_.push_back({To::cell, std::move(whole), label});
    }
    for (const std::string& text : spec.pass_over) {
        auto pointer = pointer_of(text, Wildcards::many, "pass-over");
        if (!pointer)
            return tl::make_unexpected(pointer.error());
        paths.paths_.push_back({To::pass_over, *std::move(pointer), {}});
    }
    return paths;
}

Reached JsonPaths::root() const {
    Reached all;
    for (const JsonPath& path : paths_)
        all.push_back(&path);
    return all;
}

Reached into_member(const Reached& reached, std::size_t depth, std::string_view name) {
    return filtered(reached, depth, [&](const Token& token) { return is_member(token, name); });
}

Reached into_element(const Reached& reached, std::size_t depth, std::size_t index) {
    return filtered(reached, depth, [&](const Token& token) { return is_element(token, index); });
}

bool is_named(const Reached& reached) {
    return std::any_of(reached.begin(), reached.end(),
                       [](const JsonPath* path) { return path->to != To::pass_over; });
}

const JsonPath* ending(const Reached& reached, JsonPath::To to, std::size_t depth) {
    const auto found = std::find_if(reached.begin(), reached.end(), [&](const JsonPath* path) {
        return path->to == to && path->ends_at(depth);
    });
    return found == reached.end() ? nullptr : *found;
}

const JsonPath* towards_rows(const Reached& reached, std::size_t depth) {
    const auto found = std::find_if(reached.begin(), reached.end(), [&](const JsonPath* path) {
        return path->to == To::row && !path->ends_at(depth);
    });
    return found == reached.end() ? nullptr : *found;
}

std::string missing_towards(const JsonPath& rows, std::size_t depth) {
    const auto& tokens = rows.pointer.tokens;
    for (std::size_t i = depth; i < tokens.size(); ++i)
        if (tokens[i].any)
            return i == 0 ? "a list" : "the list " + to_text(rows.pointer, i);
    return "the object " + to_text(rows.pointer);
}

} // namespace slotwitness::layouts
