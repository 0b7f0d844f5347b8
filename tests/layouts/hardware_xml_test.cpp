#include "sheet.hpp"

#include <slotwitness/layouts/hardware_xml.hpp>

#include <gmock/gmock.h>

#include <algorithm>
#include <fstream>
#include <map>
#include <regex>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {
namespace {

using state::Kind;
using state::Position;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Key;
using testing::Not;
using testing::Pair;
using testing::SizeIs;
using testing::UnorderedElementsAre;

Sheet read(std::string_view answer, const HardwareXmlSpec& spec = {}, bool ended = true) {
    return sheet_of(read_hardware_xml, answer, spec, ended);
}

const std::string declarations = " xmlns=\"urn:ietf:params:xml:ns:yang:ietf-hardware\" "
                                 "xmlns:i=\"urn:ietf:params:xml:ns:yang:iana-hardware\"";

std::string hardware(const std::string& inside) {
    return "<hardware" + declarations + ">" + inside + "</hardware>";
}

std::string component(const std::string& name, const std::string& class_name,
                      const std::string& more = "") {
    return "<component><name>" + name + "</name><class>" + class_name + "</class>" + more +
           "</component>";
}

std::string file(const char* name) {
    std::ifstream in{std::string{SLOTWITNESS_TESTS "/layouts/"} + name, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// Of an answer with one component: its cells, or those of no block.
std::map<std::string, std::string> cells(const Sheet& all) {
    return all.blocks.size() == 1 ? all.blocks[0].values() : std::map<std::string, std::string>{};
}

TEST(HardwareXml, reads_every_leaf_of_rfc_8348_whatever_the_prefixes) {
    const std::string answer = file("hardware.xml");
    const Sheet all = read(answer);
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_THAT(all.set_aside, ElementsAre(4U)) << "last-change";
    ASSERT_THAT(all.blocks, SizeIs(4));
    EXPECT_THAT(
        all.blocks[0].values(),
        UnorderedElementsAre(
            Pair("name", "FAB 3"), Pair("class", "module"), Pair("physical-index", "12"),
            Pair("description", "Fabric <3> & more"), Pair("parent", "frame"),
            Pair("parent-rel-pos", "3"), Pair("contains-child", "inlet, eth1/1"),
            Pair("hardware-rev", "B2"), Pair("firmware-rev", "1.0"), Pair("software-rev", "R4"),
            Pair("serial-num", "FB00912"), Pair("mfg-name", "Example"),
            Pair("model-name", "QF-400"), Pair("alias", ""), Pair("asset-id", "A-1"),
            Pair("is-fru", "true"), Pair("mfg-date", "2026-01-02T03:04:05Z"),
            Pair("uri", "urn:example:a,b urn:example:c"),
            Pair("uuid", "f81d4fae-7dec-11d0-a765-00a0c91e6bf6"),
            Pair("state-last-changed", "2026-01-02T03:04:05Z"), Pair("admin-state", "locked"),
            Pair("oper-state", "disabled"), Pair("usage-state", "idle"),
            Pair("alarm-state", "critical warning"), Pair("standby-state", "cold-standby")));
    EXPECT_EQ(all.blocks[1].values(),
              (std::map<std::string, std::string>{{"name", "inlet"},
                                                  {"class", "sensor"},
                                                  {"parent", "FAB 3"},
                                                  {"value", "38.5 C"},
                                                  {"sensor-status", "ok"},
                                                  {"units-display", "degrees"},
                                                  {"value-timestamp", "2026-01-02T03:04:05Z"},
                                                  {"value-update-rate", "1000"}}));
    EXPECT_EQ(all.blocks[2].values(),
              (std::map<std::string, std::string>{
                  {"name", "frame"}, {"class", "chassis"}, {"contains-child", "FAB 3"}}));
    EXPECT_EQ(all.blocks[3].values().at("name"), "eth1/1");
    const std::vector<Kind> kinds{Kind::module, Kind::sensor, Kind::chassis, Kind::port};
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        EXPECT_EQ(all.blocks[i].kind, kinds[i]);
        EXPECT_TRUE(all.blocks[i].complete);
    }
}

TEST(HardwareXml, tells_where_each_cell_stands) {
    const Sheet all = read(hardware("\n <component>\r\n  <name>\n   FAB3 </name>\n"
                                    "  <class>i:module</class><alias/>\n"
                                    "  <asset-id><!-- x --><![CDATA[ <1>]]>&amp;2</asset-id>\n"
                                    " </component>"));
    EXPECT_THAT(all.unread, IsEmpty());
    ASSERT_THAT(all.blocks, SizeIs(1));
    EXPECT_EQ(all.blocks[0].at, (Position{2, 2}));
    EXPECT_THAT(all.blocks[0].cells,
                ElementsAre(KeptCell{"name", "FAB3", {4, 4}}, KeptCell{"class", "module", {5, 10}},
                            KeptCell{"alias", "", {5, 26}},
                            KeptCell{"asset-id", "<1>&2", {6, 33}}));
    EXPECT_EQ(all.blocks[0].text,
              "<component>\n  <name>\n   FAB3 </name>\n  <class>i:module</class><alias/>\n"
              "  <asset-id><!-- x --><![CDATA[ <1>]]>&amp;2</asset-id>\n </component>");
}

TEST(HardwareXml, is_found_in_the_replies_of_netconf) {
    const std::string inside = hardware(component("FAB3", "i:module"));
    for (const std::string& answer :
         {inside, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + inside,
          "<nc:rpc-reply message-id=\"1\" xmlns:nc=\"urn:ietf:params:xml:ns:netconf:base:1.0\">"
          "<nc:data>" +
              inside + "</nc:data></nc:rpc-reply>",
          "<rpc-reply xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"><data "
          "xmlns=\"urn:ietf:params:xml:ns:yang:ietf-netconf-nmda\">" +
              inside + "</data></rpc-reply>"}) {
        const Sheet all = read(answer);
        EXPECT_THAT(all.unread, IsEmpty()) << answer;
        EXPECT_THAT(cells(all), Contains(Pair("name", "FAB3"))) << answer;
    }
}

TEST(HardwareXml, is_missed_where_it_is_not) {
    const std::string base = " xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"";
    for (const std::string& answer :
         {"<data" + base + "/>", "<rpc-reply" + base + "><data/></rpc-reply>",
          std::string{"<hardware/>"}, std::string{"<hardware xmlns=\"urn:example\"/>"},
          "<rpc-reply" + base + "><rpc-error/></rpc-reply>",
          "<old>" + hardware(component("FAB3", "i:module")) + "</old>"}) {
        const Sheet all = read(answer);
        EXPECT_THAT(all.blocks, IsEmpty()) << answer;
        EXPECT_THAT(all.unread,
                    Contains(testing::Field(&state::UnreadLine::expected,
                                            "the element hardware of "
                                            "urn:ietf:params:xml:ns:yang:ietf-hardware")))
            << answer;
    }
    EXPECT_THAT(read(hardware("")).unread, IsEmpty()) << "a list without entries is a list";
    const Sheet twice = read("<data" + base + ">" + hardware(component("A", "i:module")) +
                             hardware(component("B", "i:module")) + "</data>");
    EXPECT_THAT(cells(twice), Contains(Pair("name", "A")));
    EXPECT_THAT(twice.unread, SizeIs(1));
}

TEST(HardwareXml, compares_the_namespace_of_a_class) {
    const auto kind = [](const std::string& class_name, const std::string& declares = "") {
        const Sheet all = read(hardware("<component" + declares + "><name>X</name><class>" +
                                        class_name + "</class></component>"));
        return all.blocks.empty() || !all.unread.empty() ? std::nullopt : all.blocks[0].kind;
    };
    EXPECT_EQ(kind("i:fan"), Kind::fan_tray);
    EXPECT_EQ(kind(" i:power-supply\n"), Kind::power_supply);
    EXPECT_EQ(kind("x:fan", " xmlns:x=\"urn:ietf:params:xml:ns:yang:iana-hardware\""),
              Kind::fan_tray);
    EXPECT_EQ(kind("i:fan", " xmlns:i=\"urn:example\""), std::nullopt) << "declared anew";
    EXPECT_EQ(kind("fan"), std::nullopt) << "of ietf-hardware, the default namespace";
    EXPECT_EQ(kind("u:fan"), std::nullopt) << "not declared";
    EXPECT_EQ(kind("i:"), std::nullopt);
    EXPECT_EQ(kind("i:Fan"), std::nullopt);
}

TEST(HardwareXml, leaves_other_classes_to_the_specification) {
    const std::string answer =
        hardware("\n" + component("S3", "i:container") + "\n" + component("V", "v:module"));
    const std::string with_v =
        std::regex_replace(answer, std::regex{"<hardware"}, "<hardware xmlns:v=\"urn:example\"");
    Sheet all = read(with_v);
    ASSERT_THAT(all.unread, SizeIs(2));
    EXPECT_EQ(all.unread[0].expected, "a component of a class that the profile names");
    EXPECT_EQ(all.unread[0].text, component("S3", "i:container"));
    HardwareXmlSpec spec;
    spec.pass_over_other_classes = true;
    all = read(with_v, spec);
    EXPECT_THAT(all.set_aside, ElementsAre(2U));
    ASSERT_THAT(all.unread, SizeIs(1)) << "an identity of another module may mean any";
    EXPECT_EQ(all.unread[0].line, 3U);
    spec.classes = {{"container", Kind::fan_tray}};
    all = read(hardware(component("T1", "i:container") + component("F", "i:module")), spec);
    EXPECT_EQ(all.blocks.at(0).kind, Kind::fan_tray);
    EXPECT_THAT(all.blocks, SizeIs(1));
}

struct Odd {
    std::string more;     ///< in a component
    std::string expected; ///< of its unread line
    std::string gone;     ///< the cell that it may not have
};

TEST(HardwareXml, drops_nothing_in_a_component_in_silence) {
    for (const Odd& odd : {
             Odd{"<colour>red</colour>", "an element that RFC 8348 has here, or pass-over",
                 "colour"},
             Odd{"<x xmlns='urn:example'/>", "an element that RFC 8348 has here, or pass-over",
                 "x"},
             Odd{"<oper-state>enabled</oper-state>",
                 "an element that RFC 8348 has here, or pass-over", "oper-state"},
             Odd{"<state><name>B</name></state>", "an element that RFC 8348 has here, or pass-over",
                 ""},
             Odd{"<p:x/>", "a name whose prefix is declared", ""},
             Odd{"text", "an element of RFC 8348 instead of text", ""},
             Odd{"<state>text</state>", "an element of RFC 8348 instead of text", ""},
             Odd{"<alias>a<b/></alias>", "text without elements inside", "alias"},
             Odd{"<alias>a\nb</alias>", "printable text instead of a control byte", "alias"},
             Odd{"<alias>" + std::string(longest_line + 1, 'x') + "</alias>",
                 "a text of at most 16384 bytes", "alias"},
             Odd{"<alias x='1'>a</alias>", "no attributes but those that pass-over names", "alias"},
             Odd{"<alias xmlns='urn:ietf:params:xml:ns:yang:ietf-hardware' "
                 "xmlns='urn:ietf:params:xml:ns:yang:ietf-hardware'>a</alias>",
                 "each attribute once", "alias"},
             Odd{"<serial-num>1</serial-num><serial-num>1</serial-num>",
                 "one such element in a component", "serial-num"},
             Odd{"<state><oper-state>enabled</oper-state></state><state/>",
                 "one such element in a component", "oper-state"},
             Odd{"<contains-child>a,b</contains-child><contains-child>c</contains-child>",
                 "an entry of a list that is neither empty nor has what parts entries",
                 "contains-child"},
             Odd{"<uri>a b</uri>",
                 "an entry of a list that is neither empty nor has what parts entries", "uri"},
             Odd{"<sensor-data><value>1</value></sensor-data>",
                 "a value-type of RFC 8348 beside the value", "value"},
         }) {
        const Sheet all = read(hardware(component("A", "i:module", odd.more)));
        ASSERT_THAT(all.blocks, SizeIs(1)) << odd.more;
        EXPECT_FALSE(all.blocks[0].complete) << odd.more;
        EXPECT_THAT(all.blocks[0].values(), Not(Contains(Key(odd.gone)))) << odd.more;
        EXPECT_EQ(all.blocks[0].values().at("name"), "A") << odd.more;
        ASSERT_FALSE(all.unread.empty()) << odd.more;
        for (const state::UnreadLine& line : all.unread)
            EXPECT_EQ(line.expected, odd.expected) << odd.more;
    }
}

TEST(HardwareXml, refuses_a_component_without_one_name_and_one_class) {
    for (const std::string& bad :
         {std::string{"<component/>"}, std::string{"<component><name>A</name></component>"},
          std::string{"<component><class>i:module</class></component>"},
          component("A", "i:module", "<name>A</name>"),
          component("A", "i:module", "<class>i:port</class>"), component("A", "u:module")}) {
        const Sheet all = read(hardware(bad + component("B", "i:module")));
        EXPECT_THAT(cells(all), Contains(Pair("name", "B"))) << bad;
        ASSERT_THAT(all.unread, SizeIs(1)) << bad;
        EXPECT_EQ(all.unread[0].text, bad);
    }
}

// Also where its text, as it was sent, shows no name.
TEST(HardwareXml, shows_what_an_unread_component_says) {
    for (const std::string& name : {std::string{"FAB&#51;"}, std::string{"FA<![CDATA[B3]]>"},
                                    std::string{"FA<!-- B -->B3"}, std::string{"FA<?b?>B3"}}) {
        const Sheet all =
            read(hardware(component("FAB4", "i:module") + component(name, "u:module")));
        ASSERT_THAT(all.unread, SizeIs(1)) << name;
        EXPECT_THAT(all.unread[0].also, HasSubstr("\nFAB3\n")) << name;
        const Sheet cut =
            read("<hardware" + declarations + "><component><name>" + name + "</name>");
        ASSERT_THAT(cut.unread, SizeIs(1)) << name;
        EXPECT_THAT(cut.unread[0].also, HasSubstr("\nFAB3")) << name;
    }
    EXPECT_EQ(read(hardware(component("FAB3", "u:module"))).unread.at(0).also, "");
}

// RFC 8348, list component: key "name".
TEST(HardwareXml, doubts_components_of_one_name_whatever_their_class) {
    const std::string second = component("A", "i:port");
    const Sheet all =
        read(hardware(component("A", "i:module") + component("B", "i:module") + second));
    EXPECT_THAT(all.blocks, SizeIs(3));
    ASSERT_THAT(all.unread, SizeIs(1));
    EXPECT_EQ(all.unread[0].text, second);
    EXPECT_EQ(all.unread[0].expected, "one component of each name");
}

TEST(HardwareXml, passes_over_what_the_specification_names) {
    HardwareXmlSpec spec;
    spec.pass_over = {"{urn:example}x", "{urn:ietf:params:xml:ns:yang:ietf-hardware}mfg-date",
                      "{urn:example}origin", "{urn:example}extra"};
    const std::string e = " xmlns:e='urn:example'";
    const Sheet all =
        read("<data xmlns='urn:ietf:params:xml:ns:netconf:base:1.0'><e:extra" + e + "/>" +
                 hardware("\n<component" + e +
                          " e:origin='a'><name>A</name>\n"
                          "<class>i:module</class>\n<e:x>\n<y/></e:x>"
                          "<mfg-date>?</mfg-date></component>") +
                 "</data>",
             spec);
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_TRUE(all.blocks.at(0).complete);
    EXPECT_THAT(all.blocks[0].values(),
                UnorderedElementsAre(Pair("name", "A"), Pair("class", "module")));
    EXPECT_THAT(all.set_aside, ElementsAre(1U, 4U, 5U));
}

TEST(HardwareXml, refuses_a_document_type_with_all_that_follows) {
    const std::string inside = hardware(component("&x;", "i:module"));
    const Sheet all = read("<!DOCTYPE hardware [<!ENTITY x SYSTEM \"/etc/hostname\">]>" + inside);
    EXPECT_THAT(all.blocks, IsEmpty());
    ASSERT_THAT(all.unread, SizeIs(1));
    EXPECT_EQ(all.unread[0].column, 1U);
    EXPECT_THAT(all.unread[0].expected, HasSubstr("no document type declaration: its entities"));
    EXPECT_THAT(all.unread[0].text, HasSubstr(inside));
}

TEST(HardwareXml, keeps_the_components_before_a_place_that_is_wrong) {
    const Sheet all =
        read("<hardware" + declarations + ">" + component("A", "i:module") + "\n" +
             "<component><name>B</name><class>i:module</class><alias>x</name></component>");
    ASSERT_THAT(all.blocks, SizeIs(2));
    EXPECT_TRUE(all.blocks[0].complete);
    EXPECT_FALSE(all.blocks[1].complete);
    EXPECT_THAT(all.blocks[1].values(),
                UnorderedElementsAre(Pair("name", "B"), Pair("class", "module")));
    ASSERT_THAT(all.unread, SizeIs(1));
    EXPECT_EQ((Position{all.unread[0].line, all.unread[0].column}), (Position{2, 57}));
    EXPECT_EQ(all.unread[0].expected, "the end tag </alias>");
    EXPECT_EQ(all.unread[0].text, "<alias>x</name></component>");
}

TEST(HardwareXml, gives_of_a_cut_answer_only_what_had_ended) {
    const std::string whole =
        hardware(component("A", "i:module", "<state><oper-state>disabled</oper-state></state>"));
    const auto cut = [&](std::string_view at) {
        return read(std::string_view{whole}.substr(0, whole.find(at)), HardwareXmlSpec{}, false);
    };
    Sheet all = cut("</state>");
    EXPECT_FALSE(all.blocks.at(0).complete);
    EXPECT_EQ(cells(all).at("oper-state"), "disabled");
    EXPECT_EQ(all.unread.at(0).expected, "the end tag </state>, where it was cut");
    all = cut("abled");
    EXPECT_THAT(cells(all), Not(Contains(Key("oper-state"))));
    EXPECT_EQ(all.unread.at(0).text, "<oper-state>dis");
    all = cut("</class>");
    EXPECT_THAT(all.blocks, IsEmpty()) << "nobody knows of what kind it is";
    EXPECT_THAT(all.unread.at(0).text, HasSubstr("<name>A</name>"));
    all = cut("</hardware>");
    EXPECT_TRUE(all.blocks.at(0).complete);
    EXPECT_THAT(all.unread, SizeIs(1));
    EXPECT_THAT(read(whole, HardwareXmlSpec{}, false).unread, IsEmpty())
        << "its document had closed";
}

TEST(HardwareXml, cut_at_any_byte_invents_nothing) {
    const std::string answer = file("hardware.xml");
    const Sheet whole = read(answer);
    for (std::size_t size = 0; size < answer.size(); ++size) {
        const Sheet cut =
            read(std::string_view{answer}.substr(0, size), HardwareXmlSpec{}, size % 2 == 0);
        ASSERT_LE(cut.blocks.size(), whole.blocks.size());
        for (std::size_t i = 0; i < cut.blocks.size(); ++i) {
            const KeptBlock& block = cut.blocks[i];
            EXPECT_TRUE(!block.complete || block == whole.blocks[i]) << size;
            EXPECT_EQ(block.at, whole.blocks[i].at) << size;
            EXPECT_EQ(block.kind, whole.blocks[i].kind) << size;
            for (const KeptCell& cell : block.cells)
                EXPECT_THAT(whole.blocks[i].cells, Contains(cell)) << size;
        }
        EXPECT_TRUE(size >= answer.rfind('>') + 1 || !cut.unread.empty()) << size;
    }
}

} // namespace
} // namespace slotwitness::layouts
