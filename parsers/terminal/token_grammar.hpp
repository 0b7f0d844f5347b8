#pragma once

#include "token.hpp"

#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include <string_view>

/// One character or one control function at the beginning of a text. Bytes written "4/0" are
/// column and row of the code table, as ECMA-48 (5th edition) counts them.
namespace slotwitness::terminal::token_grammar {

namespace pegtl = tao::pegtl;

/// The parts of a control sequence, while it is not known to be whole.
struct Scratch {
    std::string_view parameters;
    std::string_view intermediates;
    Token token;
};

struct esc : pegtl::one<'\x1b'> {};

/// A character is valid UTF-8 (RFC 3629) outside of the control sets C0 and C1, or a byte that
/// could be no control. A byte of C1 that does not belong to valid UTF-8 is that control.
struct printable : pegtl::utf8::ranges<0x20, 0x7e, 0xa0, 0x10ffff> {};
struct control_in_utf8 : pegtl::utf8::range<0x80, 0x9f> {};
struct stray_byte : pegtl::seq<pegtl::not_at<control_in_utf8>, pegtl::ranges<'\xa0', '\xff'>> {};
struct character : pegtl::sor<printable, stray_byte> {};

/// ECMA-48, 8.3, NUL: "media-fill or time-fill".
struct fill : pegtl::plus<pegtl::one<'\0'>> {};

/// ECMA-48, 5.4: CSI P…P I…I F, with P from 3/0 to 3/15, I from 2/0 to 2/15, F from 4/0 to 7/14.
struct introducer : pegtl::sor<pegtl::seq<esc, pegtl::one<'['>>, pegtl::one<'\x9b'>> {};
struct parameters : pegtl::rep_max<longest_parameters, pegtl::range<'\x30', '\x3f'>> {};
struct intermediates : pegtl::rep_max<most_intermediates, pegtl::range<'\x20', '\x2f'>> {};
struct final_byte : pegtl::range<'\x40', '\x7e'> {};
struct sequence : pegtl::seq<introducer, parameters, intermediates, final_byte> {};

/// ECMA-48, 5.6: DCS, SOS, OSC, PM and APC, each ended by ST. Terminals end OSC at BEL too (from
/// memory), but no other: what follows BEL there is still not shown.
struct command_opener : pegtl::sor<pegtl::seq<esc, pegtl::one<']'>>, pegtl::one<'\x9d'>> {};
struct other_opener : pegtl::sor<pegtl::seq<esc, pegtl::one<'P', 'X', '^', '_'>>,
                                 pegtl::one<'\x90', '\x98', '\x9e', '\x9f'>> {};
struct terminator : pegtl::sor<pegtl::seq<esc, pegtl::one<'\\'>>, pegtl::one<'\x9c'>> {};
struct body : pegtl::rep_max<longest_string, printable> {};
struct string
    : pegtl::sor<pegtl::seq<command_opener, body, pegtl::sor<terminator, pegtl::one<'\a'>>>,
                 pegtl::seq<other_opener, body, terminator>> {};
struct unended_string : pegtl::sor<command_opener, other_opener> {};

/// ECMA-35 (ISO/IEC 2022), 13.2: ESC I…I F with F from 3/0 to 7/14. Without intermediates, F may
/// not be what introduces a sequence or a string.
struct escape_final : pegtl::range<'\x30', '\x7e'> {};
struct escape_intermediates
    : pegtl::seq<pegtl::range<'\x20', '\x2f'>,
                 pegtl::rep_max<most_intermediates - 1, pegtl::range<'\x20', '\x2f'>>> {};
struct escape
    : pegtl::seq<
          esc,
          pegtl::sor<escape_intermediates, pegtl::not_at<pegtl::one<'[', ']', 'P', 'X', '^', '_'>>>,
          escape_final> {};

struct broken : pegtl::sor<introducer, esc> {};
/// A byte of C0 or C1, DEL, or a control of C1 in UTF-8, which some terminals obey.
struct control : pegtl::sor<control_in_utf8, pegtl::any> {};

struct token
    : pegtl::sor<character, fill, sequence, string, escape, unended_string, broken, control> {};

template <typename Rule>
struct keep : pegtl::nothing<Rule> {};
template <Form form>
struct keep_as {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.token = {form, in.string_view(), {}, {}};
    }
};
template <>
struct keep<character> : keep_as<Form::character> {};
template <>
struct keep<fill> : keep_as<Form::fill> {};
template <>
struct keep<string> : keep_as<Form::string> {};
template <>
struct keep<escape> : keep_as<Form::escape> {};
template <>
struct keep<unended_string> : keep_as<Form::unended_string> {};
template <>
struct keep<broken> : keep_as<Form::broken> {};
template <>
struct keep<control> : keep_as<Form::control> {};
template <>
struct keep<parameters> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.parameters = in.string_view();
    }
};
template <>
struct keep<intermediates> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.intermediates = in.string_view();
    }
};
template <>
struct keep<sequence> {
    template <typename Input>
    static void apply(const Input& in, Scratch& scratch) {
        scratch.token = {Form::sequence, in.string_view(), scratch.parameters,
                         scratch.intermediates};
    }
};

} // namespace slotwitness::terminal::token_grammar
