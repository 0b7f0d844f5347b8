#include "files.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cstdio>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <sstream>
#include <string>
#include <vector>

/// What the layouts read from programs of this machine, beside the same programs' own JSON:
/// iproute2, util-linux and systemd of Debian. Each test takes text and JSON back to back, and
/// again if something changed between two takings of the JSON.
namespace slotwitness::profiles {
namespace {

using nlohmann::json;
using state::Attribute;

std::optional<std::string> output_of(const std::string& command) {
    const std::string quiet =
        "LC_ALL=C.UTF-8 PATH=$PATH:/usr/sbin:/sbin " + command + " 2>/dev/null";
    const auto close = [](std::FILE* pipe) { return pclose(pipe); };
    std::unique_ptr<std::FILE, decltype(close)> pipe{popen(quiet.c_str(), "r"), close};
    if (!pipe)
        return std::nullopt;
    std::string text;
    std::array<char, 4096> buffer{};
    while (const std::size_t size = std::fread(buffer.data(), 1, buffer.size(), pipe.get()))
        text.append(buffer.data(), size);
    return pclose(pipe.release()) == 0 ? std::optional{text} : std::nullopt;
}

struct Taken {
    state::Reading reading;
    json told; ///< the program's own account
};

/// Nothing if a program is missing or the machine will not stand still.
std::optional<Taken> take(const Profile& profile, const std::string& query,
                          const std::string& json_command,
                          const std::function<json(json)>& steady_part) {
    const auto request = request_bytes(profile, {query, {}});
    EXPECT_TRUE(request);
    for (int attempt = 0; attempt < 10; ++attempt) {
        const auto before = output_of(json_command);
        const auto text = output_of(*request);
        const auto after = output_of(json_command);
        if (!before || !text || !after || before->empty())
            return std::nullopt;
        const json told = steady_part(json::parse(*before));
        if (told == steady_part(json::parse(*after)))
            return Taken{read(profile, query, *text, true), told};
    }
    return std::nullopt;
}

std::string text_of(const state::Row& row, Attribute attribute) {
    const auto fact = row.facts.find(attribute);
    return fact == row.facts.end() ? "" : state::to_text(fact->second.value);
}

std::string shown(const state::Reading& reading) {
    return to_text(reading);
}

TEST(LinuxDisks, are_what_lsblk_says_in_json) {
    const Profile profile = profile_of("linux/lsblk.toml");
    const auto taken = take(profile, "disks", "lsblk -J -l -b -o NAME,FSTYPE,SIZE,RO,TYPE,MAJ:MIN",
                            [](json all) { return all.at("blockdevices"); });
    if (!taken)
        GTEST_SKIP() << "lsblk does not answer here";
    ASSERT_TRUE(taken->reading.wholly_read()) << shown(taken->reading);
    ASSERT_EQ(taken->reading.rows.size(), taken->told.size());
    for (std::size_t i = 0; i < taken->told.size(); ++i) {
        const state::Row& row = taken->reading.rows[i];
        const json& disk = taken->told[i];
        EXPECT_EQ(row.name, disk.at("name"));
        EXPECT_EQ(text_of(row, Attribute::text),
                  disk.at("fstype").is_null() ? "" : disk.at("fstype").get<std::string>());
        EXPECT_EQ(text_of(row, Attribute::reading),
                  disk.at("size").is_null() ? "unknown" : disk.at("size").dump());
        EXPECT_EQ(text_of(row, Attribute::label), disk.at("ro").get<bool>() ? "1" : "0");
        EXPECT_EQ(text_of(row, Attribute::part), disk.at("type"));
        EXPECT_EQ(text_of(row, Attribute::serial), disk.at("maj:min"));
    }
}

void expect_units(const Taken& taken) {
    ASSERT_EQ(taken.reading.rows.size(), taken.told.size());
    for (std::size_t i = 0; i < taken.told.size(); ++i) {
        const state::Row& row = taken.reading.rows[i];
        const json& unit = taken.told[i];
        EXPECT_EQ(row.name, unit.at("unit_file"));
        EXPECT_EQ(text_of(row, Attribute::part), unit.at("state"));
        EXPECT_EQ(text_of(row, Attribute::label),
                  unit.at("preset").is_null() ? "" : unit.at("preset").get<std::string>());
    }
}

const std::string units_json = "systemctl list-unit-files --full --no-pager -o json";

TEST(LinuxUnits, are_what_systemctl_says_in_json_and_its_footer_is_not_dropped_in_silence) {
    const Profile profile = profile_of("linux/systemctl.toml");
    const auto taken = take(profile, "units", units_json, [](json all) { return all; });
    if (!taken)
        GTEST_SKIP() << "systemctl does not answer here";
    expect_units(*taken);
    ASSERT_EQ(taken->reading.unread.size(), 1U) << shown(taken->reading);
    EXPECT_EQ(taken->reading.unread[0].text,
              std::to_string(taken->told.size()) + " unit files listed.");
}

TEST(LinuxUnits, are_the_same_without_header_and_footer) {
    const Profile profile = profile_of("linux/systemctl.toml");
    const auto taken = take(profile, "bare-units", units_json, [](json all) { return all; });
    if (!taken)
        GTEST_SKIP() << "systemctl does not answer here";
    expect_units(*taken);
    EXPECT_TRUE(taken->reading.wholly_read()) << shown(taken->reading);
}

/// The kernel's operational states (RFC 2863) in the words of RFC 8348, written down apart from the
/// profile.
std::string oper_of(const std::string& operstate) {
    static const std::map<std::string, std::string> words{
        {"UP", "enabled"},          {"DOWN", "disabled"},   {"LOWERLAYERDOWN", "disabled"},
        {"NOTPRESENT", "disabled"}, {"TESTING", "testing"}, {"DORMANT", "unknown"},
        {"UNKNOWN", "unknown"}};
    const auto word = words.find(operstate);
    return word == words.end() ? "not declared" : word->second;
}

TEST(LinuxLinks, are_ports_with_the_state_that_ip_says_in_json) {
    const Profile profile = profile_of("linux/ip-br-link.toml");
    const auto taken = take(profile, "links", "ip -j link", [](json all) { return all; });
    if (!taken)
        GTEST_SKIP() << "ip does not answer here";
    ASSERT_TRUE(taken->reading.wholly_read()) << shown(taken->reading);
    EXPECT_TRUE(taken->reading.remarks.empty()) << shown(taken->reading);
    ASSERT_EQ(taken->reading.rows.size(), taken->told.size());
    for (std::size_t i = 0; i < taken->told.size(); ++i) {
        const state::Row& row = taken->reading.rows[i];
        EXPECT_EQ(row.kind, state::Kind::port);
        EXPECT_EQ(row.name, taken->told[i].at("ifname"));
        EXPECT_EQ(text_of(row, Attribute::oper), oper_of(taken->told[i].at("operstate")));
    }
}

TEST(LinuxAddresses, are_what_ip_says_in_json) {
    const Profile profile = profile_of("linux/ip-br-addr.toml");
    const auto without_ages = [](json all) {
        for (json& link : all)
            for (json& address : link.at("addr_info")) {
                address.erase("valid_life_time");
                address.erase("preferred_life_time");
            }
        return all;
    };
    const auto taken = take(profile, "addresses", "ip -j addr", without_ages);
    if (!taken)
        GTEST_SKIP() << "ip does not answer here";
    ASSERT_TRUE(taken->reading.wholly_read()) << shown(taken->reading);
    ASSERT_EQ(taken->reading.rows.size(), taken->told.size());
    for (std::size_t i = 0; i < taken->told.size(); ++i) {
        const state::Row& row = taken->reading.rows[i];
        const json& link = taken->told[i];
        EXPECT_EQ(row.name, link.at("ifname"));
        EXPECT_EQ(text_of(row, Attribute::oper), oper_of(link.at("operstate")));
        std::set<std::string> told;
        for (const json& address : link.at("addr_info"))
            told.insert(address.at("local").get<std::string>() + "/" +
                        address.at("prefixlen").dump());
        std::set<std::string> read;
        std::istringstream words{text_of(row, Attribute::text)};
        for (std::string word; words >> word;)
            read.insert(word);
        EXPECT_EQ(read, told) << row.text;
    }
}

TEST(LinuxLinks, with_a_peer_are_named_without_it) {
    // As iproute2 prints one end of a veth pair.
    const auto reading = read(
        profile_of("linux/ip-br-link.toml"), "links",
        "veth0@veth1      DOWN           5a:b2:37:56:a7:22 <BROADCAST,MULTICAST,M-DOWN> \n"
        "veth2@if5        LOWERLAYERDOWN 5a:b2:37:56:a7:23 <NO-CARRIER,BROADCAST,MULTICAST,UP> \n",
        true);
    EXPECT_EQ(shown(reading), "lists port\n"
                              "1:1 port veth0\n"
                              "  1:18 oper: disabled\n"
                              "2:1 port veth2\n"
                              "  2:18 oper: disabled\n");
}

} // namespace
} // namespace slotwitness::profiles
