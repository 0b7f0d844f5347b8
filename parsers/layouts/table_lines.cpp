#include "table_lines.hpp"

#include "table_grammar.hpp"

namespace slotwitness::layouts {
namespace {

namespace grammar = table_grammar;

template <class Line>
std::optional<std::vector<Stretch>> parse(std::string_view line,
                                          const std::vector<std::string>* columns) {
    grammar::pegtl::memory_input<grammar::pegtl::tracking_mode::lazy> in(line.data(), line.size(),
                                                                         "line");
    grammar::Scratch scratch{line.data(), columns, {}};
    if (!grammar::pegtl::parse<Line, grammar::keep_stretch>(in, scratch))
        return std::nullopt;
    return scratch.stretches;
}

} // namespace

std::optional<std::vector<Stretch>> parse_header(std::string_view line,
                                                 const std::vector<std::string>& columns) {
    auto found = parse<grammar::header>(line, &columns);
    return found && found->size() == columns.size() ? found : std::nullopt;
}

std::optional<std::vector<Stretch>> parse_rule(std::string_view line) {
    return parse<grammar::rule>(line, nullptr);
}

std::optional<std::vector<Stretch>> parse_words(std::string_view line) {
    return parse<grammar::words>(line, nullptr);
}

} // namespace slotwitness::layouts
