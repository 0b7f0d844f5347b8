#include "completion.hpp"

#include <string_view>

namespace slotwitness::manual {

namespace {

/// One word of a shell, whatever is in it.
std::string quoted(std::string_view text) {
    std::string word = "'";
    for (const char byte : text)
        if (byte == '\'')
            word += "'\\''";
        else
            word += byte;
    return word + "'";
}

/// What an operand is completed as: its own name where nothing else is said.
const std::string& kind_of(const Argument& argument) {
    return argument.value.empty() ? argument.name : argument.value;
}

/// Names of chassis in the configuration file $1: both shells ask alike.
constexpr std::string_view names_of_chassis = R"sh(
_slotwitness_chassis() {
    awk -F'"' '/^[[:space:]]*\[\[/ { here = /\[\[chassis\]\]/ }
               here && /^[[:space:]]*name[[:space:]]*=/ { print $2 }' "$1" 2>/dev/null
}
)sh";

constexpr std::string_view bash_rest = R"sh(
    esac

    # What stands before: which option the word belongs to, and how many operands there are.
    local option= config= count=0 i=$first word
    for ((; i < COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [ -n "$option" ]; then
            [ "$option" = --config ] && config=$word
            option=
        elif [[ $word == -* ]]; then
            [[ -n ${values[$word]} ]] && option=$word
        else
            ((count += 1))
        fi
    done

    local kind
    if [ -n "$option" ]; then
        kind=${values[$option]}
    elif [[ $current == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "${!values[*]}" -- "$current")
        return
    else
        kind=${operands[count]:-$more}
    fi
    case $kind in
        FILE) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- "$current") ;;
        FOLDER) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -d -- "$current") ;;
        CHASSIS) mapfile -t COMPREPLY < <(compgen -W "$(_slotwitness_chassis "${config/#\~/$HOME}")" -- "$current") ;;
        *'|'*) mapfile -t COMPREPLY < <(compgen -W "${kind//|/ }" -- "$current") ;;
        '') mapfile -t COMPREPLY < <(compgen -W "${!values[*]}" -- "$current") ;;
    esac
}
)sh";

/// The words that may follow `before` ("token ": make, list, revoke).
std::string next_words(const CommandLine& line, std::string_view before) {
    std::string words, last;
    for (const Verb& verb : line.verbs) {
        if (!verb.name.starts_with(before))
            continue;
        const std::string word =
            verb.name.substr(before.size(), verb.name.find(' ', before.size()) - before.size());
        if (word != last)
            words += (words.empty() ? "" : " ") + word;
        last = word;
    }
    return words;
}

std::string bash_case(const Verb& verb) {
    std::string text = "        " + quoted(verb.name) + ")\n            values=(";
    for (const Argument& option : verb.options)
        text += "[" + option.name + "]=" + quoted(option.value) + ' ';
    text += "[--help]='')\n            operands=(";
    std::string more;
    for (const Argument& operand : verb.operands) {
        text += quoted(kind_of(operand)) + ' ';
        if (operand.repeats)
            more = kind_of(operand);
    }
    return text + ")\n            more=" + quoted(more) + " ;;\n";
}

/// Text within the brackets and between the colons of _arguments.
std::string zsh_text(std::string_view text) {
    std::string safe;
    for (const char byte : text) {
        if (byte == '[' || byte == ']' || byte == ':' || byte == '\\')
            safe += '\\';
        safe += byte;
    }
    return safe;
}

std::string zsh_action(const std::string& kind) {
    if (kind == "FILE")
        return "_files";
    if (kind == "FOLDER")
        return "_files -/";
    if (kind == "CHASSIS")
        return "_slotwitness_names";
    std::string words;
    for (const std::string& word : choices(kind))
        words += (words.empty() ? "" : " ") + word;
    return words.empty() ? " " : '(' + words + ')';
}

std::string zsh_case(const Verb& verb) {
    std::string text = "        " + quoted(verb.name) + ")\n            _arguments";
    for (const Argument& option : verb.options) {
        std::string spec =
            (option.repeats ? "*" : "") + option.name + '[' + zsh_text(option.what) + ']';
        if (!option.value.empty())
            spec += ':' + zsh_text(option.value) + ':' + zsh_action(option.value);
        text += " \\\n                " + quoted(spec);
    }
    for (const Argument& operand : verb.operands)
        text += " \\\n                " +
                quoted((operand.repeats ? "*:" : ":") + zsh_text(operand.name) + ':' +
                       zsh_action(kind_of(operand)));
    return text + " ;;\n";
}

/// A function that offers each of these words with what it does.
std::string zsh_verbs(const CommandLine& line, std::string_view before) {
    std::string text;
    for (const Verb& verb : line.verbs)
        if (verb.name.starts_with(before) &&
            verb.name.find(' ', before.size()) == std::string::npos)
            text += ' ' + quoted(zsh_text(verb.name.substr(before.size())) + ':' + verb.what);
    return text;
}

} // namespace

std::string bash_completion(const CommandLine& line) {
    std::string text = "# bash completion of " + line.name + ", made from its command line.\n" +
                       std::string{names_of_chassis};
    text += R"sh(
_slotwitness() {
    local current=${COMP_WORDS[COMP_CWORD]} verb= first=2
    local -A values=()
    local operands=() more=
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W ")sh" +
            next_words(line, "");
    for (const Argument& option : line.options)
        text += ' ' + option.name;
    text += R"sh(" -- "$current")
        return
    fi
    verb=${COMP_WORDS[1]}
)sh";
    std::string last, cases;
    for (const Verb& verb : line.verbs) {
        cases += bash_case(verb);
        const std::size_t blank = verb.name.find(' ');
        const std::string group = verb.name.substr(0, blank);
        if (blank == std::string::npos || group == last)
            continue;
        last = group;
        text += "    if [ \"$verb\" = " + group +
                " ]; then\n        if [ \"$COMP_CWORD\" -eq 2 ]; then\n            mapfile -t "
                "COMPREPLY < <(compgen -W \"" +
                next_words(line, group + ' ') +
                "\" -- \"$current\")\n            return\n        fi\n        verb=\"$verb "
                "${COMP_WORDS[2]}\" first=3\n    fi\n";
    }
    return text + "    case $verb in\n" + cases + "        *) return ;;" + std::string{bash_rest} +
           "complete -F _slotwitness " + line.name + '\n';
}

std::string zsh_completion(const CommandLine& line) {
    std::string text = "#compdef " + line.name + "\n# Made from its command line.\n" +
                       std::string{names_of_chassis} + R"sh(
_slotwitness_names() {
    local -a names
    names=(${(f)"$(_slotwitness_chassis ${~opt_args[--config]})"})
    compadd -a names
}

_slotwitness() {
    local curcontext=$curcontext state verb
    local -a verbs
    typeset -A opt_args
    if (( CURRENT == 2 )); then
        verbs=()sh" + zsh_verbs(line, "");
    std::string last, groups, cases;
    for (const Verb& verb : line.verbs) {
        cases += zsh_case(verb);
        const std::size_t blank = verb.name.find(' ');
        const std::string group = verb.name.substr(0, blank);
        if (blank == std::string::npos || group == last)
            continue;
        last = group;
        text += ' ' + group;
        groups +=
            "    if [[ $verb == " + group +
            " ]]; then\n        if (( CURRENT == 3 )); then\n            verbs=(" +
            zsh_verbs(line, group + ' ') +
            ")\n            _describe verb verbs\n            return\n        fi\n        "
            "verb=\"$verb $words[3]\"\n        shift words\n        (( CURRENT-- ))\n    fi\n";
    }
    return text + ")\n        _describe verb verbs\n        return\n    fi\n    verb=$words[2]\n" +
           groups + "    shift words\n    (( CURRENT-- ))\n    case $verb in\n" + cases +
           "    esac\n}\n\n_slotwitness \"$@\"\n";
}

} // namespace slotwitness::manual
