#include <slotwitness/netconf/framing.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <limits>

namespace slotwitness::netconf {
namespace {

using ::testing::HasSubstr;

constexpr auto any_length = std::numeric_limits<std::size_t>::max();

/// What one deframer makes of these bytes: its messages, then the error if there is one.
std::vector<std::string> cut(std::string_view bytes, Framing framing,
                             std::size_t longest = any_length) {
    Deframer deframer(longest);
    deframer.feed(bytes);
    std::vector<std::string> messages;
    for (;;) {
        const auto next = deframer.next(framing);
        if (!next)
            messages.push_back(to_text(next.error()));
        if (!next || !*next)
            return messages;
        messages.push_back(**next);
    }
}

/// The messages of bytes that arrive in random pieces.
std::vector<std::string> cut_in_pieces(std::string_view rest, Framing framing) {
    Deframer deframer(any_length);
    std::vector<std::string> messages;
    while (!rest.empty()) {
        const auto size = *rc::gen::inRange<std::size_t>(1, rest.size() + 1);
        deframer.feed(rest.substr(0, size));
        rest.remove_prefix(size);
        for (auto next = deframer.next(framing); next.value(); next = deframer.next(framing))
            messages.push_back(**next);
    }
    return messages;
}

TEST(framing, the_worked_example_of_rfc_6242_section_4_2_is_one_message) {
    const std::string first = "<rpc";
    const std::string second = " message-id=\"102\"\n";
    const std::string third = "     xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\">\n"
                              "  <close-session/>\n"
                              "</rpc>";
    EXPECT_THAT(
        cut("\n#4\n" + first + "\n#18\n" + second + "\n#79\n" + third + "\n##\n", Framing::chunks),
        ::testing::ElementsAre(first + second + third));
    // The sizes are the RFC's own.
    EXPECT_EQ(framed(first, Framing::chunks), "\n#4\n" + first + "\n##\n");
    EXPECT_EQ(framed(second, Framing::chunks), "\n#18\n" + second + "\n##\n");
    EXPECT_EQ(framed(third, Framing::chunks), "\n#79\n" + third + "\n##\n");
}

TEST(framing, the_mark_of_rfc_6242_section_4_3_ends_a_message) {
    EXPECT_EQ(framed("<hello/>", Framing::end_of_message), "<hello/>]]>]]>");
    EXPECT_THAT(cut("<a/>]]>]]>\n<b>]]></b>]]>]]>\r\n<c", Framing::end_of_message),
                ::testing::ElementsAre("<a/>", "<b>]]></b>"));
}

TEST(framing, what_begins_behind_the_hello_may_be_chunks) {
    Deframer deframer(any_length);
    deframer.feed("<hello/>]]>]]>\n#1\nx\n##\n");
    EXPECT_EQ(deframer.next(Framing::end_of_message).value(), "<hello/>");
    EXPECT_EQ(deframer.next(Framing::chunks).value(), "x");
    EXPECT_EQ(deframer.next(Framing::chunks).value(), std::nullopt);
}

TEST(framing, what_is_no_chunk_ends_the_stream) {
    struct Case {
        std::string_view bytes;
        std::string_view found;
    };
    for (const Case& bad : {
             Case{"<rpc", "found \"<rpc\""},
             Case{"\n4\nabcd", "found"},
             Case{"\n#0\n", "found"},
             Case{"\n#04\nabcd", "found"},
             Case{"\n#-1\n", "found"},
             Case{"\n#x\n", "found"},
             Case{"\n#4\r\nabcd", "found"},
             Case{"\n#4294967296\n", "found"},
             Case{"\n#42949672950\n", "found"},
             Case{"\n##\n", "found"}, // a message has one chunk at least
             Case{"\n#2\nab\n#\n", "or the end of chunks"},
             Case{"\n#2\nabc", "or the end of chunks"},
         }) {
        const auto messages = cut(bad.bytes, Framing::chunks);
        ASSERT_EQ(messages.size(), 1u) << bad.bytes;
        EXPECT_THAT(messages.front(), HasSubstr(bad.found)) << bad.bytes;
        EXPECT_THAT(messages.front(), HasSubstr("RFC 6242")) << bad.bytes;
    }
}

TEST(framing, the_largest_chunk_is_waited_for) {
    EXPECT_THAT(cut("\n#4294967295\nabc", Framing::chunks), ::testing::IsEmpty());
}

TEST(framing, a_message_longer_than_allowed_is_refused_before_it_has_come) {
    EXPECT_THAT(cut("\n#3\nabc\n##\n", Framing::chunks, 3), ::testing::ElementsAre("abc"));
    EXPECT_THAT(cut("\n#2\nab\n#2\n", Framing::chunks, 3),
                ::testing::ElementsAre(HasSubstr("at most 3 bytes")));
    EXPECT_THAT(cut("\n#4294967295\n", Framing::chunks, 3),
                ::testing::ElementsAre(HasSubstr("longest-answer")));
    EXPECT_THAT(cut("abc]]>]]>", Framing::end_of_message, 3), ::testing::ElementsAre("abc"));
    EXPECT_THAT(cut("abcd", Framing::end_of_message, 3),
                ::testing::ElementsAre(HasSubstr("at most 3 bytes")));
}

TEST(framing, what_has_begun_is_kept_for_evidence) {
    Deframer chunks(any_length);
    chunks.feed("\n#4\nab");
    EXPECT_EQ(chunks.next(Framing::chunks).value(), std::nullopt);
    EXPECT_EQ(chunks.begun(Framing::chunks), "ab");
    Deframer marked(any_length);
    marked.feed("x]]>]]>ab]]>");
    EXPECT_EQ(marked.next(Framing::end_of_message).value(), "x");
    EXPECT_EQ(marked.next(Framing::end_of_message).value(), std::nullopt);
    EXPECT_EQ(marked.begun(Framing::end_of_message), "ab]]>");
}

RC_GTEST_PROP(framing, messages_survive_any_chunks_and_any_pieces, ()) {
    const auto texts = *rc::gen::container<std::vector<std::string>>(rc::gen::nonEmpty(
        rc::gen::container<std::string>(rc::gen::elementOf(std::string("]>#\n\r1a<")))));
    std::string bytes;
    for (const std::string& text : texts) {
        std::string_view rest = text;
        while (!rest.empty()) {
            const auto size = *rc::gen::inRange<std::size_t>(1, rest.size() + 1);
            bytes.append("\n#" + std::to_string(size) + "\n").append(rest.substr(0, size));
            rest.remove_prefix(size);
        }
        bytes.append("\n##\n");
    }
    RC_ASSERT(cut_in_pieces(bytes, Framing::chunks) == texts);
}

RC_GTEST_PROP(framing, marked_messages_survive_any_pieces, ()) {
    // No document has the mark within it, ends like one, or has a line end before it.
    const auto texts = *rc::gen::container<std::vector<std::string>>(
        rc::gen::map(rc::gen::container<std::string>(rc::gen::elementOf(std::string("]>\na"))),
                     [](const std::string& text) { return "<" + text + "/>"; }));
    std::string bytes;
    for (const std::string& text : texts) {
        RC_PRE(text.find("]]>]]>") == std::string::npos);
        bytes.append(framed(text, Framing::end_of_message));
    }
    RC_ASSERT(cut_in_pieces(bytes, Framing::end_of_message) == texts);
}

} // namespace
} // namespace slotwitness::netconf
