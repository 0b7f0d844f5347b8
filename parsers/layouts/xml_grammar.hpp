#pragma once

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <cstdint>
#include <string>

/// The tokens of an XML document (XML 1.0, fifth edition) without its document type declaration.
/// What nests is for the reader: no rule here is recursive.
namespace slotwitness::layouts::xml_grammar {

namespace pegtl = tao::pegtl;

/// What the actions tell of a token.
struct Scratch {
    enum class Kind { text, start, end, other };
    Kind kind = Kind::text;
    std::string name;      ///< of a tag
    bool is_empty = false; ///< a start tag that is its own end tag
};

struct space : pegtl::one<' ', '\t', '\r', '\n'> {};
struct blanks : pegtl::star<space> {};

// Names (section 2.3). Bytes above 0x7f are taken for letters, as nearly all of them are.
struct name_start : pegtl::sor<pegtl::alpha, pegtl::one<'_', ':'>, pegtl::not_range<'\0', '\x7f'>> {
};
struct name_rest : pegtl::sor<name_start, pegtl::digit, pegtl::one<'-', '.'>> {};
struct name : pegtl::seq<name_start, pegtl::star<name_rest>> {};

// References (section 4.1): without a declaration there are five entities (section 4.6).
struct entity
    : pegtl::sor<pegtl::string<'l', 't'>, pegtl::string<'g', 't'>, pegtl::string<'a', 'm', 'p'>,
                 pegtl::string<'a', 'p', 'o', 's'>, pegtl::string<'q', 'u', 'o', 't'>> {};
struct decimal : pegtl::plus<pegtl::digit> {};
struct hexadecimal : pegtl::plus<pegtl::xdigit> {};
struct character
    : pegtl::seq<pegtl::one<'#'>, pegtl::sor<pegtl::seq<pegtl::one<'x'>, hexadecimal>, decimal>> {};
struct referred : pegtl::sor<character, entity> {};
struct reference_end : pegtl::one<';'> {};
struct reference : pegtl::seq<pegtl::one<'&'>, pegtl::must<referred>, pegtl::must<reference_end>> {
};

// Attributes (section 3.1).
struct equals : pegtl::one<'='> {};
template <char Quote>
struct value_end : pegtl::one<Quote> {};
template <char Quote>
struct quoted : pegtl::seq<pegtl::one<Quote>,
                           pegtl::star<pegtl::sor<reference, pegtl::not_one<Quote, '<', '&'>>>,
                           pegtl::must<value_end<Quote>>> {};
struct value : pegtl::sor<quoted<'"'>, quoted<'\''>> {};
struct attribute : pegtl::seq<name, blanks, pegtl::must<equals>, blanks, pegtl::must<value>> {};
struct attributes : pegtl::star<pegtl::plus<space>, pegtl::opt<attribute>> {};

// Tags.
struct start_name : name {};
struct self_closing : pegtl::string<'/', '>'> {};
struct start_end : pegtl::sor<self_closing, pegtl::one<'>'>> {};
struct start_tag
    : pegtl::seq<pegtl::one<'<'>, pegtl::must<start_name>, attributes, pegtl::must<start_end>> {};
struct end_name : name {};
struct end_end : pegtl::one<'>'> {};
struct end_tag
    : pegtl::seq<pegtl::string<'<', '/'>, pegtl::must<end_name>, blanks, pegtl::must<end_end>> {};

// What is no element.
struct comment_rest : pegtl::until<pegtl::string<'-', '-'>> {};
struct comment_end : pegtl::one<'>'> {};
struct comment : pegtl::if_must<pegtl::string<'<', '!', '-', '-'>, comment_rest, comment_end> {};
struct instruction_rest : pegtl::until<pegtl::string<'?', '>'>> {};
struct instruction : pegtl::if_must<pegtl::string<'<', '?'>, instruction_rest> {};
struct no_declaration : pegtl::failure {};
struct declaration : pegtl::if_must<pegtl::at<pegtl::string<'<', '!', 'D'>>, no_declaration> {};

// Text.
struct literal_rest : pegtl::until<pegtl::string<']', ']', '>'>> {};
struct literal
    : pegtl::if_must<pegtl::string<'<', '!', '[', 'C', 'D', 'A', 'T', 'A', '['>, literal_rest> {};
struct text : pegtl::plus<pegtl::sor<reference, pegtl::not_one<'<', '&'>>> {};

struct token : pegtl::sor<text, end_tag, comment, literal, declaration, instruction, start_tag> {};

template <typename Rule>
inline constexpr const char* expected = nullptr;
template <>
inline constexpr const char* expected<referred> =
    "lt, gt, amp, apos, quot or the number of a character, for no other entity is declared";
template <>
inline constexpr const char* expected<reference_end> = "\";\" after a reference";
template <>
inline constexpr const char* expected<equals> = "\"=\" after an attribute's name";
template <>
inline constexpr const char* expected<value> = "an attribute's value in quotes";
template <>
inline constexpr const char* expected<value_end<'"'>> = "the rest of a value and its double quote";
template <>
inline constexpr const char* expected<value_end<'\''>> = "the rest of a value and its single quote";
template <>
inline constexpr const char* expected<start_name> = "an element's name";
template <>
inline constexpr const char* expected<start_end> = "an attribute after a blank, \"/>\" or \">\"";
template <>
inline constexpr const char* expected<end_name> = "an element's name";
template <>
inline constexpr const char* expected<end_end> = "\">\" after an element's name";
template <>
inline constexpr const char* expected<comment_rest> = "the rest of a comment";
template <>
inline constexpr const char* expected<comment_end> = "\">\" after \"--\" in a comment";
template <>
inline constexpr const char* expected<instruction_rest> = "the rest of a processing instruction";
template <>
inline constexpr const char* expected<literal_rest> = "the rest of a CDATA section";
template <>
inline constexpr const char* expected<no_declaration> =
    "no document type declaration: its entities could stand for text that is not in the answer";

struct errors {
    template <typename Rule>
    static constexpr const char* message = expected<Rule>;
    template <typename Rule>
    static constexpr bool raise_on_failure = false;
};
template <typename Rule>
using control = pegtl::must_if<errors>::control<Rule>;

template <typename Rule>
struct tell : pegtl::nothing<Rule> {};

struct tell_name {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.name = in.string();
    }
};
template <>
struct tell<start_name> : tell_name {};
template <>
struct tell<end_name> : tell_name {};
template <>
struct tell<self_closing> {
    static void apply0(Scratch& scratch) { scratch.is_empty = true; }
};
template <>
struct tell<start_tag> {
    static void apply0(Scratch& scratch) { scratch.kind = Scratch::Kind::start; }
};
template <>
struct tell<end_tag> {
    static void apply0(Scratch& scratch) { scratch.kind = Scratch::Kind::end; }
};
struct tell_other {
    static void apply0(Scratch& scratch) { scratch.kind = Scratch::Kind::other; }
};
template <>
struct tell<comment> : tell_other {};
template <>
struct tell<instruction> : tell_other {};

/// A character that XML may hold (section 2.2), or the reference does not match.
template <unsigned Base>
struct check_character {
    template <typename Input>
    static bool apply(const Input& in, Scratch&) {
        std::uint32_t code = 0;
        for (const char byte : in.string_view()) {
            const unsigned digit = byte <= '9' ? static_cast<unsigned>(byte - '0')
                                               : static_cast<unsigned>((byte | 0x20) - 'a') + 10U;
            code = code * Base + digit;
            if (code > 0x10ffff)
                return false;
        }
        return code == 0x9 || code == 0xa || code == 0xd || (code >= 0x20 && code <= 0xd7ff) ||
               (code >= 0xe000 && code <= 0xfffd) || code >= 0x10000;
    }
};
template <>
struct tell<decimal> : check_character<10> {};
template <>
struct tell<hexadecimal> : check_character<16> {};

} // namespace slotwitness::layouts::xml_grammar
