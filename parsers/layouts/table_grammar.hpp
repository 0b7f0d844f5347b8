#pragma once

#include "table_lines.hpp"

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <cstddef>
#include <string>
#include <vector>

/// The lines of a table that have a grammar of their own. Each matches a whole line without its
/// end.
namespace slotwitness::layouts::table_grammar {

namespace pegtl = tao::pegtl;

/// What the actions fill: on failure it holds what was read before the furthest place.
struct Scratch {
    const char* line = nullptr;
    const std::vector<std::string>* words = nullptr; ///< of the header, for `label`
    std::vector<Stretch> stretches;

    void keep(const char* begin, std::size_t size) {
        const auto at = static_cast<std::size_t>(begin - line);
        stretches.push_back({at, at + size});
    }
};

struct blank : pegtl::one<' '> {};
struct blanks : pegtl::plus<blank> {};

/// The next word of the header that the profile names, which may have blanks inside.
struct label {
    using rule_t = label;
    using subs_t = pegtl::empty_list;
    template <pegtl::apply_mode, pegtl::rewind_mode, template <typename...> class,
              template <typename...> class, typename Input>
    static bool match(Input& in, Scratch& scratch) {
        if (scratch.stretches.size() >= scratch.words->size())
            return false;
        const std::string& next = (*scratch.words)[scratch.stretches.size()];
        if (next.empty() || in.size(next.size()) < next.size() ||
            next.compare(0, next.size(), in.current(), next.size()) != 0)
            return false;
        scratch.keep(in.current(), next.size());
        in.bump_in_this_line(next.size());
        return true;
    }
};
struct header
    : pegtl::seq<pegtl::star<blank>, pegtl::list<label, blanks>, pegtl::star<blank>, pegtl::eof> {};

/// An upright bar of a box: ASCII, or of Unicode's block "Box Drawing" (U+2500 to U+257F).
struct bar : pegtl::sor<pegtl::one<'|'>, pegtl::utf8::one<0x2502, 0x2503, 0x2551>> {};
struct between : pegtl::sor<blank, bar> {};
struct boxed_header : pegtl::seq<pegtl::star<between>, pegtl::list<label, pegtl::plus<between>>,
                                 pegtl::star<between>, pegtl::eof> {};

/// "----- ---- =====": one run a column.
struct run : pegtl::sor<pegtl::plus<pegtl::one<'-'>>, pegtl::plus<pegtl::one<'='>>> {};
struct rule
    : pegtl::seq<pegtl::star<blank>, pegtl::list<run, blanks>, pegtl::star<blank>, pegtl::eof> {};

/// "+-----+----+", "├─────┼────┤", "|-----|----|", "-----+----".
struct dash : pegtl::sor<pegtl::one<'-', '='>, pegtl::utf8::one<0x2500, 0x2501, 0x2550>> {};
struct junction : pegtl::seq<pegtl::not_at<dash>,
                             pegtl::sor<pegtl::one<'+', '|'>, pegtl::utf8::range<0x2502, 0x257f>>> {
};
// What follows a junction never fails, so that its action is never undone.
struct border
    : pegtl::seq<pegtl::star<blank>, pegtl::opt<junction>, pegtl::plus<dash>,
                 pegtl::star<junction, pegtl::star<dash>>, pegtl::star<blank>, pegtl::eof> {};

template <typename Rule>
struct keep_stretch : pegtl::nothing<Rule> {};
struct keep {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.keep(in.begin(), in.size());
    }
};
template <>
struct keep_stretch<run> : keep {};
template <>
struct keep_stretch<junction> : keep {};

} // namespace slotwitness::layouts::table_grammar

/// For the check against loops that consume nothing: `label` always consumes.
template <typename Name>
struct tao::pegtl::analyze_traits<Name, slotwitness::layouts::table_grammar::label>
    : tao::pegtl::analyze_any_traits<> {};
