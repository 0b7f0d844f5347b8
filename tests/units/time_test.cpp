#include <slotwitness/units/time.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <limits>

namespace slotwitness::units {
namespace {

using namespace std::chrono_literals;

Instant at(Duration since_epoch) {
    return Instant{since_epoch};
}

TEST(Durations, are_read_as_people_write_them) {
    EXPECT_EQ(parse_duration("10 s"), 10s);
    EXPECT_EQ(parse_duration("1 h 30 min"), 90min);
    EXPECT_EQ(parse_duration("250ms"), 250ms);
    EXPECT_EQ(parse_duration("1h30min"), 90min);
    EXPECT_EQ(parse_duration("90 s"), 90s);
    EXPECT_EQ(parse_duration("2 d 3 h 4 min 5 s 6 ms"), 48h + 3h + 4min + 5s + 6ms);
    EXPECT_EQ(parse_duration("0 s"), 0s);
    EXPECT_EQ(parse_duration("007 s"), 7s);
    EXPECT_EQ(parse_duration("9223372036854775807 ms"), Duration::max());
}

TEST(Durations, are_refused_where_they_could_mean_something_else) {
    for (const char* text :
         {"", " ", "10", "s", "10 S", "-5 s", "+5 s", "1.5 s", "5 s 1 h", "5 s 5 s", "10 s ",
          " 10 s", "10 m", "10 sec", "10 s,", "10\ts", "1 h  ", "10 s 5"})
        EXPECT_EQ(parse_duration(text), std::nullopt) << '"' << text << '"';
}

TEST(Durations, that_do_not_fit_milliseconds_are_refused) {
    EXPECT_EQ(parse_duration("9223372036854775808 ms"), std::nullopt);
    EXPECT_EQ(parse_duration("9223372036854775807 s"), std::nullopt);
    EXPECT_EQ(parse_duration("106751991167 d 9223372036854775807 ms"), std::nullopt);
    EXPECT_EQ(parse_duration("99999999999999999999999 d"), std::nullopt);
}

TEST(Durations, are_printed_with_each_unit_below_the_next) {
    EXPECT_EQ(to_text(10s), "10 s");
    EXPECT_EQ(to_text(90min), "1 h 30 min");
    EXPECT_EQ(to_text(0ms), "0 s");
    EXPECT_EQ(to_text(1500ms), "1 s 500 ms");
    EXPECT_EQ(to_text(24h), "1 d");
}

TEST(Durations, read_back_what_they_print) {
    EXPECT_TRUE(rc::check([] {
        const Duration duration{
            *rc::gen::inRange<std::int64_t>(0, std::numeric_limits<std::int64_t>::max())};
        RC_ASSERT(parse_duration(to_text(duration)) == duration);
    }));
}

TEST(Instants, are_printed_as_rfc_3339) {
    EXPECT_EQ(to_rfc3339(at(0ms)), "1970-01-01T00:00:00.000Z");
    // The examples of RFC 3339, section 5.8: 20 minutes and 50.52 seconds after the 23rd hour of
    // April 12th, 1985, and noon of the first leap day of 2000 from `date -u -d 2000-02-29T12:00Z
    // +%s`.
    EXPECT_EQ(to_rfc3339(at(482'196'050'520ms)), "1985-04-12T23:20:50.520Z");
    EXPECT_EQ(to_rfc3339(at(951'825'600'000ms)), "2000-02-29T12:00:00.000Z");
    EXPECT_EQ(to_rfc3339(at(-1ms)), "1969-12-31T23:59:59.999Z");
}

TEST(Instants, outside_four_digit_years_show_the_nearest_inside) {
    EXPECT_EQ(to_rfc3339(Instant::max()), "9999-12-31T23:59:59.999Z");
    EXPECT_EQ(to_rfc3339(Instant::min()), "0000-01-01T00:00:00.000Z");
}

} // namespace
} // namespace slotwitness::units
