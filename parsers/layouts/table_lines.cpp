#include "table_lines.hpp"

#include "table_grammar.hpp"

namespace slotwitness::layouts {
namespace {

const std::vector<std::string> no_words;

template <class Line>
std::optional<std::vector<Stretch>> parse(std::string_view line,
                                          const std::vector<std::string>& words) {
    table_grammar::pegtl::memory_input<table_grammar::pegtl::tracking_mode::lazy> in(
        line.data(), line.size(), "line");
    table_grammar::Scratch scratch{line.data(), &words, {}};
    if (!table_grammar::pegtl::parse<Line, table_grammar::keep_stretch>(in, scratch))
        return std::nullopt;
    return scratch.stretches;
}

std::optional<std::vector<Stretch>> all_of(const std::vector<std::string>& words,
                                           std::optional<std::vector<Stretch>> found) {
    return found && found->size() == words.size() ? std::move(found) : std::nullopt;
}

} // namespace

std::optional<std::vector<Stretch>> parse_header(std::string_view line,
                                                 const std::vector<std::string>& words) {
    return all_of(words, parse<table_grammar::header>(line, words));
}

std::optional<std::vector<Stretch>> parse_boxed_header(std::string_view line,
                                                       const std::vector<std::string>& words) {
    return all_of(words, parse<table_grammar::boxed_header>(line, words));
}

std::optional<std::vector<Stretch>> parse_rule(std::string_view line) {
    return parse<table_grammar::rule>(line, no_words);
}

std::optional<std::vector<Stretch>> parse_border(std::string_view line) {
    return parse<table_grammar::border>(line, no_words);
}

bool begins_with_bar(std::string_view text) {
    table_grammar::pegtl::memory_input<table_grammar::pegtl::tracking_mode::lazy> in(
        text.data(), text.size(), "line");
    return table_grammar::pegtl::parse<table_grammar::bar>(in);
}

} // namespace slotwitness::layouts
