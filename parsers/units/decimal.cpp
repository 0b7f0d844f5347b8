#include "quantity.hpp"

#include <cstddef>

namespace slotwitness::units {
namespace {

constexpr std::int64_t limit = 1'000'000'000'000'000'000; // 10^18
constexpr int widest = 18;

__extension__ using Wide = __int128; // holds the product of two coefficients

/// The decimal of any wide coefficient below 10^37, if its digits fit.
std::optional<Decimal> normal(Wide coefficient, int exponent) {
    if (coefficient == 0)
        return Decimal{};
    for (; coefficient % 10 == 0; coefficient /= 10)
        ++exponent;
    if (coefficient <= -limit || coefficient >= limit)
        return std::nullopt;
    return Decimal::of(static_cast<std::int64_t>(coefficient), exponent);
}

} // namespace

std::optional<Decimal> Decimal::of(std::int64_t coefficient, int exponent) {
    Decimal result;
    if (coefficient == 0)
        return result;
    std::int64_t wide_exponent = exponent;
    for (; coefficient % 10 == 0; coefficient /= 10)
        ++wide_exponent;
    if (coefficient <= -limit || coefficient >= limit || wide_exponent < -widest ||
        wide_exponent > widest)
        return std::nullopt;
    result.coefficient_ = coefficient;
    result.exponent_ = static_cast<int>(wide_exponent);
    return result;
}

std::optional<Decimal> Decimal::parse(std::string_view text) {
    const bool negative = text.starts_with('-');
    if (negative || text.starts_with('+'))
        text.remove_prefix(1);

    std::int64_t coefficient = 0;
    std::int64_t zeros = 0; // read, but not yet known to stand before a digit that counts
    std::int64_t fraction = 0;
    bool in_fraction = false;
    bool after_digit = false;
    for (const char byte : text) {
        if (byte == '.') {
            if (in_fraction || !after_digit)
                return std::nullopt;
            in_fraction = true;
            after_digit = false;
            continue;
        }
        if (byte < '0' || byte > '9')
            return std::nullopt;
        after_digit = true;
        fraction += in_fraction ? 1 : 0;
        if (byte == '0') {
            zeros += coefficient == 0 ? 0 : 1;
            continue;
        }
        for (; zeros > 0; --zeros)
            if (__builtin_mul_overflow(coefficient, 10, &coefficient))
                return std::nullopt;
        if (__builtin_mul_overflow(coefficient, 10, &coefficient) ||
            __builtin_add_overflow(coefficient, byte - '0', &coefficient))
            return std::nullopt;
    }
    if (!after_digit)
        return std::nullopt;
    if (coefficient == 0)
        return Decimal{};
    const std::int64_t exponent = zeros - fraction;
    if (exponent < -widest || exponent > widest)
        return std::nullopt;
    return of(negative ? -coefficient : coefficient, static_cast<int>(exponent));
}

std::string Decimal::to_text() const {
    std::string text = std::to_string(coefficient_ < 0 ? -coefficient_ : coefficient_);
    if (exponent_ > 0)
        text.append(static_cast<std::size_t>(exponent_), '0');
    if (exponent_ < 0) {
        const auto places = static_cast<std::size_t>(-exponent_);
        if (text.size() <= places)
            text.insert(0, places + 1 - text.size(), '0');
        text.insert(text.size() - places, 1, '.');
    }
    return coefficient_ < 0 ? '-' + text : text;
}

std::strong_ordering operator<=>(const Decimal& left, const Decimal& right) {
    const auto sign = [](std::int64_t value) { return (value > 0) - (value < 0); };
    const int of_left = sign(left.coefficient_);
    const int of_right = sign(right.coefficient_);
    if (of_left != of_right)
        return of_left <=> of_right;
    const int apart = left.exponent_ - right.exponent_;
    // Coefficients are below 10^18: further apart than that, the exponents decide.
    if (of_left != 0 && apart > widest)
        return of_left <=> 0;
    if (of_left != 0 && apart < -widest)
        return 0 <=> of_left;
    Wide wide_left = left.coefficient_;
    Wide wide_right = right.coefficient_;
    for (int i = 0; i < apart; ++i)
        wide_left *= 10;
    for (int i = 0; i < -apart; ++i)
        wide_right *= 10;
    return wide_left < wide_right   ? std::strong_ordering::less
           : wide_left > wide_right ? std::strong_ordering::greater
                                    : std::strong_ordering::equal;
}

std::optional<Decimal> Decimal::sum(const Decimal& left, const Decimal& right) {
    if (left.coefficient_ == 0 || right.coefficient_ == 0)
        return left.coefficient_ == 0 ? right : left;
    const Decimal& coarse = left.exponent_ > right.exponent_ ? left : right;
    const Decimal& fine = left.exponent_ > right.exponent_ ? right : left;
    const int apart = coarse.exponent_ - fine.exponent_;
    // The last digit of the finer one stays, so the sum has more digits than fit.
    if (apart > widest)
        return std::nullopt;
    Wide coefficient = coarse.coefficient_;
    for (int i = 0; i < apart; ++i)
        coefficient *= 10;
    return normal(coefficient + fine.coefficient_, fine.exponent_);
}

std::optional<Decimal> Decimal::product(const Decimal& left, const Decimal& right) {
    return normal(Wide{left.coefficient_} * right.coefficient_, left.exponent_ + right.exponent_);
}

} // namespace slotwitness::units
