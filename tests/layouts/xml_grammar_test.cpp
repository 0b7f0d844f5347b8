#include <slotwitness/layouts/xml_elements.hpp>
#include <slotwitness/layouts/xml_grammar.hpp>

#include <gmock/gmock.h>

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {
namespace {

using namespace std::string_view_literals;

TEST(XmlGrammar, has_no_loop_that_consumes_nothing) {
    EXPECT_EQ(xml_grammar::pegtl::analyze<xml_grammar::token>(), 0U);
}

std::vector<std::string> texts(std::string_view text, const XmlElements& elements) {
    std::vector<std::string> all;
    for (const XmlElement& element : elements.all)
        all.emplace_back(element.end == XmlElement::open
                             ? "open"
                             : text.substr(element.begin, element.end - element.begin));
    return all;
}

TEST(XmlElements, reach_from_their_start_tag_to_behind_their_end_tag) {
    constexpr auto text = "<a>\n<b/><b x='>' y=\"/>\">1</b><!-- <c> --><![CDATA[<d>]]></a >\n"sv;
    const XmlElements found = find_elements(text);
    EXPECT_FALSE(found.stop);
    EXPECT_EQ(found.readable, text.size());
    EXPECT_THAT(texts(text, found), testing::ElementsAre(text.substr(0, text.size() - 1), "<b/>",
                                                         "<b x='>' y=\"/>\">1</b>"));
    EXPECT_EQ(found.at(4), &found.all[1]);
    EXPECT_EQ(found.at(5), nullptr);
}

TEST(XmlElements, are_found_in_every_well_formed_document) {
    for (const std::string_view text :
         {"<a/>"sv, "<?xml version='1.0' encoding=\"utf-8\"?>\r\n<a></a>"sv, "\xef\xbb\xbf<a/>"sv,
          "<!-- x --><?y z?><a:b.c-1 _d='&lt;&#65;'/><!---->"sv, "<a>&#x10ffff;&amp;&apos;</a>"sv,
          "<a\n b = '1'\tc=\"2\" >]]</a>"sv, "<\xc3\xa9t\xc3\xa9/>"sv}) {
        const XmlElements found = find_elements(text);
        const bool is_marked = text.starts_with("\xef\xbb\xbf");
        EXPECT_EQ(found.stop.has_value(), is_marked)
            << text << (found.stop ? found.stop->expected : "");
    }
}

struct NotXml {
    std::string_view text;
    std::size_t at;
    std::string_view expected;
};

TEST(XmlElements, stop_where_a_text_is_no_document) {
    for (const NotXml& wrong : {
             NotXml{""sv, 0, "an element"},
             NotXml{" \n"sv, 2, "an element"},
             NotXml{"no"sv, 0, "an element"},
             NotXml{"<a>"sv, 3, "the end tag </a>"},
             NotXml{"<a><b></a>"sv, 6, "the end tag </b>"},
             NotXml{"</a>"sv, 0, "the end of the answer or an element"},
             NotXml{"<a/> x"sv, 5, "the end of the answer after its root element"},
             NotXml{"<a/><a/>"sv, 4, "the end of the answer after its one root element"},
             NotXml{"<a/><![CDATA[x]]>"sv, 4, "the end of the answer after its root element"},
             NotXml{"< a/>"sv, 1, "an element's name"},
             NotXml{"<a"sv, 2, "an attribute after a blank, \"/>\" or \">\""},
             NotXml{"<a b='1'c='2'/>"sv, 8, "an attribute after a blank, \"/>\" or \">\""},
             NotXml{"<a b/>"sv, 4, "\"=\" after an attribute's name"},
             NotXml{"<a b=1/>"sv, 5, "an attribute's value in quotes"},
             NotXml{"<a b='<'/>"sv, 6, "the rest of a value and its single quote"},
             NotXml{"<a b=\"'/>"sv, 9, "the rest of a value and its double quote"},
             NotXml{"<a>&nbsp;</a>"sv, 4,
                    "lt, gt, amp, apos, quot or the number of a character, for no other entity is "
                    "declared"},
             NotXml{"<a>&amp</a>"sv, 7, "\";\" after a reference"},
             NotXml{"<a></a b>"sv, 7, "\">\" after an element's name"},
             NotXml{"<a><!-- -- --></a>"sv, 10, "\">\" after \"--\" in a comment"},
             NotXml{"<a><![CDATA[ ]]</a>"sv, 19, "the rest of a CDATA section"},
             NotXml{"<a><?x </a>"sv, 11, "the rest of a processing instruction"},
             NotXml{"<a>\x1b[m</a>"sv, 3, "a character of XML in UTF-8"},
             NotXml{"<a>\0</a>"sv, 3, "a character of XML in UTF-8"},
             NotXml{"<a>\xc3(</a>"sv, 3, "a character of XML in UTF-8"},
             NotXml{"<a></b>\x1b"sv, 3, "the end tag </a>"},
             NotXml{"<?xml version='1.0' encoding='ISO-8859-1'?><a/>"sv, 0, "an answer in UTF-8"},
         }) {
        const XmlElements found = find_elements(wrong.text);
        ASSERT_TRUE(found.stop) << wrong.text;
        EXPECT_EQ(found.stop->expected, wrong.expected) << wrong.text;
        EXPECT_EQ(found.stop->at, wrong.at) << wrong.text;
        EXPECT_LE(found.readable, found.stop->at) << wrong.text;
    }
}

TEST(XmlElements, take_no_number_for_a_character_that_xml_lacks) {
    for (const char* number : {"0", "8", "27", "x1b", "xd800", "xdfff", "xfffe", "xffff", "x110000",
                               "99999999999999999999", "", "x", "-1", "12a"})
        EXPECT_TRUE(find_elements("<a>&#" + std::string{number} + ";</a>").stop) << number;
    for (const char* number : {"9", "10", "13", "32", "xD7FF", "xE000", "xfffd", "x10FFFF"})
        EXPECT_FALSE(find_elements("<a>&#" + std::string{number} + ";</a>").stop) << number;
}

TEST(XmlElements, end_at_their_bounds) {
    const auto nested = [](std::size_t depth) {
        std::string text;
        for (std::size_t i = 0; i < depth; ++i)
            text += "<a>";
        for (std::size_t i = 0; i < depth; ++i)
            text += "</a>";
        return text;
    };
    EXPECT_FALSE(find_elements(nested(deepest_xml)).stop);
    EXPECT_EQ(find_elements(nested(deepest_xml + 1)).stop->expected,
              "at most 64 elements inside each other");
    EXPECT_EQ(find_elements(nested(100'000)).stop->at, 3 * deepest_xml);
    EXPECT_FALSE(find_elements("<a/>" + std::string(largest_xml - 4, ' ')).stop);
    EXPECT_EQ(find_elements("<a/>" + std::string(largest_xml - 3, ' ')).stop->expected,
              "at most 16777216 bytes of XML");
}

} // namespace
} // namespace slotwitness::layouts
