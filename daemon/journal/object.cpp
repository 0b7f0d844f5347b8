#include "object.hpp"

#include <chrono>
#include <cmath>
#include <string_view>

namespace slotwitness::journal {

using nlohmann::json;
using units::Duration;
using units::Instant;

Object::Object(const json& value, std::string path) : value_(value), path_(std::move(path)) {
    if (!value.is_object())
        throw BadMember{(path_.empty() ? "the line" : "member " + path_) + " is not an object"};
}

std::string Object::path_of(const char* name) const {
    return path_.empty() ? name : path_ + "." + name;
}

void Object::refuse(const char* name, const char* expected) const {
    throw BadMember{"member " + path_of(name) + " is not " + expected};
}

const json& Object::member(const char* name) const {
    const auto found = value_.find(name);
    if (found == value_.end())
        throw BadMember{"member " + path_of(name) + " is missing"};
    return *found;
}

std::vector<Object> Object::objects(const char* name) const {
    const json& value = member(name);
    if (!value.is_array())
        refuse(name, "an array");
    std::vector<Object> out;
    for (std::size_t i = 0; i < value.size(); ++i)
        out.emplace_back(value[i], path_of(name) + "[" + std::to_string(i) + "]");
    return out;
}

const std::string& Object::text(const char* name) const {
    const json& value = member(name);
    if (!value.is_string())
        refuse(name, "a string");
    return value.get_ref<const std::string&>();
}

std::vector<std::string> Object::texts(const char* name) const {
    const json& value = member(name);
    if (!value.is_array())
        refuse(name, "an array of strings");
    std::vector<std::string> out;
    for (const json& element : value) {
        if (!element.is_string())
            refuse(name, "an array of strings");
        out.push_back(element.get<std::string>());
    }
    return out;
}

bool Object::flag(const char* name) const {
    const json& value = member(name);
    if (!value.is_boolean())
        refuse(name, "true or false");
    return value.get<bool>();
}

Instant Object::instant(const char* name) const {
    return Instant{duration(name)};
}

Duration Object::duration(const char* name) const {
    return Duration{number<Duration::rep>(name)};
}

Duration Object::seconds(const char* name) const {
    constexpr double largest =
        4503599627370496; // 2^52: up to here a double holds every millisecond
    const json& value = member(name);
    if (!value.is_number())
        refuse(name, "a number of seconds");
    const double milliseconds = std::round(value.get<double>() * 1000);
    if (std::abs(milliseconds) > largest)
        refuse(name, "a number of seconds below 2^52 milliseconds");
    return Duration{static_cast<Duration::rep>(milliseconds)};
}

Instant Object::rfc3339(const char* name) const {
    const std::string& written = text(name);
    constexpr std::string_view shape = "0000-00-00T00:00:00.000Z";
    bool fits = written.size() == shape.size();
    for (std::size_t i = 0; fits && i < shape.size(); ++i)
        fits = shape[i] == '0' ? written[i] >= '0' && written[i] <= '9' : written[i] == shape[i];
    const auto part = [&written](std::size_t from, std::size_t length) {
        int value = 0;
        std::from_chars(written.data() + from, written.data() + from + length, value);
        return value;
    };
    if (fits) {
        namespace c = std::chrono;
        const c::year_month_day day{c::year{part(0, 4)},
                                    c::month{static_cast<unsigned>(part(5, 2))},
                                    c::day{static_cast<unsigned>(part(8, 2))}};
        const int hour = part(11, 2);
        const int minute = part(14, 2);
        const int second = part(17, 2);
        if (day.ok() && hour < 24 && minute < 60 && second < 60)
            return Instant{c::sys_days{day}.time_since_epoch() + c::hours{hour} +
                           c::minutes{minute} + c::seconds{second} + Duration{part(20, 3)}};
    }
    refuse(name, "a time like 2026-11-25T08:54:17.000Z");
}

} // namespace slotwitness::journal
