#include "token.hpp"

#include "token_grammar.hpp"

namespace slotwitness::terminal {

Token read_token(std::string_view line) {
    namespace grammar = token_grammar;
    grammar::pegtl::memory_input<grammar::pegtl::tracking_mode::lazy> in(line.data(), line.size(),
                                                                         "line");
    grammar::Scratch scratch;
    grammar::pegtl::parse<grammar::token, grammar::keep>(in, scratch);
    return scratch.token;
}

} // namespace slotwitness::terminal
