#include "man_page.hpp"

namespace slotwitness::manual {

namespace {

/// As text that troff prints and does not obey: "-" stays what a shell takes, a point or quote at
/// the beginning is no request.
std::string troff(std::string_view text) {
    std::string safe;
    if (text.starts_with('.') || text.starts_with('\''))
        safe = "\\&";
    for (const char byte : text)
        switch (byte) {
        case '\\':
            safe += "\\e";
            break;
        case '-':
            safe += "\\-";
            break;
        case '"':
            safe += "\\(dq";
            break;
        case '\'':
            safe += "\\(aq";
            break;
        default:
            safe += byte;
        }
    return safe;
}

/// "|" parts words of which one is written, whereas a word in capitals stands for another.
std::string value_in_troff(const std::string& value) {
    return choices(value).empty() ? "\\fI" + troff(value) + "\\fR" : "\\fB" + troff(value) + "\\fR";
}

std::string named(const Argument& argument) {
    if (!argument.name.starts_with('-'))
        return "\\fI" + troff(argument.name) + "\\fR";
    std::string text = "\\fB" + troff(argument.name) + "\\fR";
    if (!argument.value.empty())
        text += ' ' + value_in_troff(argument.value);
    return text;
}

std::string in_synopsis(const Argument& argument) {
    return (argument.needed ? named(argument) : '[' + named(argument) + ']') +
           (argument.repeats ? "\\|.\\|.\\|." : "") + '\n';
}

std::string listed(const Argument& argument) {
    return ".TP\n" + named(argument) + '\n' + troff(argument.what) + ".\n";
}

std::string verbs_in_troff(const CommandLine& line) {
    std::string text;
    for (const Verb& verb : line.verbs) {
        text +=
            ".SS " + troff(verb.name) + "\n.SY \"" + troff(line.name + ' ' + verb.name) + "\"\n";
        for (const Argument& option : verb.options)
            text += in_synopsis(option);
        for (const Argument& operand : verb.operands)
            text += in_synopsis(operand);
        text += ".YS\n.PP\n" + troff(verb.what) + ".\n";
        for (const Argument& operand : verb.operands)
            text += listed(operand);
        for (const Argument& option : verb.options)
            text += listed(option);
    }
    return text;
}

void replace(std::string& text, std::string_view mark, const std::string& by) {
    if (const std::size_t at = text.find(mark); at != std::string::npos)
        text.replace(at, mark.size(), by);
}

} // namespace

std::string man_page(std::string_view text, const CommandLine& line) {
    std::string page{text};
    replace(page, "@VERSION@", troff(line.version));
    replace(page, "@VERBS@\n", verbs_in_troff(line));
    return page;
}

} // namespace slotwitness::manual
