#include "sentence.hpp"

#include "exit_code.hpp"
#include "terminal.hpp"

#include <iostream>
#include <unistd.h>

namespace slotwitness::program {

tl::expected<sentences::Sentence, int> parse_sentence_or_say(const std::string& text) {
    auto sentence = sentences::parse(text);
    if (sentence)
        return std::move(*sentence);
    const state::Problem& problem = sentence.error();
    std::cerr << readable("", state::to_text(problem), columns_of_terminal(STDERR_FILENO)) << "  "
              << text << '\n';
    if (problem.at.column > 0)
        std::cerr << "  " << std::string(problem.at.column - 1, ' ') << "^\n";
    return tl::unexpected(static_cast<int>(exit_bad_data));
}

} // namespace slotwitness::program
