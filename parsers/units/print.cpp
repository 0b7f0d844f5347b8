#include "quantity.hpp"

#include <array>

namespace slotwitness::units {

std::string_view to_text(Unit unit) {
    switch (unit) {
    case Unit::none:
        return "";
    case Unit::celsius:
        return "C";
    case Unit::watts:
        return "W";
    case Unit::volts:
        return "V";
    case Unit::amperes:
        return "A";
    case Unit::hertz:
        return "Hz";
    case Unit::percent:
        return "%";
    case Unit::rpm:
        return "rpm";
    case Unit::cubic_metres_per_minute:
        return "cmm";
    case Unit::bits_per_second:
        return "b/s";
    case Unit::newton_metres:
        return "N·m";
    case Unit::seconds:
        return "s";
    }
    __builtin_unreachable();
}

std::string to_text(const Quantity& quantity) {
    if (quantity.unit == Unit::none)
        return quantity.value.to_text();
    struct Prefix {
        char letter;
        int power;
    };
    static constexpr std::array<Prefix, 4> prefixes{{{'T', 12}, {'G', 9}, {'M', 6}, {'k', 3}}};
    if (quantity.unit == Unit::bits_per_second) {
        const Decimal& value = quantity.value;
        const auto size = value.coefficient() < 0
                              ? Decimal::of(-value.coefficient(), value.exponent())
                              : std::optional{value};
        for (const Prefix& prefix : prefixes) {
            const auto scaled = Decimal::of(value.coefficient(), value.exponent() - prefix.power);
            if (scaled && size && *size >= *Decimal::of(1, prefix.power))
                return scaled->to_text() + ' ' + prefix.letter + "b/s";
        }
    }
    return quantity.value.to_text() + ' ' + std::string{to_text(quantity.unit)};
}

} // namespace slotwitness::units
