#include "time.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdio>

namespace slotwitness::units {
namespace {

struct Step {
    std::string_view word;
    std::int64_t milliseconds;
};
constexpr std::array<Step, 5> falling{
    {{"d", 86'400'000}, {"h", 3'600'000}, {"min", 60'000}, {"s", 1'000}, {"ms", 1}}};

constexpr std::string_view digits = "0123456789";

std::string_view take_while(std::string_view& text, std::string_view of) {
    const std::string_view taken = text.substr(0, text.find_first_not_of(of));
    text.remove_prefix(taken.size());
    return taken;
}

std::optional<std::int64_t> to_number(std::string_view digits_only) {
    std::int64_t value = 0;
    for (const char digit : digits_only)
        if (__builtin_mul_overflow(value, 10, &value) ||
            __builtin_add_overflow(value, digit - '0', &value))
            return std::nullopt;
    return value;
}

} // namespace

std::string to_rfc3339(Instant at) {
    using namespace std::chrono;
    // RFC 3339 has four digits for the year: what lies outside is shown as the nearest that it has.
    constexpr sys_time<milliseconds> first = sys_days{year{0} / 1 / 1};
    constexpr sys_time<milliseconds> last = sys_days{year{9999} / 12 / 31} + 24h - 1ms;
    const auto time = std::clamp(sys_time<milliseconds>{at.time_since_epoch()}, first, last);
    const sys_days day = floor<days>(time);
    const year_month_day date{day};
    const hh_mm_ss clock{time - day};
    std::array<char, 40> text{};
    const int size = std::snprintf(
        text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ", int{date.year()},
        unsigned{date.month()}, unsigned{date.day()}, static_cast<int>(clock.hours().count()),
        static_cast<int>(clock.minutes().count()), static_cast<int>(clock.seconds().count()),
        static_cast<int>(clock.subseconds().count()));
    return {text.data(), static_cast<std::size_t>(size)};
}

std::optional<Duration> parse_duration(std::string_view text) {
    std::int64_t sum = 0;
    auto next = falling.begin();
    do {
        const std::string_view number = take_while(text, digits);
        take_while(text, " ");
        const std::string_view word = take_while(text, "abcdefghijklmnopqrstuvwxyz");
        const auto step =
            std::find_if(next, falling.end(), [&](const Step& s) { return s.word == word; });
        const auto count = to_number(number);
        std::int64_t part = 0;
        if (number.empty() || !count || step == falling.end() ||
            __builtin_mul_overflow(*count, step->milliseconds, &part) ||
            __builtin_add_overflow(sum, part, &sum))
            return std::nullopt;
        next = step + 1;
        if (text.empty())
            return Duration{sum};
        take_while(text, " ");
    } while (true);
}

std::string to_text(Duration duration) {
    std::string text;
    std::int64_t rest = duration.count();
    for (const Step& step : falling) {
        if (rest < step.milliseconds)
            continue;
        text += text.empty() ? "" : " ";
        text += std::to_string(rest / step.milliseconds);
        text += ' ';
        text += step.word;
        rest %= step.milliseconds;
    }
    return text.empty() ? "0 s" : text;
}

} // namespace slotwitness::units
