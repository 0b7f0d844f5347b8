#pragma once

#include <string>
#include <vector>

/// What is written about the command line, made from the one description of it: the man page's list
/// of verbs, and what shells complete.
namespace slotwitness::manual {

struct Argument {
    std::string name;  ///< "--config"; of an operand "CHASSIS"
    std::string value; ///< FILE, FOLDER, "text|json", or another word; empty: nothing follows
    std::string what;  ///< one phrase, without a full stop at its end
    bool needed = false;
    bool repeats = false;
};

struct Verb {
    std::string name; ///< "look", "token make"
    std::string what;
    std::vector<Argument> options;
    std::vector<Argument> operands; ///< in order
};

struct CommandLine {
    std::string name;
    std::string version;
    std::vector<Argument> options; ///< without a verb
    std::vector<Verb> verbs;
};

/// "text|json" has two; another value has none.
[[nodiscard]] std::vector<std::string> choices(const std::string& value);

} // namespace slotwitness::manual
