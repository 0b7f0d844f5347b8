#include <slotwitness/units/quantity.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <limits>

namespace slotwitness::units {
namespace {

Decimal of(std::int64_t coefficient, int exponent) {
    const auto value = Decimal::of(coefficient, exponent);
    EXPECT_TRUE(value.has_value());
    return value.value_or(Decimal{});
}

rc::Gen<Decimal> any_decimal() {
    return rc::gen::map(
        rc::gen::suchThat(
            rc::gen::pair(
                rc::gen::inRange<std::int64_t>(-999'999'999'999'999'999, 1'000'000'000'000'000'000),
                rc::gen::inRange(-18, 19)),
            [](const auto& parts) { return Decimal::of(parts.first, parts.second).has_value(); }),
        [](const auto& parts) { return *Decimal::of(parts.first, parts.second); });
}

TEST(Decimals, are_kept_normal) {
    EXPECT_EQ(of(1200, 0), of(12, 2));
    EXPECT_EQ(of(1280, -2).coefficient(), 128);
    EXPECT_EQ(of(1280, -2).exponent(), -1);
    EXPECT_EQ(of(0, 17), Decimal{});
    EXPECT_EQ(of(-4'000'000'000'000'000'000, 0), of(-4, 18));
}

TEST(Decimals, outside_their_bounds_are_nothing) {
    EXPECT_EQ(Decimal::of(1, 19), std::nullopt);
    EXPECT_EQ(Decimal::of(1, -19), std::nullopt);
    EXPECT_EQ(Decimal::of(1'000'000'000'000'000'001, 0), std::nullopt);
    EXPECT_EQ(Decimal::of(std::numeric_limits<std::int64_t>::min(), 0), std::nullopt);
    EXPECT_EQ(Decimal::of(10, std::numeric_limits<int>::max()), std::nullopt);
    EXPECT_EQ(Decimal::of(0, std::numeric_limits<int>::min()), Decimal{});
}

TEST(Decimals, are_read_from_plain_digits_alone) {
    EXPECT_EQ(Decimal::parse("38"), of(38, 0));
    EXPECT_EQ(Decimal::parse("-0.5"), of(-5, -1));
    EXPECT_EQ(Decimal::parse("+12.80"), of(128, -1));
    EXPECT_EQ(Decimal::parse("000"), Decimal{});
    EXPECT_EQ(Decimal::parse("-0"), Decimal{});
    EXPECT_EQ(Decimal::parse("0.000000000000000001"), of(1, -18));
    EXPECT_EQ(Decimal::parse("999999999999999999"), of(999'999'999'999'999'999, 0));
    EXPECT_EQ(Decimal::parse("1000000000000000000000"), std::nullopt);
    for (const char* text :
         {"", "-", ".", "5.", ".5", "1.2.3", "1e3", "1,000", " 1", "1 ", "0x1", "٣"})
        EXPECT_EQ(Decimal::parse(text), std::nullopt) << text;
}

TEST(Decimals, are_printed_without_exponents) {
    EXPECT_EQ(of(128, -1).to_text(), "12.8");
    EXPECT_EQ(of(4, 11).to_text(), "400000000000");
    EXPECT_EQ(of(-5, -3).to_text(), "-0.005");
    EXPECT_EQ(Decimal{}.to_text(), "0");
}

TEST(Decimals, read_back_what_they_print) {
    EXPECT_TRUE(rc::check([] {
        const Decimal value = *any_decimal();
        RC_ASSERT(Decimal::parse(value.to_text()) == value);
    }));
}

TEST(Decimals, compare_as_long_division_of_their_digits_does) {
    EXPECT_LT(of(1, -18), of(1, 18));
    EXPECT_LT(of(-1, 18), of(1, -18));
    EXPECT_LT(of(-1, 18), of(-1, -18));
    EXPECT_LT(of(449, -1), of(45, 0));
    EXPECT_LT(of(999'999'999'999'999'999, 0), of(1, 18));
    EXPECT_LT(Decimal{}, of(1, -18));
    EXPECT_TRUE(rc::check([] {
        const Decimal left = *any_decimal();
        const Decimal right = *any_decimal();
        // An independent way: both printed with 18 places and as many leading zeros, compared as
        // text.
        const auto padded = [](const Decimal& value) {
            std::string text = value.to_text();
            if (text.front() == '-')
                text.erase(0, 1);
            const std::size_t point = std::min(text.find('.'), text.size());
            const std::string whole = text.substr(0, point);
            const std::string places = point < text.size() ? text.substr(point + 1) : "";
            return std::string(40 - whole.size(), '0') + whole + places +
                   std::string(18 - places.size(), '0');
        };
        const bool left_negative = left.coefficient() < 0;
        const bool right_negative = right.coefficient() < 0;
        const bool below = left_negative != right_negative ? left_negative
                           : left_negative                 ? padded(left) > padded(right)
                                                           : padded(left) < padded(right);
        RC_ASSERT((left < right) == below);
        RC_ASSERT((left == right) ==
                  (padded(left) == padded(right) && left_negative == right_negative));
    }));
}

TEST(Decimals, add_and_multiply_exactly) {
    EXPECT_EQ(Decimal::sum(of(32, 11), of(-32, 11)), Decimal{});
    EXPECT_EQ(Decimal::sum(of(1, -18), Decimal{}), of(1, -18));
    EXPECT_EQ(Decimal::sum(of(1, 17), of(1, 0)), of(100'000'000'000'000'001, 0));
    EXPECT_EQ(Decimal::product(of(12, -1), of(5, -1)), of(6, -1));
    EXPECT_EQ(Decimal::product(of(1, 18), Decimal{}), Decimal{});
    EXPECT_EQ(Decimal::product(of(999'999'999, 0), of(999'999'999, 0)),
              of(999'999'998'000'000'001, 0));
    EXPECT_TRUE(rc::check([] {
        // Whole numbers of 10^-9, in which both fit twice over.
        const auto any = [] {
            return std::pair(*rc::gen::inRange<std::int64_t>(-99'999'999, 100'000'000),
                             *rc::gen::inRange(-9, 1));
        };
        const auto [left, left_exponent] = any();
        const auto [right, right_exponent] = any();
        const auto scaled = [](std::int64_t coefficient, int exponent) {
            for (; exponent > -9; --exponent)
                coefficient *= 10;
            return coefficient;
        };
        RC_ASSERT(Decimal::sum(of(left, left_exponent), of(right, right_exponent)) ==
                  Decimal::of(scaled(left, left_exponent) + scaled(right, right_exponent), -9));
        RC_ASSERT(Decimal::product(of(left, left_exponent), of(right, right_exponent)) ==
                  Decimal::of(left * right, left_exponent + right_exponent));
    }));
}

TEST(Decimals, whose_sum_or_product_has_too_many_digits_have_none) {
    EXPECT_FALSE(Decimal::sum(of(1, 18), of(1, 0))) << "19 digits";
    EXPECT_FALSE(Decimal::sum(of(1, 18), of(1, -18)));
    EXPECT_FALSE(Decimal::sum(of(999'999'999'999'999'999, 0), of(2, 0)));
    EXPECT_EQ(Decimal::sum(of(999'999'999'999'999'999, 0), of(1, 0)), of(1, 18));
    EXPECT_FALSE(Decimal::product(of(1'000'000'001, 0), of(1'000'000'001, 0))) << "19 digits";
    EXPECT_FALSE(Decimal::product(of(1, 10), of(1, 9)));
    EXPECT_FALSE(Decimal::product(of(1, -10), of(1, -9)));
    EXPECT_EQ(Decimal::product(of(2, -18), of(5, 0)), of(1, -17));
}

} // namespace
} // namespace slotwitness::units
