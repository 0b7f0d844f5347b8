#pragma once

#include "abnf_grammar.hpp"

#include <string_view>

/// What is said at each error point of the grammar. A point without words does not build.
namespace slotwitness::abnf {

struct Message {
    std::string_view expected;
    std::string_view remedy;
};

template <class Error>
inline constexpr Message message = Error::has_no_message;

namespace g = grammar;

#define SLOTWITNESS_ELEMENT                                                                        \
    "a rule name, a text in double quotes, \"%x\", \"%d\", \"%b\", \"%s\", \"%i\", \"(\" or \"[\""

template <>
inline constexpr Message message<g::no_rule>{
    "the name of a rule, in the column where the first rule begins",
    "begin each rule in one column with a letter, and indent the lines that continue it"};
template <>
inline constexpr Message message<g::no_definition>{
    "\"=\" or \"=/\" after the name of a rule",
    "write a rule as in `slot = \"FAB\" 1*DIGIT`; a name has letters, digits and \"-\""};
template <>
inline constexpr Message message<g::no_element>{SLOTWITNESS_ELEMENT,
                                                "say what stands here, or write \"\" for nothing"};
template <>
inline constexpr Message message<g::no_repeated>{SLOTWITNESS_ELEMENT " right after the repetition",
                                                 "write what is repeated, as in `1*DIGIT`"};
template <>
inline constexpr Message message<g::no_end>{
    "a blank and the next element, \"/\" or the end of the rule",
    "part elements by blanks, and begin each rule in the column of the first one"};
template <>
inline constexpr Message message<g::no_parenthesis>{"a blank and the next element, \"/\" or \")\"",
                                                    "close the group with \")\""};
template <>
inline constexpr Message message<g::no_bracket>{"a blank and the next element, \"/\" or \"]\"",
                                                "close the option with \"]\""};
template <>
inline constexpr Message message<g::no_quote>{
    "a text in double quotes right after \"%s\" or \"%i\"", "write it as in `%s\"Slot\"`"};
template <>
inline constexpr Message message<g::no_closing_quote>{
    "printable ASCII characters and a closing double quote",
    "close the text, and write other octets by number, as in `%xC3.A9`; %x22 is the double quote"};
template <>
inline constexpr Message message<g::no_base>{"\"x\", \"d\", \"b\", \"s\" or \"i\" after \"%\"",
                                             "write an octet as in `%x41`"};
template <>
inline constexpr Message message<g::no_hexadecimal>{"a hexadecimal digit",
                                                    "write octets as in `%x41-5A` or `%x0D.0A`"};
template <>
inline constexpr Message message<g::no_decimal>{"a decimal digit",
                                                "write octets as in `%d65-90` or `%d13.10`"};
template <>
inline constexpr Message message<g::no_binary>{"0 or 1", "write octets as in `%b1010`"};
template <>
inline constexpr Message message<g::no_closing_angle>{
    "printable ASCII characters and a closing \">\"", "close the words with \">\""};

#undef SLOTWITNESS_ELEMENT

} // namespace slotwitness::abnf
