#include "canonical.hpp"

#include "utf8.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <stdexcept>
#include <string_view>
#include <vector>

namespace slotwitness::journal {

namespace {

using nlohmann::json;

constexpr std::int64_t largest_integer = (std::int64_t{1} << 53) - 1;

/// RFC 8785, 3.2.3: names in the order of their UTF-16 code units. In UTF-8 that is the order of
/// bytes, save that U+E000…U+FFFF (lead bytes EE, EF) come after all that UTF-16 writes as
/// surrogates (F0…F4).
bool utf16_less(std::string_view left, std::string_view right) {
    const auto rank = [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte == 0xEE || byte == 0xEF ? byte + 0x10 : int{byte};
    };
    return std::ranges::lexicographical_compare(left, right,
                                                [&](char a, char b) { return rank(a) < rank(b); });
}

/// ECMAScript Number::toString, which RFC 8785, 3.2.2.3 prescribes.
void write_double(std::string& out, double value) {
    if (!std::isfinite(value))
        throw std::invalid_argument("canonical JSON: a number is not finite");
    if (value == 0) {
        out += '0';
        return;
    }
    std::array<char, 32> buffer{};
    const auto written = std::to_chars(buffer.data(), buffer.data() + buffer.size(),
                                       std::abs(value), std::chars_format::scientific);
    std::string_view text(buffer.data(), static_cast<std::size_t>(written.ptr - buffer.data()));
    const std::size_t e = text.find('e');
    int exponent = 0;
    const std::size_t digits_of_exponent = e + (text[e + 1] == '+' ? 2 : 1);
    std::from_chars(text.data() + digits_of_exponent, text.data() + text.size(), exponent);
    std::string digits(1, text[0]);
    if (e > 2)
        digits += text.substr(2, e - 2);

    // The value is 0.digits × 10^point.
    const int point = exponent + 1;
    const int count = static_cast<int>(digits.size());
    const auto at = static_cast<std::size_t>(point);
    if (value < 0)
        out += '-';
    if (count <= point && point <= 21) {
        out += digits + std::string(at - digits.size(), '0');
    } else if (0 < point && point <= 21) {
        out += digits.substr(0, at) + '.' + digits.substr(at);
    } else if (-6 < point && point <= 0) {
        out += "0." + std::string(static_cast<std::size_t>(-point), '0') + digits;
    } else {
        out += digits[0];
        if (count > 1)
            out += '.' + digits.substr(1);
        out += exponent < 0 ? "e-" : "e+";
        out += std::to_string(std::abs(exponent));
    }
}

void write(std::string& out, const json& value);

void write_object(std::string& out, const json& value) {
    std::vector<std::pair<std::string_view, const json*>> members;
    members.reserve(value.size());
    for (const auto& [name, member] : value.items())
        members.emplace_back(name, &member);
    std::ranges::sort(members,
                      [](const auto& a, const auto& b) { return utf16_less(a.first, b.first); });
    char separator = '{';
    for (const auto& [name, member] : members) {
        out += separator;
        append_canonical(out, name);
        out += ':';
        write(out, *member);
        separator = ',';
    }
    out += members.empty() ? "{}" : "}";
}

void write_array(std::string& out, const json& value) {
    char separator = '[';
    for (const json& element : value) {
        out += separator;
        write(out, element);
        separator = ',';
    }
    out += value.empty() ? "[]" : "]";
}

[[noreturn]] void refuse_integer(const std::string& value) {
    throw std::invalid_argument("canonical JSON: " + value +
                                " is beyond 2^53 - 1, write it as a string");
}

void write(std::string& out, const json& value) {
    switch (value.type()) {
    case json::value_t::null:
        out += "null";
        return;
    case json::value_t::boolean:
        out += value.get<bool>() ? "true" : "false";
        return;
    case json::value_t::string:
        append_canonical(out, value.get_ref<const std::string&>());
        return;
    case json::value_t::object:
        write_object(out, value);
        return;
    case json::value_t::array:
        write_array(out, value);
        return;
    case json::value_t::number_float:
        write_double(out, value.get<double>());
        return;
    case json::value_t::number_unsigned: {
        const auto number = value.get<std::uint64_t>();
        if (number > static_cast<std::uint64_t>(largest_integer))
            refuse_integer(std::to_string(number));
        out += std::to_string(number);
        return;
    }
    case json::value_t::number_integer: {
        const auto number = value.get<std::int64_t>();
        if (number > largest_integer || number < -largest_integer)
            refuse_integer(std::to_string(number));
        out += std::to_string(number);
        return;
    }
    case json::value_t::binary:
    case json::value_t::discarded:
        break;
    }
    throw std::invalid_argument("canonical JSON: a value is not JSON");
}

/// What cannot stand for itself in a string.
bool is_escaped(char c) {
    return c == '"' || c == '\\' || static_cast<unsigned char>(c) < 0x20;
}

void append_escaped(std::string& out, char c) {
    constexpr std::string_view hex = "0123456789abcdef";
    switch (c) {
    case '"':
        out += "\\\"";
        break;
    case '\\':
        out += "\\\\";
        break;
    case '\b':
        out += "\\b";
        break;
    case '\t':
        out += "\\t";
        break;
    case '\n':
        out += "\\n";
        break;
    case '\f':
        out += "\\f";
        break;
    case '\r':
        out += "\\r";
        break;
    default:
        out += "\\u00";
        out += hex[static_cast<unsigned char>(c) >> 4];
        out += hex[static_cast<unsigned char>(c) & 0xF];
    }
}

} // namespace

void append_canonical(std::string& out, std::string_view text) {
    if (!is_utf8(text))
        throw std::invalid_argument("canonical JSON: \"" + as_utf8(text) + "\" is not UTF-8");
    out += '"';
    while (!text.empty()) {
        const auto escaped = std::ranges::find_if(text, is_escaped);
        const auto plain = static_cast<std::size_t>(escaped - text.begin());
        out += text.substr(0, plain);
        text.remove_prefix(plain);
        if (!text.empty()) {
            append_escaped(out, text.front());
            text.remove_prefix(1);
        }
    }
    out += '"';
}

std::string canonical(const json& value) {
    std::string out;
    write(out, value);
    return out;
}

} // namespace slotwitness::journal
