#include "sheet.hpp"

#include <slotwitness/layouts/xml.hpp>

#include <gmock/gmock.h>

#include <string>
#include <string_view>

namespace slotwitness::layouts {
namespace {

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

/// RFC 8343's list of interfaces.
XmlSpec interfaces() {
    XmlSpec spec;
    spec.space = "urn:ietf:params:xml:ns:yang:ietf-interfaces";
    spec.rows = {"interfaces", "interface"};
    spec.cells = {"name", "type", "oper-status", "statistics/in-errors", "statistics/out-errors"};
    spec.identities = {{"type", "urn:ietf:params:xml:ns:yang:iana-if-type"}};
    spec.pass_over = {"{urn:ietf:params:xml:ns:yang:ietf-ip}ipv4", "{urn:example}seen"};
    return spec;
}

Sheet sheet(std::string_view answer, const XmlSpec& spec = interfaces(), bool ended = true) {
    return sheet_of(read_xml, answer, spec, ended);
}

std::string list(const std::string& inside) {
    return "<interfaces xmlns=\"urn:ietf:params:xml:ns:yang:ietf-interfaces\" "
           "xmlns:t=\"urn:ietf:params:xml:ns:yang:iana-if-type\">" +
           inside + "</interfaces>";
}

std::string interface_of(const std::string& name, const std::string& more = "") {
    return "<interface><name>" + name + "</name>" + more + "</interface>";
}

// The form of RFC 8343, appendix E, with values of our own.
const std::string rfc_8343 =
    R"(<rpc-reply xmlns="urn:ietf:params:xml:ns:netconf:base:1.0" message-id="101">
  <data>
    <if:interfaces xmlns:if="urn:ietf:params:xml:ns:yang:ietf-interfaces"
        xmlns:ianaift="urn:ietf:params:xml:ns:yang:iana-if-type">
      <if:interface>
        <if:name>eth0</if:name>
        <if:type>ianaift:ethernetCsmacd</if:type>
        <if:oper-status>down</if:oper-status>
        <if:statistics>
          <if:in-errors>7</if:in-errors>
        </if:statistics>
        <ipv4 xmlns="urn:ietf:params:xml:ns:yang:ietf-ip"/>
      </if:interface>
      <if:interface>
        <if:name>eth0.10</if:name>
        <if:type>ianaift:l2vlan</if:type>
        <if:oper-status> up </if:oper-status>
      </if:interface>
    </if:interfaces>
  </data>
</rpc-reply>
)";

XmlSpec around_rfc_8343() {
    XmlSpec spec = interfaces();
    spec.pass_over.emplace_back("{}message-id");
    return spec;
}

TEST(Xml, reads_the_entries_of_a_list_whatever_the_prefixes) {
    const Sheet all = sheet(rfc_8343, around_rfc_8343());
    EXPECT_THAT(all.unread, IsEmpty());
    EXPECT_THAT(all.set_aside, ElementsAre(12U)) << "ipv4";
    ASSERT_THAT(all.blocks, SizeIs(2));
    EXPECT_THAT(all.blocks[0].values(),
                UnorderedElementsAre(Pair("name", "eth0"), Pair("type", "ethernetCsmacd"),
                                     Pair("oper-status", "down"),
                                     Pair("statistics/in-errors", "7")));
    EXPECT_EQ(all.blocks[0].at, (Position{5, 7}));
    EXPECT_EQ(all.blocks[0].cells.front().at, (Position{6, 18}));
    EXPECT_THAT(all.blocks[0].text, HasSubstr("<if:in-errors>7</if:in-errors>\n"));
    EXPECT_EQ(all.blocks[1].values().at("oper-status"), "up");
    EXPECT_TRUE(all.blocks[0].complete && all.blocks[1].complete);
}

TEST(Xml, an_empty_list_is_read_and_a_missing_one_is_not) {
    EXPECT_THAT(sheet(list("")).unread, IsEmpty());
    for (const std::string& answer :
         {std::string{"<data xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"/>"},
          std::string{"<interfaces/>"}, std::string{"<interfaces xmlns=\"urn:example\"/>"},
          std::string{}}) {
        const Sheet all = sheet(answer);
        EXPECT_THAT(all.blocks, IsEmpty()) << answer;
        EXPECT_THAT(all.unread, Not(IsEmpty())) << answer;
    }
}

TEST(Xml, takes_the_entries_alone_that_the_specification_wants) {
    XmlSpec spec = around_rfc_8343();
    spec.only = XmlSpec::Only{"type", {"ethernetCsmacd"}};
    const Sheet all = sheet(rfc_8343, spec);
    EXPECT_THAT(all.unread, IsEmpty());
    ASSERT_THAT(all.blocks, SizeIs(1));
    EXPECT_EQ(all.blocks[0].values().at("name"), "eth0");
    EXPECT_THAT(all.set_aside, ElementsAre(12U, 14U, 15U, 16U, 17U, 18U));
}

// An entry that is set aside is one that surely is another: it may be the very one that a gate asks
// for.
TEST(Xml, sets_no_entry_aside_whose_choice_it_cannot_read) {
    XmlSpec spec = interfaces();
    spec.only = XmlSpec::Only{"type", {"ethernetCsmacd"}};
    for (const std::string& type :
         {std::string{}, std::string{"<type/>"}, std::string{"<type>ethernetCsmacd</type>"},
          std::string{"<type>u:l2vlan</type>"},
          std::string{"<type>t:l2vlan</type><type>t:l2vlan</type>"},
          std::string{"<type x='1'>t:l2vlan</type>"}, std::string{"<type>t:l2<b/>vlan</type>"},
          std::string{"<type xmlns='urn:example'>t:l2vlan</type>"}}) {
        const Sheet all = sheet(
            list(interface_of("a", type) + interface_of("b", "<type>t:ethernetCsmacd</type>")),
            spec);
        ASSERT_THAT(all.blocks, SizeIs(1)) << type;
        EXPECT_EQ(all.blocks[0].values().at("name"), "b") << type;
        ASSERT_THAT(all.unread, SizeIs(1)) << type;
        EXPECT_EQ(all.unread[0].text, interface_of("a", type));
        EXPECT_EQ(all.unread[0].expected, "an entry with one type");
        EXPECT_THAT(all.set_aside, IsEmpty()) << type;
    }
}

struct OddEntry {
    std::string more;     ///< inside of the entry
    std::string expected; ///< of what is unread
    std::string gone;     ///< the cell that it may not have
};

TEST(Xml, drops_nothing_in_an_entry_in_silence) {
    const std::string no_cell =
        "an element of urn:ietf:params:xml:ns:yang:ietf-interfaces that a cell names, or pass-over";
    for (const OddEntry& odd : {
             OddEntry{"<colour>red</colour>", no_cell, "colour"},
             OddEntry{"<oper-status xmlns='urn:example'>up</oper-status>", no_cell, "oper-status"},
             OddEntry{"<in-errors>1</in-errors>", no_cell, "statistics/in-errors"},
             OddEntry{"<statistics><name>B</name></statistics>", no_cell, ""},
             OddEntry{"<p:x/>", "a name whose prefix is declared", ""},
             OddEntry{"text", "an element instead of text", ""},
             OddEntry{"<oper-status>a<b/></oper-status>", "text without elements inside",
                      "oper-status"},
             OddEntry{"<oper-status>u\np</oper-status>", "printable text instead of a control byte",
                      "oper-status"},
             OddEntry{"<oper-status x='1'>up</oper-status>",
                      "no attributes but those that pass-over names", "oper-status"},
             OddEntry{"<type>u:l2vlan</type>",
                      "an identity of urn:ietf:params:xml:ns:yang:iana-if-type", "type"},
             OddEntry{"<type>l2vlan</type>",
                      "an identity of urn:ietf:params:xml:ns:yang:iana-if-type", "type"},
             OddEntry{"<oper-status>up</oper-status><oper-status>up</oper-status>",
                      "one such element in an entry", "oper-status"},
             OddEntry{"<statistics><in-errors>1</in-errors></statistics><statistics/>",
                      "one such element in an entry", "statistics/in-errors"},
         }) {
        const Sheet all = sheet(list(interface_of("A", odd.more)));
        ASSERT_THAT(all.blocks, SizeIs(1)) << odd.more;
        EXPECT_FALSE(all.blocks[0].complete) << odd.more;
        EXPECT_THAT(all.blocks[0].values(), Not(Contains(Key(odd.gone)))) << odd.more;
        EXPECT_EQ(all.blocks[0].values().at("name"), "A") << odd.more;
        ASSERT_THAT(all.unread, SizeIs(1)) << odd.more;
        EXPECT_EQ(all.unread[0].expected, odd.expected) << odd.more;
    }
}

TEST(Xml, names_what_stands_beside_the_list) {
    EXPECT_EQ(
        sheet("<data xmlns='urn:ietf:params:xml:ns:netconf:base:1.0'/>").unread.at(0).expected,
        "the element interfaces of urn:ietf:params:xml:ns:yang:ietf-interfaces");
    const Sheet beside = sheet(list("<other/>" + interface_of("A")));
    EXPECT_THAT(beside.blocks, SizeIs(1));
    EXPECT_EQ(beside.unread.at(0).text, "<other/>");
    const Sheet twice = sheet("<data xmlns='urn:ietf:params:xml:ns:netconf:base:1.0'>" +
                              list(interface_of("A")) + list(interface_of("B")) + "</data>");
    ASSERT_THAT(twice.blocks, SizeIs(1));
    EXPECT_EQ(twice.unread.at(0).text, list(interface_of("B")));
    EXPECT_EQ(twice.unread.at(0).expected, "one element interfaces in an answer");
}

TEST(Xml, cut_at_any_byte_invents_nothing) {
    XmlSpec filtered = around_rfc_8343();
    filtered.only = XmlSpec::Only{"type", {"ethernetCsmacd", "l2vlan"}};
    for (const XmlSpec& spec : {around_rfc_8343(), filtered}) {
        const Sheet whole = sheet(rfc_8343, spec);
        ASSERT_THAT(whole.blocks, SizeIs(2));
        for (std::size_t size = 0; size < rfc_8343.size(); ++size) {
            const Sheet cut =
                sheet(std::string_view{rfc_8343}.substr(0, size), spec, size % 2 == 0);
            ASSERT_LE(cut.blocks.size(), whole.blocks.size());
            for (std::size_t i = 0; i < cut.blocks.size(); ++i) {
                const KeptBlock& block = cut.blocks[i];
                EXPECT_TRUE(!block.complete || block == whole.blocks[i]) << size;
                for (const KeptCell& cell : block.cells)
                    EXPECT_THAT(whole.blocks[i].cells, Contains(cell)) << size;
            }
            EXPECT_TRUE(size >= rfc_8343.rfind('>') + 1 || !cut.unread.empty()) << size;
        }
    }
}

} // namespace
} // namespace slotwitness::layouts
