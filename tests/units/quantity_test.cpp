#include <slotwitness/units/quantity.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <vector>

namespace slotwitness::units {
namespace {

struct Case {
    const char* text;
    const char* value;
    Unit unit;
};

TEST(Quantities, are_read_as_devices_and_people_write_them) {
    const std::vector<Case> cases{
        {"12", "12", Unit::none},
        {"38C", "38", Unit::celsius},
        {"38.5 °C", "38.5", Unit::celsius},
        {"-5 C", "-5", Unit::celsius},
        {"1.2 kW", "1200", Unit::watts},
        {"850 mW", "0.85", Unit::watts},
        {"12 V", "12", Unit::volts},
        {"3300 mV", "3.3", Unit::volts},
        {"2.5 A", "2.5", Unit::amperes},
        {"50 Hz", "50", Unit::hertz},
        {"25 %", "25", Unit::percent},
        {"25%", "25", Unit::percent},
        {"7200 rpm", "7200", Unit::rpm},
        {"3 cmm", "3", Unit::cubic_metres_per_minute},
        {"400G", "400000000000", Unit::bits_per_second},
        {"12.8 Tb/s", "12800000000000", Unit::bits_per_second},
        {"100Mbps", "100000000", Unit::bits_per_second},
        {"64 kbit/s", "64000", Unit::bits_per_second},
        {"0.9 N·m", "0.9", Unit::newton_metres},
        // 8 × 0.1129848290276 N·m (NIST SP 811, appendix B.8: pound-force inch).
        {"8 lbf·in", "0.9038786322208", Unit::newton_metres},
        {"12.5 s", "12.5", Unit::seconds},
        {"250 ms", "0.25", Unit::seconds},
        {"3d04h", "273600", Unit::seconds},
        {"up 3d04h", "273600", Unit::seconds},
        {"4 min 12 s", "252", Unit::seconds},
        {"5m 3s", "303", Unit::seconds},
        {"1 week, 2 days", "777600", Unit::seconds},
        {"2 days", "172800", Unit::seconds},
        {"00:12:31", "751", Unit::seconds},
        {"100:00:00", "360000", Unit::seconds},
    };
    for (const Case& one : cases) {
        const auto quantity = parse_quantity(one.text);
        ASSERT_TRUE(quantity) << one.text;
        EXPECT_EQ(quantity->value.to_text(), one.value) << one.text;
        EXPECT_EQ(quantity->unit, one.unit) << one.text;
    }
}

TEST(Quantities, that_could_mean_several_things_are_none) {
    for (const char* text : {"",           " ",
                             "C",          "12 ",
                             " 12",        "1 2",
                             "12 m",       "12:31",
                             "4:61:00",    "4:00:7",
                             "1,200 W",    "12 foo",
                             "12 Kelvin",  "3d 4d",
                             "4h 3d",      "1.5d 3h",
                             "3d -4h",     "up",
                             "up 5 C",     "1e3 W",
                             "0x10",       "--5",
                             "5 C C",      "N/A",
                             "12\xff",     "9999999999999999999",
                             "10000000 T", "1000000000000000000 d"})
        EXPECT_EQ(parse_quantity(text), std::nullopt) << '"' << text << '"';
}

TEST(Quantities, are_printed_in_base_units_and_rates_with_their_largest_prefix) {
    const auto shown = [](const char* text) { return to_text(parse_quantity(text).value()); };
    EXPECT_EQ(shown("38.5 °C"), "38.5 C");
    EXPECT_EQ(shown("1.2 kW"), "1200 W");
    EXPECT_EQ(shown("12800 Gb/s"), "12.8 Tb/s");
    EXPECT_EQ(shown("400G"), "400 Gb/s");
    EXPECT_EQ(shown("1500 b/s"), "1.5 kb/s");
    EXPECT_EQ(shown("999 b/s"), "999 b/s");
    EXPECT_EQ(shown("0 b/s"), "0 b/s");
    EXPECT_EQ(shown("12"), "12");
}

TEST(Quantities, read_back_what_they_print) {
    EXPECT_TRUE(rc::check([] {
        const auto coefficient =
            *rc::gen::inRange<std::int64_t>(-999'999'999'999, 1'000'000'000'000);
        const auto value = Decimal::of(coefficient, *rc::gen::inRange(-6, 7));
        const auto unit =
            static_cast<Unit>(*rc::gen::inRange(0, static_cast<int>(Unit::seconds) + 1));
        RC_PRE(value.has_value());
        const Quantity quantity{*value, unit};
        RC_ASSERT(parse_quantity(to_text(quantity)) == quantity);
    }));
}

TEST(Quantities, of_any_bytes_are_read_or_refused_without_harm) {
    EXPECT_TRUE(rc::check([](const std::string& bytes) {
        const auto quantity = parse_quantity(bytes);
        if (quantity)
            RC_ASSERT(parse_quantity(to_text(*quantity)) == *quantity);
    }));
}

} // namespace
} // namespace slotwitness::units
