#include "log.hpp"

#include <slotwitness/units/time.hpp>

#include <nlohmann/json.hpp>
#include <spdlog/sinks/stdout_color_sinks.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <atomic>
#include <chrono>
#include <memory>
#include <utility>

namespace slotwitness::log {

namespace {

std::atomic<Form> chosen = Form::text;

spdlog::level::level_enum of_library(Level level) {
    switch (level) {
    case Level::info:
        return spdlog::level::info;
    case Level::warning:
        return spdlog::level::warn;
    case Level::error:
        return spdlog::level::err;
    case Level::critical:
        return spdlog::level::critical;
    }
    return spdlog::level::critical;
}

std::string for_people(const About& about, std::string_view text) {
    return about.chassis.empty() ? std::string{text}
                                 : std::string{about.chassis} + ": " + std::string{text};
}

} // namespace

std::string_view to_word(Event event) {
    switch (event) {
    case Event::access:
        return "access";
    case Event::certificate:
        return "certificate";
    case Event::connection:
        return "connection";
    case Event::defect:
        return "defect";
    case Event::evidence:
        return "evidence";
    case Event::identity:
        return "identity";
    case Event::journal:
        return "journal";
    case Event::request:
        return "request";
    case Event::look:
        return "look";
    case Event::refused:
        return "refused";
    case Event::session:
        return "session";
    case Event::software:
        return "software";
    case Event::stop:
        return "stop";
    case Event::switchover:
        return "switchover";
    }
    return "";
}

std::string_view to_word(Level level) {
    switch (level) {
    case Level::info:
        return "info";
    case Level::warning:
        return "warning";
    case Level::error:
        return "error";
    case Level::critical:
        return "critical";
    }
    return "";
}

std::string json_line(std::int64_t since_epoch, Level level, Event event, const About& about,
                      std::string_view text) {
    nlohmann::ordered_json line{
        {"time", units::to_rfc3339(units::Instant{units::Duration{since_epoch}})},
        {"level", to_word(level)},
        {"event", to_word(event)}};
    if (!about.chassis.empty())
        line["chassis"] = about.chassis;
    for (const Field& field : about.fields)
        std::visit([&](const auto& value) { line[std::string{field.key}] = value; }, field.value);
    line["text"] = text;
    return line.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

void tell(Level level, Event event, const About& about, std::string_view text) {
    if (!spdlog::should_log(of_library(level)))
        return;
    const auto now =
        std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    const std::string line =
        chosen == Form::json ? json_line(now.time_since_epoch().count(), level, event, about, text)
                             : for_people(about, text);
    spdlog::log(of_library(level), "{}", line);
}

void begin(Form form) {
    chosen = form;
    spdlog::sink_ptr lines;
    switch (form) {
    case Form::text:
        lines = std::make_shared<spdlog::sinks::stderr_color_sink_mt>();
        break;
    case Form::json:
        lines = std::make_shared<spdlog::sinks::stderr_sink_mt>();
        lines->set_pattern("%v"); // the line is whole, and no colour stands in it
        break;
    }
    spdlog::set_default_logger(std::make_shared<spdlog::logger>("slotwitness", std::move(lines)));
}

void tell_warnings_alone() {
    spdlog::set_level(spdlog::level::warn);
}

} // namespace slotwitness::log
