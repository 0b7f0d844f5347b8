#pragma once

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <cstddef>
#include <string_view>

/// One pair "label: value" of a record, without the line's end.
namespace slotwitness::layouts::record_grammar {

namespace pegtl = tao::pegtl;

struct Scratch {
    const char* label = nullptr;
    std::size_t label_size = 0;  ///< with the blanks before the separator
    const char* value = nullptr; ///< its first byte that is not blank, or the end
};

struct blank : pegtl::one<' '> {};
struct colon : pegtl::one<':'> {};
struct equals : pegtl::one<'='> {};
/// Leaders: a single dot may be part of a label ("Rev. B").
struct dots : pegtl::seq<pegtl::two<'.'>, pegtl::star<pegtl::one<'.'>>> {};

template <class Separator>
struct label : pegtl::plus<pegtl::not_at<Separator>, pegtl::any> {};
struct value : pegtl::star<pegtl::any> {};
template <class Separator>
struct pair : pegtl::seq<pegtl::star<blank>, label<Separator>, Separator, pegtl::star<blank>, value,
                         pegtl::eof> {};

template <typename Rule>
struct keep : pegtl::nothing<Rule> {};
template <class Separator>
struct keep<label<Separator>> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.label = in.begin();
        scratch.label_size = in.size();
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
