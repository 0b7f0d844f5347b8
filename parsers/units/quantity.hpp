#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::units {

/// An exact decimal number: coefficient × 10^exponent. Kept normal: no trailing zero in the
/// coefficient, exponent 0 for zero, |coefficient| < 10^18, exponent in [-18, 18].
class Decimal {
  public:
    constexpr Decimal() = default;
    /// Nothing if the value does not fit the bounds above.
    [[nodiscard]] static std::optional<Decimal> of(std::int64_t coefficient, std::int64_t exponent);
    /// Digits with an optional sign and one decimal point: "38", "-0.5", "12.80". Nothing else.
    [[nodiscard]] static std::optional<Decimal> parse(std::string_view text);
    /// The same for the sign, digits and points at the beginning of `text`, which are taken away
    /// from it whether or not they are a number.
    [[nodiscard]] static std::optional<Decimal> take(std::string_view& text);

    [[nodiscard]] std::int64_t coefficient() const { return coefficient_; }
    [[nodiscard]] int exponent() const { return exponent_; }
    /// Without exponent notation: "12.8", "400000000000".
    [[nodiscard]] std::string to_text() const;

    friend bool operator==(const Decimal&, const Decimal&) = default;
    friend std::strong_ordering operator<=>(const Decimal& left, const Decimal& right);

    /// Times 10^places; nothing if it does not fit the bounds above.
    [[nodiscard]] std::optional<Decimal> shifted(int places) const;
    /// The exact sum or product; nothing if it does not fit the bounds above.
    [[nodiscard]] static std::optional<Decimal> sum(const Decimal& left, const Decimal& right);
    [[nodiscard]] static std::optional<Decimal> product(const Decimal& left, const Decimal& right);

  private:
    std::int64_t coefficient_ = 0;
    int exponent_ = 0;
};

/// What is measured, in base units: prefixes (k, M, G, T, m) are folded into the value.
/// The sensor units are those of RFC 8348 sensor-value-type; the rest are what routers print.
enum class Unit {
    none,                    ///< a bare number: counters, counts
    celsius,                 ///< °C
    watts,                   ///< W
    volts,                   ///< V
    amperes,                 ///< A
    hertz,                   ///< Hz
    percent,                 ///< % (of what, the fact says)
    rpm,                     ///< revolutions a minute
    cubic_metres_per_minute, ///< cmm
    bits_per_second,         ///< b/s
    newton_metres,           ///< N·m
    seconds,                 ///< s
};

/// "C", "W", "V", "A", "Hz", "%", "rpm", "cmm", "b/s", "N·m", "s", "".
[[nodiscard]] std::string_view to_text(Unit unit);

struct Quantity {
    Decimal value; ///< in `unit`, prefix applied: 1.2 kW is 1200 W
    Unit unit = Unit::none;
    friend bool operator==(const Quantity&, const Quantity&) = default;
};

/// A number with its unit as devices and people write it: "38C", "38.5 °C", "1.2 kW", "400G",
/// "12.8 Tb/s", "7200 rpm", "0.9 N·m", "8 lbf·in", "25 %", "12". "400G" alone is a rate in b/s.
/// A pound-force inch is 0.1129848290276 N·m (NIST SP 811). Spans of time become seconds: "4 min 12
/// s", "3d04h", "up 3d04h", "1 week, 2 days", "00:12:31". Nothing if it is not one.
[[nodiscard]] std::optional<Quantity> parse_quantity(std::string_view text);

/// "38.5 C", "1200 W", "12.8 Tb/s" (rates with the largest prefix that keeps the number ≥ 1).
[[nodiscard]] std::string to_text(const Quantity& quantity);

} // namespace slotwitness::units
