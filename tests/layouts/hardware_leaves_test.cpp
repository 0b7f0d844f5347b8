#include "../twins/folder.hpp"

#include <slotwitness/layouts/hardware_leaves.hpp>
#include <slotwitness/units/quantity.hpp>

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <string>
#include <sys/wait.h>
#include <utility>
#include <vector>

namespace slotwitness::layouts {
namespace {

// RFC 8348, sensor-value and its companions; the first line is the example of
// sensor-value-precision.
TEST(SensorText, is_exact_and_read_by_units) {
    const std::vector<std::pair<SensorParts, std::string>> table{
        {{"385", "celsius", "units", "1"}, "38.5 C"},
        {{"1200", "watts", "units", "0"}, "1200 W"},
        {{"12", "watts", "kilo", "1"}, "1200 W"},
        {{"-5", "celsius", "units", "3"}, "-0.005 C"},
        {{"3300", "volts-DC", "milli", "0"}, "3.3 V"},
        {{"230", "volts-AC", "units", "-3"}, "230 V"},
        {{"999999999", "hertz", "giga", "9"}, "999999999 Hz"},
        {{"999999999", "amperes", "nano", "9"}, "0.000000000999999999 A"},
        {{"55", "percent-RH", "units", "0"}, "55 %"},
        {{"7200", "rpm", "units", "0"}, "7200 rpm"},
        {{"2", "cmm", "units", "0"}, "2 cmm"},
        {{"+0", "celsius", "yocto", "9"}, "0 C"}};
    for (const auto& [parts, text] : table) {
        EXPECT_EQ(sensor_text(parts), text);
        EXPECT_TRUE(units::parse_quantity(text)) << text;
    }
    EXPECT_EQ(sensor_text({"1", "truth-value", "", ""}), "true");
    EXPECT_EQ(sensor_text({"2", "truth-value", "units", "0"}), "false");
    for (const char* type : {"other", "unknown"}) {
        const auto text = sensor_text({"7", type, "units", "0"});
        EXPECT_EQ(text, "7 " + std::string{type});
        EXPECT_FALSE(units::parse_quantity(*text)) << "it has no unit that anybody knows";
    }
    EXPECT_EQ(sensor_text({"1000000000", "celsius", "units", "1"}), "1000000000");
    EXPECT_EQ(sensor_text({"-1000000000", "", "", ""}), "-1000000000");
}

TEST(SensorText, is_none_without_all_of_its_parts) {
    for (const SensorParts& parts :
         {SensorParts{"", "celsius", "units", "0"}, SensorParts{"1.5", "celsius", "units", "0"},
          SensorParts{"0x10", "celsius", "units", "0"}, SensorParts{"+-1", "celsius", "units", "0"},
          SensorParts{"1000000001", "celsius", "units", "0"},
          SensorParts{"99999999999999999999", "celsius", "units", "0"},
          SensorParts{"1", "Celsius", "units", "0"}, SensorParts{"1", "", "units", "0"},
          SensorParts{"1", "celsius", "", "0"}, SensorParts{"1", "celsius", "deci", "0"},
          SensorParts{"1", "celsius", "units", ""}, SensorParts{"1", "celsius", "units", "10"},
          SensorParts{"1", "celsius", "units", "-9"}, SensorParts{"1", "celsius", "yocto", "0"},
          SensorParts{"1", "celsius", "yotta", "0"}, SensorParts{"3", "truth-value", "", ""}})
        EXPECT_FALSE(sensor_text(parts)) << parts.value << parts.type << parts.scale;
}

// Debian libyuma-base and libyang2-tools: the standard's own module, and a validator of others.
const std::filesystem::path module_folder = "/usr/share/yuma/modules/ietf";
const std::filesystem::path hardware_module = module_folder / "ietf-hardware@2018-03-13.yang";

TEST(HardwareLeaves, are_all_those_of_the_module) {
    std::ifstream in{hardware_module};
    if (!in.is_open())
        GTEST_SKIP() << "needs " << hardware_module << " (Debian libyuma-base)";
    static const std::regex opens{
        R"(^\s*(leaf|leaf-list|container|list|typedef|notification) ([\w-]+) \{)"};
    Place place = Place::component;
    bool in_component = false;
    std::size_t count = 0;
    for (std::string line; std::getline(in, line);) {
        std::smatch match;
        if (!std::regex_search(line, match, opens))
            continue;
        in_component = match[1] == "notification" ? false : in_component || match[2] == "component";
        if (const auto container = find_container(match[2].str()); container && in_component)
            place = *container;
        else if (in_component && match[1].str().starts_with("leaf")) {
            const HardwareLeaf* leaf = find_leaf(place, match[2].str());
            ASSERT_NE(leaf, nullptr) << match[2];
            using Form = HardwareLeaf::Form;
            EXPECT_EQ(leaf->form == Form::names || leaf->form == Form::uris,
                      match[1] == "leaf-list")
                << match[2];
            ++count;
        }
    }
    EXPECT_EQ(count, 33U);
}

int yanglint(const std::string& data) {
    const twins::Folder folder;
    const std::string command =
        "yanglint -p " + module_folder.string() +
        " -t data -F ietf-hardware:entity-mib,hardware-state,hardware-sensor '" +
        hardware_module.string() + "' '" +
        (module_folder / "iana-hardware@2018-03-13.yang").string() + "' '" +
        folder.write("data.xml", data) + "' >/dev/null 2>&1";
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST(HardwareLeaves, of_the_answer_read_in_these_tests_are_valid_to_an_independent_validator) {
    if (std::system("command -v yanglint >/dev/null") != 0 ||
        !std::filesystem::exists(hardware_module))
        GTEST_SKIP() << "needs yanglint (Debian libyang2-tools) and the modules of libyuma-base";
    std::ifstream in{SLOTWITNESS_TESTS "/layouts/hardware.xml", std::ios::binary};
    const std::string answer{std::istreambuf_iterator<char>{in}, {}};
    EXPECT_EQ(yanglint(answer), 0);
    // It does look.
    EXPECT_NE(yanglint(std::regex_replace(answer, std::regex{"disabled"}, "off")), 0);
    EXPECT_NE(yanglint(std::regex_replace(answer, std::regex{"w:sensor"}, "q:sensor")), 0);
}

} // namespace
} // namespace slotwitness::layouts
