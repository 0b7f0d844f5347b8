#include "quantity.hpp"

#include <algorithm>
#include <array>

namespace slotwitness::units {
namespace {

/// One way to write a unit: the value is multiplied by coefficient × 10^exponent.
struct Spelling {
    std::string_view text;
    Unit unit;
    std::int64_t coefficient = 1;
    int exponent = 0;
};

// Trade spellings beside those of the SI and of RFC 8348: common practice, no source.
constexpr auto spellings = std::to_array<Spelling>({
    {"C", Unit::celsius},
    {"°C", Unit::celsius},
    {"℃", Unit::celsius},
    {"mW", Unit::watts, 1, -3},
    {"W", Unit::watts},
    {"kW", Unit::watts, 1, 3},
    {"MW", Unit::watts, 1, 6},
    {"mV", Unit::volts, 1, -3},
    {"V", Unit::volts},
    {"kV", Unit::volts, 1, 3},
    {"mA", Unit::amperes, 1, -3},
    {"A", Unit::amperes},
    {"kA", Unit::amperes, 1, 3},
    {"Hz", Unit::hertz},
    {"kHz", Unit::hertz, 1, 3},
    {"MHz", Unit::hertz, 1, 6},
    {"GHz", Unit::hertz, 1, 9},
    {"%", Unit::percent},
    {"rpm", Unit::rpm},
    {"RPM", Unit::rpm},
    {"cmm", Unit::cubic_metres_per_minute},
    {"N·m", Unit::newton_metres},
    {"N⋅m", Unit::newton_metres},
    {"Nm", Unit::newton_metres},
    // A pound-force inch: NIST SP 811, appendix B.8.
    {"lbf·in", Unit::newton_metres, 1'129'848'290'276, -13},
    {"lbf⋅in", Unit::newton_metres, 1'129'848'290'276, -13},
    {"lbf-in", Unit::newton_metres, 1'129'848'290'276, -13},
    {"in-lb", Unit::newton_metres, 1'129'848'290'276, -13},
});

/// Names of spans of time, longest span first.
struct Span {
    std::int64_t seconds;
    int exponent;
    std::array<std::string_view, 4> names;
};
constexpr auto spans = std::to_array<Span>({
    {604'800, 0, {"w", "week", "weeks", "wk"}},
    {86'400, 0, {"d", "day", "days", "dy"}},
    {3'600, 0, {"h", "hour", "hours", "hr"}},
    {60, 0, {"min", "minute", "minutes", "m"}},
    {1, 0, {"s", "second", "seconds", "sec"}},
    {1, -3, {"ms", "millisecond", "milliseconds", "msec"}},
});

std::optional<Decimal> times(const Decimal& value, std::int64_t coefficient, int exponent) {
    if (coefficient == 1)
        return value.shifted(exponent);
    std::int64_t product = 0;
    if (__builtin_mul_overflow(value.coefficient(), coefficient, &product))
        return std::nullopt;
    return Decimal::of(product, value.exponent() + exponent);
}

std::optional<Decimal> plus(const Decimal& left, const Decimal& right) {
    const int exponent = std::min(left.exponent(), right.exponent());
    const auto at_exponent = [&](const Decimal& value) -> std::optional<std::int64_t> {
        std::int64_t coefficient = value.coefficient();
        for (int i = exponent; i < value.exponent(); ++i)
            if (__builtin_mul_overflow(coefficient, 10, &coefficient))
                return std::nullopt;
        return coefficient;
    };
    const auto first = at_exponent(left);
    const auto second = at_exponent(right);
    std::int64_t sum = 0;
    if (!first || !second || __builtin_add_overflow(*first, *second, &sum))
        return std::nullopt;
    return Decimal::of(sum, exponent);
}

std::string_view take_number(std::string_view& text) {
    const std::size_t sign = text.starts_with('-') || text.starts_with('+') ? 1 : 0;
    std::size_t end = sign;
    while (end < text.size() && ((text[end] >= '0' && text[end] <= '9') || text[end] == '.'))
        ++end;
    const std::string_view number = text.substr(0, end);
    text.remove_prefix(end);
    return number;
}

void skip_blanks(std::string_view& text) {
    while (text.starts_with(' '))
        text.remove_prefix(1);
}

int power_of(char prefix) {
    switch (prefix) {
    case 'k':
    case 'K':
        return 3;
    case 'M':
        return 6;
    case 'G':
        return 9;
    case 'T':
        return 12;
    default:
        return 0;
    }
}

/// "400G", "12.8 Tb/s", "100Mbps": what stands after the number.
std::optional<int> rate_exponent(std::string_view unit) {
    const int power = unit.empty() ? 0 : power_of(unit.front());
    if (power != 0)
        unit.remove_prefix(1);
    const bool is_rate = unit.empty() || unit == "b/s" || unit == "bps" || unit == "bit/s";
    return is_rate ? std::optional{power} : std::nullopt;
}

std::optional<Quantity> in_seconds(std::optional<Decimal> value) {
    return value ? std::optional{Quantity{*value, Unit::seconds}} : std::nullopt;
}

/// "3d04h", "4 min 12 s", "1 week, 2 days": units in falling order, a fraction only in the last.
std::optional<Quantity> parse_span(std::string_view text) {
    std::optional<Decimal> sum = Decimal{};
    auto next = spans.begin();
    bool alone = true;
    do {
        const std::string_view digits = take_number(text);
        const auto number = Decimal::parse(digits);
        skip_blanks(text);
        const std::string_view name = text.substr(0, text.find_first_of(" ,0123456789"));
        text.remove_prefix(name.size());
        const auto span = std::find_if(next, spans.end(), [&](const Span& s) {
            return std::find(s.names.begin(), s.names.end(), name) != s.names.end();
        });
        if (!number || name.empty() || span == spans.end())
            return std::nullopt;
        const bool last = text.empty();
        // A metre, a milli, a month: "m" is minutes only among other spans of time.
        if (alone && last && name == "m")
            return std::nullopt;
        if ((!last || !alone) && (digits.front() == '-' || digits.front() == '+'))
            return std::nullopt;
        if (!last && digits.find('.') != std::string_view::npos)
            return std::nullopt;
        const auto part = times(*number, span->seconds, span->exponent);
        sum = part ? plus(*sum, *part) : std::nullopt;
        if (!sum || last)
            return in_seconds(sum);
        next = span + 1;
        alone = false;
        if (text.starts_with(','))
            text.remove_prefix(1);
        skip_blanks(text);
    } while (true);
}

/// "00:12:31": hours, minutes, seconds. Two fields alone could be either pair, so they are not
/// read.
std::optional<Quantity> parse_clock(std::string_view text) {
    const std::size_t first = text.find(':');
    const std::size_t second = text.find(':', first + 1);
    if (first == std::string_view::npos || second == std::string_view::npos)
        return std::nullopt;
    const std::array<std::string_view, 3> fields{
        text.substr(0, first), text.substr(first + 1, second - first - 1), text.substr(second + 1)};
    static constexpr std::array<std::int64_t, 3> seconds{3'600, 60, 1};
    std::optional<Decimal> sum = Decimal{};
    for (std::size_t i = 0; i < fields.size() && sum; ++i) {
        const std::string_view field = fields.at(i);
        const bool is_two_digits = i == 0 || field.size() == 2;
        const bool below_sixty = i == 0 || (!field.empty() && field.front() < '6');
        if (field.find_first_not_of("0123456789") != std::string_view::npos || !is_two_digits ||
            !below_sixty)
            return std::nullopt;
        const auto number = Decimal::parse(field);
        const auto part = number ? times(*number, seconds.at(i), 0) : std::nullopt;
        sum = part ? plus(*sum, *part) : std::nullopt;
    }
    return in_seconds(sum);
}

std::optional<Quantity> parse_uptime(std::string_view text) {
    const auto span = parse_span(text);
    return span ? span : parse_clock(text);
}

} // namespace

std::optional<Quantity> parse_quantity(std::string_view text) {
    std::string_view unit = text;
    const auto number = Decimal::take(unit);
    if (!number)
        return text.starts_with("up ") ? parse_uptime(text.substr(3)) : parse_clock(text);
    if (!unit.empty()) {
        skip_blanks(unit);
        if (unit.empty())
            return std::nullopt;
    }
    if (unit.empty())
        return Quantity{*number, Unit::none};
    // No rate is written as another unit is, and rates are quickly told.
    if (const auto power = rate_exponent(unit)) {
        const auto value = number->shifted(*power);
        return value ? std::optional{Quantity{*value, Unit::bits_per_second}} : std::nullopt;
    }
    const auto spelling = std::find_if(spellings.begin(), spellings.end(),
                                       [&](const Spelling& s) { return s.text == unit; });
    if (spelling != spellings.end()) {
        const auto value = times(*number, spelling->coefficient, spelling->exponent);
        return value ? std::optional{Quantity{*value, spelling->unit}} : std::nullopt;
    }
    return parse_uptime(text);
}

} // namespace slotwitness::units
