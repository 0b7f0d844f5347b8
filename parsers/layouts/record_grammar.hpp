#pragma once

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <cstddef>
#include <string_view>

/// One line "label: value" of a record, without its line end.
namespace slotwitness::layouts::record_grammar {

namespace pegtl = tao::pegtl;

struct Scratch {
    std::string_view label;      ///< with the blanks before the separator
    const char* value = nullptr; ///< its first byte that is not blank, or the end
};

struct blank : pegtl::one<' '> {};
template <char Separator>
struct label : pegtl::plus<pegtl::not_one<Separator>> {};
struct value : pegtl::star<pegtl::any> {};
template <char Separator>
struct line : pegtl::seq<pegtl::star<blank>, label<Separator>, pegtl::one<Separator>,
                         pegtl::star<blank>, value, pegtl::eof> {};

template <typename Rule>
struct keep : pegtl::nothing<Rule> {};
template <char Separator>
struct keep<label<Separator>> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.label = in.string_view();
    }
};
template <>
struct keep<value> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.value = in.begin();
    }
};

} // namespace slotwitness::layouts::record_grammar
