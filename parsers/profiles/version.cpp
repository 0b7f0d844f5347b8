#include "version.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

constexpr std::string_view digits = "0123456789";
constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";

bool is_digit(char byte) {
    return digits.find(byte) != std::string_view::npos;
}

/// The next run of digits or of letters; empty at the end.
std::string_view take_run(std::string_view& text) {
    const auto is_sign = [](char byte) {
        return !is_digit(byte) && letters.find(byte) == std::string_view::npos;
    };
    text.remove_prefix(static_cast<std::size_t>(
        std::find_if_not(text.begin(), text.end(), is_sign) - text.begin()));
    if (text.empty())
        return {};
    const std::size_t size =
        std::min(text.find_first_not_of(is_digit(text.front()) ? digits : letters), text.size());
    const std::string_view run = text.substr(0, size);
    text.remove_prefix(size);
    return run;
}

std::strong_ordering compare_numbers(std::string_view left, std::string_view right) {
    left.remove_prefix(std::min(left.find_first_not_of('0'), left.size()));
    right.remove_prefix(std::min(right.find_first_not_of('0'), right.size()));
    if (const auto by_size = left.size() <=> right.size(); by_size != 0)
        return by_size;
    return left <=> right;
}

} // namespace

std::weak_ordering compare_versions(std::string_view left, std::string_view right) {
    while (true) {
        const std::string_view a = take_run(left);
        const std::string_view b = take_run(right);
        if (a.empty() || b.empty())
            return b.empty() <=> a.empty();
        const bool both_numbers = is_digit(a.front()) && is_digit(b.front());
        if (const auto order = both_numbers ? compare_numbers(a, b) : a <=> b; order != 0)
            return order;
    }
}

} // namespace slotwitness::profiles
