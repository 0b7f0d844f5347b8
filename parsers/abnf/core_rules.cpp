#include "core_rules.hpp"

#include <utility>

namespace slotwitness::abnf {
namespace {

Element range(unsigned char first, unsigned char last) {
    return {Range{first, last}, {}};
}
Element octet(char value) {
    return {Literal{std::string(1, value), true}, {}};
}
Element text(const char* characters) {
    return {Literal{characters, false}, {}};
}
Element rule(const char* name) {
    return {Reference{lower_case(name), 0}, {}};
}
Element one_of(std::vector<Element> choices) {
    return {Alternation{std::move(choices)}, {}};
}
Element all_of(std::vector<Element> parts) {
    return {Concatenation{std::move(parts)}, {}};
}

} // namespace

std::map<std::string, Rule> core_rules() {
    std::map<std::string, Rule> rules;
    const auto define = [&](const char* name, Element element) {
        rules.emplace(lower_case(name), Rule{name, std::move(element), {}, true});
    };
    define("ALPHA", one_of({range(0x41, 0x5a), range(0x61, 0x7a)}));
    define("BIT", one_of({text("0"), text("1")}));
    define("CHAR", range(0x01, 0x7f));
    define("CR", octet(0x0d));
    define("CRLF", all_of({rule("CR"), rule("LF")}));
    define("CTL", one_of({range(0x00, 0x1f), octet(0x7f)}));
    define("DIGIT", range(0x30, 0x39));
    define("DQUOTE", octet(0x22));
    define("HEXDIG", one_of({rule("DIGIT"), text("A"), text("B"), text("C"), text("D"), text("E"),
                             text("F")}));
    define("HTAB", octet(0x09));
    define("LF", octet(0x0a));
    define("LWSP", {Repetition{0,
                               Repetition::unbounded,
                               {one_of({rule("WSP"), all_of({rule("CRLF"), rule("WSP")})})}},
                    {}});
    define("OCTET", range(0x00, 0xff));
    define("SP", octet(0x20));
    define("VCHAR", range(0x21, 0x7e));
    define("WSP", one_of({rule("SP"), rule("HTAB")}));
    return rules;
}

} // namespace slotwitness::abnf
