#include "effect.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>
#include <optional>

namespace slotwitness::terminal {
namespace {

using Kind = Effect::Kind;

/// The only parameter, or `absent` where there is none. Of one too large for us the most is enough,
/// for a line is shorter. Nothing if there are several or a private one.
std::optional<std::size_t> only_number(std::string_view parameters, std::size_t absent) {
    if (parameters.empty())
        return absent;
    if (!std::all_of(parameters.begin(), parameters.end(),
                     [](char byte) { return byte >= '0' && byte <= '9'; }))
        return std::nullopt;
    std::size_t number = 0;
    const auto [end, error] =
        std::from_chars(parameters.data(), parameters.data() + parameters.size(), number);
    return error == std::errc{} ? number : std::numeric_limits<std::size_t>::max();
}

/// Private modes that leave what was and will be written as it is.
bool is_harmless_mode(std::size_t mode, bool set) {
    constexpr std::array modes{std::size_t{1},  // cursor keys
                               std::size_t{4},  // smooth scrolling
                               std::size_t{5},  // dark on light
                               std::size_t{8},  // keys repeat
                               std::size_t{12}, // the cursor blinks
                               std::size_t{25}, // the cursor is shown
                               std::size_t{1000}, std::size_t{1002}, std::size_t{1003},
                               std::size_t{1004}, std::size_t{1005}, std::size_t{1006},
                               std::size_t{1015},  // mouse and focus
                               std::size_t{1034},  // the meta key
                               std::size_t{2004}}; // marks around what is pasted
    constexpr std::size_t wraps_lines = 7;         // without it, long lines lose their middle
    return (mode == wraps_lines && set) ||
           std::find(modes.begin(), modes.end(), mode) != modes.end();
}

bool are_harmless_modes(std::string_view parameters, bool set) {
    if (!parameters.starts_with('?'))
        return false;
    parameters.remove_prefix(1);
    for (bool more = true; more;) {
        const std::size_t end = parameters.find(';');
        const auto mode = only_number(parameters.substr(0, end), 0);
        if (!mode || !is_harmless_mode(*mode, set))
            return false;
        more = end != std::string_view::npos;
        parameters.remove_prefix(more ? end + 1 : parameters.size());
    }
    return true;
}

Effect erasing(std::string_view parameters) {
    switch (only_number(parameters, 0).value_or(3)) {
    case 0:
        return {Kind::erase_to_end};
    case 1:
        return {Kind::erase_to_begin};
    case 2:
        return {Kind::erase_line};
    }
    return {};
}

/// SGR. Concealed characters (8) are in the answer, but nobody sees them.
Effect rendition(std::string_view parameters) {
    const bool standard = parameters.find_first_not_of("0123456789;:") == std::string_view::npos;
    const bool private_keys = parameters.starts_with('>'); // how modified keys report
    return {standard || private_keys ? Kind::look : Kind::elsewhere};
}

Effect of_sequence(const Token& token) {
    const char final_byte = token.bytes.back();
    if (!token.intermediates.empty()) {
        const bool cursor_shape = token.intermediates == " " && final_byte == 'q';
        return {cursor_shape ? Kind::look : Kind::elsewhere};
    }
    switch (final_byte) {
    case 'm':
        return rendition(token.parameters);
    case 'K':
        return erasing(token.parameters);
    case 'D':
        if (const auto count = only_number(token.parameters, 1))
            return {Kind::back, std::max<std::size_t>(*count, 1)};
        return {};
    case 'G':
        return {only_number(token.parameters, 1).value_or(2) <= 1 ? Kind::home : Kind::in_line};
    case 'h':
    case 'l':
        return {are_harmless_modes(token.parameters, final_byte == 'h') ? Kind::look : Kind::mode};
    case 't': { // the window's title is kept and given back
        const bool title =
            token.parameters.starts_with("22;") || token.parameters.starts_with("23;");
        return {title ? Kind::look : Kind::elsewhere};
    }
    case '@': // ICH, CUF, CHT, DCH, ECH, CBT, HPA, HPR, REP: within the line
    case 'C':
    case 'I':
    case 'P':
    case 'X':
    case 'Z':
    case '`':
    case 'a':
    case 'b':
        return {Kind::in_line};
    case 'c': // DA, DSR: the device asks its terminal
    case 'n':
        return {Kind::in_line};
    }
    return {};
}

/// Designations of character sets are ECMA-35's: G0 is what is shown unless something shifts.
Effect of_escape(std::string_view bytes) {
    const std::string_view name = bytes.substr(1);
    if (name == "=" || name == ">") // keypad
        return {Kind::look};
    if (name == " F" || name == "%G") // controls in 7 bits; UTF-8
        return {Kind::look};
    if (name == "(B")
        return {Kind::plain_set};
    switch (name.front()) {
    case '(':
    case ',':
        return {Kind::other_set};
    case ')':
    case '*':
    case '+':
    case '-':
    case '.':
    case '/':
        // Of G1 to G3, which nothing shows before a shift. Only the sets that terminals are set up
        // with: another may be text behind a byte that was garbled ("ESC - 6" of "  - 6").
        return name.size() == 2 && std::string_view{"0AB"}.find(name[1]) != std::string_view::npos
                   ? Effect{Kind::look}
                   : Effect{};
    case 'N':
    case 'O':
    case 'n':
    case 'o':
    case '|':
    case '}':
    case '~':
        return {Kind::mode}; // shifts
    }
    return {};
}

Effect of_control(std::string_view bytes) {
    if (bytes == "\b")
        return {Kind::back, 1};
    if (bytes == "\r")
        return {Kind::home};
    if (bytes == "\t")
        return {Kind::tab};
    if (bytes == "\x0f")
        return {Kind::shift_in};
    if (bytes == "\x0e")
        return {Kind::shift_out};
    if (bytes == "\x8d" || bytes == "\xc2\x8d") // RI
        return {Kind::elsewhere};
    return {Kind::in_line};
}

std::string readable(std::string_view bytes) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string text;
    for (const char byte : bytes) {
        const auto value = static_cast<unsigned char>(byte);
        if (!text.empty())
            text.append(" ");
        if (value == 0x1b)
            text.append("ESC");
        else if (value == 0x9b)
            text.append("CSI");
        else if (value > 0x20 && value < 0x7f)
            text.push_back(byte);
        else
            text.append("0x").append({digits[value >> 4U], digits[value & 0xfU]});
    }
    return text;
}

} // namespace

Effect effect_of(const Token& token) {
    switch (token.form) {
    case Form::sequence:
        return of_sequence(token);
    case Form::escape:
        return of_escape(token.bytes);
    case Form::control:
        return of_control(token.bytes);
    case Form::string:
        return {Kind::look};
    case Form::character:
    case Form::fill:
    case Form::broken:
        return {Kind::in_line};
    case Form::unended_string:
        return {Kind::mode};
    }
    return {};
}

std::string expected_instead_of(const Token& token) {
    switch (token.form) {
    case Form::unended_string:
        return "the end (ST) of the control string " + readable(token.bytes) + " in this line";
    case Form::broken:
        return "the rest of the control function " + readable(token.bytes);
    case Form::sequence:
    case Form::escape:
        return "text without cursor movement (" + readable(token.bytes) + ")";
    case Form::control:
    case Form::character:
    case Form::fill:
    case Form::string:
        break;
    }
    return "printable text instead of a control byte (" + readable(token.bytes.substr(0, 8)) + ")";
}

} // namespace slotwitness::terminal
