#pragma once

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <string_view>

/// ABNF, rules only (RFC 5234, section 4; RFC 7405, section 2.2). Each point decides by itself what
/// may follow, so no action fires for a reading that is given up later; where nothing fits stands a
/// rule derived from `raise`, with its message in messages.hpp.
namespace slotwitness::abnf::grammar {

namespace p = tao::pegtl;

struct blank : p::one<' ', '\t'> {};
struct line_end : p::sor<p::one<'\n'>, p::string<'\r', '\n'>> {};
struct control : p::sor<p::range<'\0', '\x1f'>, p::one<'\x7f'>> {};
struct comment
    : p::seq<p::one<';'>, p::star<p::sor<p::one<'\t'>, p::seq<p::not_at<control>, p::any>>>> {};
struct empty_line : p::seq<p::star<blank>, p::opt<comment>, line_end> {};
struct last_line : p::seq<p::sor<p::seq<p::plus<blank>, p::opt<comment>>, comment>, p::eof> {};

/// What every line of the rules begins with: the state's `margin`.
struct margin {
    using rule_t = margin;
    using subs_t = p::empty_list;
    template <p::apply_mode, p::rewind_mode, template <typename...> class,
              template <typename...> class, typename Input, typename State>
    static bool match(Input& in, State& state) {
        const std::string_view expected = state.margin;
        if (in.size(expected.size()) < expected.size() ||
            std::string_view{in.current(), expected.size()} != expected)
            return false;
        in.bump_in_this_line(expected.size());
        return true;
    }
};

/// The end of a line whose rule goes on further to the right.
struct continuation : p::seq<p::opt<comment>, line_end, p::star<empty_line>, margin, blank> {};
struct gap : p::star<p::sor<blank, continuation>> {};
struct some_gap : p::plus<p::sor<blank, continuation>> {};

struct name : p::seq<p::alpha, p::star<p::sor<p::alnum, p::one<'-'>>>> {};
struct reference : name {};

// Repetition: `n`, `n*m`, `n*`, `*m`, `*`.
struct no_repeated : p::raise<no_repeated> {};
struct least : p::plus<p::digit> {};
struct most : p::plus<p::digit> {};
struct asterisk : p::one<'*'> {};
struct up_to : p::seq<asterisk, p::opt<most>> {};
struct repeat : p::sor<p::seq<least, p::opt<up_to>>, up_to> {};

// Texts in double quotes.
struct no_quote : p::raise<no_quote> {};
struct no_closing_quote : p::raise<no_closing_quote> {};
struct quoted_text : p::star<p::ranges<' ', '!', '#', '~'>> {};
struct quoted : p::seq<p::one<'"'>, quoted_text, p::sor<p::one<'"'>, no_closing_quote>> {};
struct plain_text : quoted {};
struct sensitive_text : p::seq<p::one<'s', 'S'>, p::sor<quoted, no_quote>> {};
struct insensitive_text : p::seq<p::one<'i', 'I'>, p::sor<quoted, no_quote>> {};

// Octets by their numbers.
struct no_base : p::raise<no_base> {};
struct no_hexadecimal : p::raise<no_hexadecimal> {};
struct no_decimal : p::raise<no_decimal> {};
struct no_binary : p::raise<no_binary> {};
template <class Digit>
struct octet : p::plus<Digit> {};
struct range_dash : p::one<'-'> {};
template <class Digit, class Error>
struct octets : p::seq<p::sor<octet<Digit>, Error>,
                       p::sor<p::plus<p::one<'.'>, p::sor<octet<Digit>, Error>>,
                              p::seq<range_dash, p::sor<octet<Digit>, Error>>, p::success>> {};
struct binary_digit : p::one<'0', '1'> {};
struct hexadecimal : p::seq<p::one<'x', 'X'>, octets<p::xdigit, no_hexadecimal>> {};
struct decimal : p::seq<p::one<'d', 'D'>, octets<p::digit, no_decimal>> {};
struct binary : p::seq<p::one<'b', 'B'>, octets<binary_digit, no_binary>> {};
struct number : p::sor<hexadecimal, decimal, binary> {};
struct percent : p::seq<p::one<'%'>, p::sor<sensitive_text, insensitive_text, number, no_base>> {};

// `<in words>`.
struct no_closing_angle : p::raise<no_closing_angle> {};
struct prose_text : p::star<p::ranges<' ', '=', '?', '~'>> {};
struct prose : p::seq<p::one<'<'>, prose_text, p::sor<p::one<'>'>, no_closing_angle>> {};

// Groups and options, and what they are made of.
struct no_element : p::raise<no_element> {};
struct no_parenthesis : p::raise<no_parenthesis> {};
struct no_bracket : p::raise<no_bracket> {};
struct alternation;
struct open_group : p::one<'('> {};
struct close_group : p::one<')'> {};
struct open_option : p::one<'['> {};
struct close_option : p::one<']'> {};
struct group : p::seq<open_group, gap, alternation, gap, p::sor<close_group, no_parenthesis>> {};
struct option : p::seq<open_option, gap, alternation, gap, p::sor<close_option, no_bracket>> {};
/// Entered only where one begins, so that its depth is counted rightly.
struct nested : p::sor<group, option> {};
struct any_nested : p::seq<p::at<p::one<'(', '['>>, nested> {};
struct element : p::sor<reference, any_nested, plain_text, percent, prose> {};
struct repetition : p::sor<p::seq<repeat, p::sor<element, no_repeated>>, element> {};
struct concatenation : p::sor<p::seq<repetition, p::star<some_gap, repetition>>, no_element> {};
struct slash : p::one<'/'> {};
struct alternation : p::seq<concatenation, p::star<gap, slash, gap, concatenation>> {};

// Rules.
struct no_rule : p::raise<no_rule> {};
struct no_definition : p::raise<no_definition> {};
struct no_end : p::raise<no_end> {};
struct defined_name : name {};
struct more_choices : p::string<'=', '/'> {};
struct definition : p::one<'='> {};
struct rule_end : p::seq<p::opt<comment>, p::sor<line_end, p::eof>> {};
struct whole_rule : p::seq<alternation, gap, p::sor<rule_end, no_end>> {};
struct rule : p::seq<margin, defined_name, gap, p::sor<more_choices, definition, no_definition>,
                     gap, whole_rule> {};
struct rule_list : p::until<p::eof, p::sor<empty_line, last_line, rule, no_rule>> {};

} // namespace slotwitness::abnf::grammar

/// For the check against loops that consume nothing: a margin may be empty.
template <typename Name>
struct tao::pegtl::analyze_traits<Name, slotwitness::abnf::grammar::margin>
    : tao::pegtl::analyze_opt_traits<> {};
