#pragma once

#include <string_view>

namespace slotwitness::witness {

/// Kleene's strong three values (Kleene 1952, pp. 332-335), ordered no < unknown < yes.
enum class Truth { no, unknown, yes };

[[nodiscard]] constexpr Truth both(Truth left, Truth right) {
    return left < right ? left : right;
}
[[nodiscard]] constexpr Truth either(Truth left, Truth right) {
    return left < right ? right : left;
}
[[nodiscard]] constexpr Truth negate(Truth value) {
    switch (value) {
    case Truth::no:
        return Truth::yes;
    case Truth::unknown:
        return Truth::unknown;
    case Truth::yes:
        return Truth::no;
    }
    return Truth::unknown;
}

/// "false", "unknown", "true".
[[nodiscard]] constexpr std::string_view to_word(Truth value) {
    switch (value) {
    case Truth::no:
        return "false";
    case Truth::unknown:
        return "unknown";
    case Truth::yes:
        return "true";
    }
    return "unknown";
}

} // namespace slotwitness::witness
