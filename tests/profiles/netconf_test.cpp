#include "files.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;

/// What is wrong with a profile whose one query is asked so.
std::string problems_of(const std::string& reach, const std::string& asked) {
    const auto profile = parse_profile("[profile]\nformat = 1\nfamily = \"Test\"\n[reach]\n" +
                                           reach + "[query.hardware]\n" + asked +
                                           "layout = \"hardware-xml\"\n"
                                           "[query.hardware.hardware-xml]\n",
                                       "p.toml");
    std::string problems;
    if (!profile)
        for (const state::Problem& problem : profile.error())
            problems += state::to_text(problem) + "\n";
    return problems;
}

const std::string over_netconf = "by = \"netconf\"\n";
const std::string hardware = "get = { element = \"hardware\", namespace = "
                             "\"urn:ietf:params:xml:ns:yang:ietf-hardware\" }\n";

TEST(NetconfProfile, asks_by_a_subtree_filter_that_it_makes_itself) {
    EXPECT_EQ(request_bytes(profile_of("netconf/ietf-hardware.toml"), {"hardware", {}}),
              R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)");
    EXPECT_EQ(problems_of(over_netconf, hardware), "");
}

TEST(NetconfProfile, names_each_fault_with_its_place) {
    struct Case {
        std::string reach, asked, problem;
    };
    for (const Case& fault : {
             Case{"by = \"telnet\"\n", hardware, "p.toml:5:6: found \"telnet\""},
             Case{over_netconf + "parallel = 2\n", hardware, "expected 1 unless by = \"command\""},
             Case{over_netconf, "", "expected the key \"get\" in [query.hardware]"},
             Case{over_netconf, "ask = [\"tell\", \"hardware\"]\n", "found \"ask\""},
             Case{"", hardware, "found \"get\""},
             Case{over_netconf, "get = \"hardware\"\n", "found \"hardware\", expected a table"},
             Case{over_netconf, "get = { element = \"hardware\" }\n", "the key \"namespace\""},
             Case{over_netconf, "get = { element = \"\", namespace = \"urn:x\" }\n", "element"},
             Case{over_netconf, "get = { element = \"h/>\", namespace = \"urn:x\" }\n",
                  "found \"h/>\""},
             Case{over_netconf, "get = { element = \"hw:hardware\", namespace = \"urn:x\" }\n",
                  "without a prefix"},
             Case{over_netconf, "get = { element = \"h\", namespace = \"urn:x'><y\" }\n",
                  "found \"urn:x'><y\""},
             Case{over_netconf, "get = { element = \"h\", namespace = \"urn:x\", filter = \"\" }\n",
                  "found \"filter\""},
         })
        EXPECT_THAT(problems_of(fault.reach, fault.asked), HasSubstr(fault.problem)) << fault.asked;
}

/// What is wrong with a profile that reads interfaces by these keys of [query.ports.xml] and cells.
std::string xml_problems(const std::string& keys, const std::string& cells) {
    const auto profile = parse_profile("[profile]\nformat = 1\nfamily = \"Test\"\n[query.ports]\n"
                                       "ask = [\"tell\"]\nkind = \"port\"\nlayout = \"xml\"\n"
                                       "[query.ports.xml]\n" +
                                           keys + "[query.ports.cells]\n" + cells,
                                       "p.toml");
    std::string problems;
    if (!profile)
        for (const state::Problem& problem : profile.error())
            problems += state::to_text(problem) + "\n";
    return problems;
}

TEST(XmlProfile, names_each_fault_with_its_place) {
    const std::string sound = "namespace = \"urn:x\"\nrows = \"a/b\"\n";
    const std::string name = "\"name\" = { as = \"name\" }\n";
    EXPECT_EQ(xml_problems(sound, name), "");
    struct Case {
        std::string keys, cells, problem;
    };
    for (const Case& fault : {
             Case{"rows = \"a/b\"\n", name, "the key \"namespace\""},
             Case{"namespace = \"urn:x\"\n", name, "the key \"rows\""},
             Case{"namespace = \"urn:x\"\nrows = \"/a\"\n", name, "p.toml:10:8: found \"/a\""},
             Case{"namespace = \"urn:x\"\nrows = \"x:a\"\n", name, "without prefix"},
             Case{sound, name + "\"s/\" = { as = \"ignored\" }\n", "found \"s/\""},
             Case{sound, name + "\"s\" = { as = \"ignored\" }\n\"s/t\" = { as = \"ignored\" }\n",
                  "no cell inside another"},
             Case{sound + "identities = { type = \"urn:t\" }\n", name, "found \"type\""},
             Case{sound + "identities = { name = 3 }\n", name, "the namespace of the identities"},
             Case{sound + "only = { cell = \"type\", is = [\"x\"] }\n", name, "one of the cells"},
             Case{sound + "only = { cell = \"s/t\", is = [\"x\"] }\n",
                  name + "\"s/t\" = { as = \"ignored\" }\n", "a leaf of the entry itself"},
             Case{sound + "only = { cell = \"name\" }\n", name, "the key \"is\""},
         })
        EXPECT_THAT(xml_problems(fault.keys, fault.cells), HasSubstr(fault.problem)) << fault.keys;
}

// RFC 8343's words, and counters as `ifInErrors` counts them.
TEST(XmlProfile, tells_the_ports_of_rfc_8343) {
    const Profile interfaces = profile_of("netconf/ietf-interfaces.toml");
    const auto reading = read(interfaces, "interfaces", R"(
<data xmlns="urn:ietf:params:xml:ns:netconf:base:1.0">
<interfaces xmlns="urn:ietf:params:xml:ns:yang:ietf-interfaces" xmlns:t="urn:ietf:params:xml:ns:yang:iana-if-type">
<interface><name>eth1</name><type>t:ethernetCsmacd</type><admin-status>down</admin-status>
<oper-status>lower-layer-down</oper-status><speed>10000000000</speed>
<statistics><discontinuity-time>2026-01-02T03:04:05Z</discontinuity-time><in-errors>7</in-errors></statistics></interface>
<interface><name>eth2</name><type>t:ethernetCsmacd</type><oper-status>dormant</oper-status></interface>
</interfaces></data>)",
                              true);
    EXPECT_THAT(reading.unread, testing::IsEmpty());
    ASSERT_THAT(reading.rows, testing::SizeIs(2));
    const auto& facts = reading.rows[0].facts;
    EXPECT_EQ(reading.rows[0].kind, state::Kind::port);
    EXPECT_EQ(facts.at(state::Attribute::admin).value, state::Value{state::AdminState::locked});
    EXPECT_EQ(facts.at(state::Attribute::oper).value, state::Value{state::OperState::disabled});
    EXPECT_EQ(state::to_text(facts.at(state::Attribute::capacity).value), "10 Gb/s");
    EXPECT_EQ(state::to_text(facts.at(state::Attribute::errors).value), "7");
    EXPECT_EQ(reading.rows[1].facts.at(state::Attribute::oper).value,
              state::Value{state::OperState::unknown});
}

// The hardware's answer may tell of ports too. A device that has its ports among the interfaces
// need not put them there.
TEST(XmlProfile, of_ports_are_asked_the_interfaces_and_of_modules_the_hardware) {
    const Profile interfaces = profile_of("netconf/ietf-interfaces.toml");
    for (const auto& [text, query] :
         {std::pair{"port eth1 down", "interfaces"}, std::pair{"module FAB3 shut", "hardware"}}) {
        const auto sentence = sentences::parse(text);
        ASSERT_TRUE(sentence) << text;
        EXPECT_EQ(needs(interfaces, *sentence), (std::set<Asking>{{query, {}}})) << text;
    }
}

} // namespace
} // namespace slotwitness::profiles
