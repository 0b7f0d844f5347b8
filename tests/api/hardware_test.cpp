#include "samples.hpp"

#include <slotwitness/api/hardware.hpp>
#include <slotwitness/twins/yanglint.hpp>

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <sstream>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using state::Attribute;
using state::Kind;

const std::filesystem::path hardware_module = twins::Yanglint::hardware_module();
const auto complaint_about = twins::Yanglint::complaint_about;

class hardware : public testing::Test {
  protected:
    hardware() { samples::fill(desk); }
    desk::ChassisView& view() { return desk.chassis_shown[0]; }
    Response get() {
        return std::get<Response>(
            route(samples::request(Method::get, "/v1/chassis/core1/hardware"), desk));
    }
    json component(std::string_view name) {
        const json all = json::parse(get().body);
        for (const json& one : all["ietf-hardware:hardware"]["component"])
            if (one["name"] == name)
                return one;
        return nullptr;
    }
    void add(Kind kind, std::string name, state::Facts facts) {
        view().components.push_back({samples::row(kind, std::move(name), 20, "", std::move(facts)),
                                     "x", "", samples::start - 5s, true});
    }
    boost::asio::io_context io{1};
    FakeDesk desk{io.get_executor()};
};

TEST_F(hardware, tells_components_in_the_words_of_rfc_8348) {
    EXPECT_EQ(get().field("Content-Type"), "application/yang-data+json");
    EXPECT_EQ(component("FAB3"),
              (json{{"name", "FAB3"},
                    {"class", "iana-hardware:module"},
                    {"hardware-rev", "B2"},
                    {"serial-num", "FB00912"},
                    {"model-name", "QF-400"},
                    {"state", {{"admin-state", "unlocked"}, {"oper-state", "enabled"}}}}));
    EXPECT_EQ(component("CTL0")["state"]["standby-state"], "providing-service");
    EXPECT_EQ(component("TRAY1"), (json{{"name", "TRAY1"},
                                        {"class", "iana-hardware:fan"},
                                        {"state", {{"oper-state", "unknown"}}}}));
    // RFC 8348 §7.1, the example of sensor-value-precision: tenths of a degree are precision 1.
    EXPECT_EQ(component("inlet")["sensor-data"],
              (json{{"value", 235},
                    {"value-type", "celsius"},
                    {"value-scale", "units"},
                    {"value-precision", 1},
                    {"units-display", "C"},
                    {"value-timestamp", "2026-11-25T07:59:59.000Z"},
                    {"oper-status", "ok"}}));
}

TEST_F(hardware, leaves_out_what_is_no_component) {
    EXPECT_EQ(component("3"), nullptr);
    EXPECT_EQ(component("17"), nullptr);
    EXPECT_NE(component("QX-8"), nullptr);
}

TEST_F(hardware, without_a_session_no_state_is_told) {
    view().session = desk::Session::lost;
    EXPECT_EQ(component("FAB3")["state"],
              (json{{"admin-state", "unknown"}, {"oper-state", "unknown"}}));
    EXPECT_EQ(component("FAB3")["class"], "iana-hardware:module");
    EXPECT_EQ(component("inlet")["sensor-data"], (json{{"oper-status", "unavailable"}}));
}

TEST_F(hardware, an_answer_that_is_not_whole_confirms_nothing) {
    for (desk::ComponentView& one : view().components)
        one.whole = false;
    EXPECT_EQ(component("FAB3")["state"]["oper-state"], "unknown");
    EXPECT_EQ(component("inlet")["sensor-data"], (json{{"oper-status", "unavailable"}}));
}

TEST_F(hardware, rows_of_one_component_are_joined_and_contradictions_are_unknown) {
    add(Kind::module, "FAB3",
        {{Attribute::oper, {state::OperState::disabled, {20, 1}}},
         {Attribute::admin, {state::AdminState::unlocked, {20, 1}}},
         {Attribute::software_rev, {std::string{"9.1"}, {20, 1}}}});
    const json fab3 = component("FAB3");
    EXPECT_EQ(fab3["state"], (json{{"admin-state", "unlocked"}, {"oper-state", "unknown"}}));
    EXPECT_EQ(fab3["software-rev"], "9.1");
}

TEST_F(hardware, names_are_one_list_without_doubles) { // the list's key
    add(Kind::port, "inlet", {});
    EXPECT_EQ(component("inlet"), nullptr);
    EXPECT_EQ(component("port inlet")["class"], "iana-hardware:port");
    EXPECT_EQ(component("sensor inlet")["class"], "iana-hardware:sensor");
}

TEST_F(hardware, a_sensor_says_why_it_has_no_value) {
    add(Kind::sensor, "outlet", {{Attribute::reading, {state::Unknown{}, {20, 1}}}});
    EXPECT_EQ(component("outlet")["sensor-data"], (json{{"oper-status", "unavailable"}}));
    add(Kind::sensor, "asic",
        {{Attribute::sensor_status, {state::SensorStatus::nonoperational, {20, 1}}}});
    EXPECT_EQ(component("asic")["sensor-data"], (json{{"oper-status", "nonoperational"}}));
}

std::string text_of(const std::filesystem::path& path) {
    std::ifstream file{path};
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

/// The powers of ten of sensor-value-scale, as the module's own descriptions tell them.
std::map<std::string, int> scales_of_the_module() {
    const std::string text = text_of(hardware_module);
    const std::regex entry{
        "enum (\\w+) \\{\\s*value \\d+;\\s*description\\s*\"Data scaling factor of 10\\^(-?\\d+)"};
    std::map<std::string, int> scales;
    for (auto at = std::sregex_iterator{text.begin(), text.end(), entry};
         at != std::sregex_iterator{}; ++at)
        scales[(*at)[1]] = std::stoi((*at)[2]);
    return scales;
}

TEST(sensor_value, means_the_quantity_exactly_by_the_scales_of_the_module) {
    if (!std::filesystem::exists(hardware_module))
        GTEST_SKIP() << "needs " << hardware_module << " (Debian libyuma-base)";
    const auto scales = scales_of_the_module();
    ASSERT_EQ(scales.size(), 17U);
    std::size_t shown = 0;
    for (const std::int64_t coefficient :
         {0L, 1L, -1L, 5L, 235L, 12345L, 999'999'999L, -999'999'999L, 1'000'000'000L,
          1'234'567'891L, 999'999'999'999'999'999L})
        for (int exponent = -18; exponent <= 18; ++exponent) {
            const auto decimal = units::Decimal::of(coefficient, exponent);
            if (!decimal)
                continue;
            const auto value = sensor_value(*decimal);
            if (!value)
                continue;
            ++shown;
            ASSERT_TRUE(scales.contains(std::string{value->scale})) << value->scale;
            EXPECT_LT(std::abs(value->value), 1'000'000'000); // ±10^9 mean over- and underflow
            EXPECT_GE(value->precision, 0);
            EXPECT_LE(value->precision, 9);
            EXPECT_EQ(units::Decimal::of(value->value,
                                         scales.at(std::string{value->scale}) - value->precision),
                      decimal)
                << decimal->to_text();
        }
    EXPECT_GT(shown, 200U);
}

TEST(sensor_value, is_near_to_units_where_it_can_be) {
    const auto of = [](const char* text) { return *sensor_value(*units::Decimal::parse(text)); };
    EXPECT_EQ(of("0"), (SensorValue{0, "units", 0}));
    EXPECT_EQ(of("-40.25"), (SensorValue{-4025, "units", 2}));
    EXPECT_EQ(of("1200"), (SensorValue{1200, "units", 0}));
    EXPECT_EQ(of("1000000000"), (SensorValue{1'000'000, "kilo", 0}));
    EXPECT_EQ(of("12800000000000"), (SensorValue{12'800'000, "mega", 0}));
    EXPECT_EQ(of("0.0000000001"), (SensorValue{1, "milli", 7}));
    EXPECT_FALSE(sensor_value(*units::Decimal::parse("1234567891.5")))
        << "it would have to be rounded";
}

TEST_F(hardware, an_independent_validator_accepts_it) {
    if (twins::Yanglint::is_missing())
        GTEST_SKIP() << "needs yanglint (Debian libyang2-tools) and the modules of libyuma-base";
    for (const state::OperState oper : state::words_of<state::OperState>())
        add(Kind::power_supply, "PSU-" + std::string{state::to_word(oper)},
            {{Attribute::oper, {oper, {20, 1}}}});
    for (const state::AdminState admin : state::words_of<state::AdminState>())
        add(Kind::port, "port-" + std::string{state::to_word(admin)},
            {{Attribute::admin, {admin, {20, 1}}}});
    for (const state::UsageState usage : state::words_of<state::UsageState>())
        add(Kind::port, "use-" + std::string{state::to_word(usage)},
            {{Attribute::usage, {usage, {20, 1}}}});
    for (const state::StandbyState standby : state::words_of<state::StandbyState>())
        add(Kind::controller, "CTL-" + std::string{state::to_word(standby)},
            {{Attribute::standby, {standby, {20, 1}}}});
    for (const state::AlarmState alarm : state::words_of<state::AlarmState>())
        add(Kind::module, "LINE-" + std::string{state::to_word(alarm)},
            {{Attribute::alarm, {alarm, {20, 1}}}});
    for (const state::SensorStatus status : state::words_of<state::SensorStatus>())
        add(Kind::sensor, "S-" + std::string{state::to_word(status)},
            {{Attribute::sensor_status, {status, {20, 1}}}});
    int number = 0;
    for (const char* text : {"12 V", "1.2 kW", "25 %", "7200 rpm", "0.9 N·m", "400G", "12", "50 Hz",
                             "3 A", "2 cmm", "5 s"}) {
        const auto quantity = units::parse_quantity(text);
        if (quantity)
            add(Kind::sensor, "Q" + std::to_string(++number),
                {{Attribute::reading, {*quantity, {20, 1}}}});
    }
    EXPECT_GE(number, 8);
    const std::string good = get().body;
    EXPECT_EQ(complaint_about(good), "") << good;
    view().session = desk::Session::lost;
    EXPECT_EQ(complaint_about(get().body), "");
    // It does look: a word of no standard and a sensor's data at a module are refused.
    EXPECT_NE(complaint_about(std::regex_replace(good, std::regex{"\"enabled\""}, "\"running\"")),
              "");
    EXPECT_NE(complaint_about(std::regex_replace(good, std::regex{"iana-hardware:sensor"},
                                                 "iana-hardware:module")),
              "");
}

} // namespace
} // namespace slotwitness::api
