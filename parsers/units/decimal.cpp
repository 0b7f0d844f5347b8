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

std::optional<Decimal> Decimal::of(std::int64_t coefficient, std::int64_t exponent) {
    Decimal result;
    if (coefficient == 0)
        return result;
    for (; coefficient % 10 == 0; coefficient /= 10)
        ++exponent;
    if (coefficient <= -limit || coefficient >= limit || exponent < -widest || exponent > widest)
        return std::nullopt;
    result.coefficient_ = coefficient;
    result.exponent_ = static_cast<int>(exponent);
    return result;
}

std::optional<Decimal> Decimal::shifted(int places) const {
    const int exponent = exponent_ + places;
    if (coefficient_ == 0)
        return *this;
    if (exponent < -widest || exponent > widest)
        return std::nullopt;
    Decimal result = *this;
    result.exponent_ = exponent;
    return result;
}

std::optional<Decimal> Decimal::take(std::string_view& text) {
    const char* at = text.data();
    const char* const end = at + text.size();
    const bool negative = at != end && *at == '-';
    if (negative || (at != end && *at == '+'))
        ++at;

    const char* const first = at;
    const char* point = nullptr;
    std::int64_t coefficient = 0;
    std::int64_t beyond = 0; // eighteen digits: zeros there are no digits too many
    bool fits = true;
    for (; at != end; ++at) {
        if (*at >= '0' && *at <= '9') {
            if (coefficient < limit / 10) {
                coefficient = 10 * coefficient + (*at - '0');
            } else {
                fits = fits && *at == '0';
                ++beyond;
            }
        } else if (*at == '.') {
            fits = fits && point == nullptr;
            point = at;
        } else {
            break;
        }
    }
    text.remove_prefix(static_cast<std::size_t>(at - text.data()));
    const std::int64_t fraction = point != nullptr ? at - point - 1 : 0;
    const bool has_whole = (point != nullptr ? point : at) != first;
    if (!fits || !has_whole || (point != nullptr && fraction == 0))
        return std::nullopt;
    return of(negative ? -coefficient : coefficient, beyond - fraction);
}

std::optional<Decimal> Decimal::parse(std::string_view text) {
    const auto value = take(text);
    return text.empty() ? value : std::nullopt;
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
