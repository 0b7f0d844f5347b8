#include "record_lines.hpp"

#include "lines.hpp"
#include "record_grammar.hpp"

#include <algorithm>

namespace slotwitness::layouts {
namespace {

template <class Separator>
std::optional<Pair> parse(std::string_view text) {
    record_grammar::pegtl::memory_input<record_grammar::pegtl::tracking_mode::lazy> in(
        text.data(), text.size(), "line");
    record_grammar::Scratch scratch;
    if (!record_grammar::pegtl::parse<record_grammar::pair<Separator>, record_grammar::keep>(
            in, scratch))
        return std::nullopt;
    const auto value = static_cast<std::size_t>(scratch.value - text.data());
    return Pair{without_trailing_blanks({scratch.label, scratch.label_size}),
                without_trailing_blanks(text.substr(value))};
}

} // namespace

std::optional<Pair> parse_pair(std::string_view text, RecordSpec::Separator separator) {
    switch (separator) {
    case RecordSpec::Separator::colon:
        return parse<record_grammar::colon>(text);
    case RecordSpec::Separator::equals:
        return parse<record_grammar::equals>(text);
    case RecordSpec::Separator::dots:
        return parse<record_grammar::dots>(text);
    }
    __builtin_unreachable();
}

std::vector<std::string_view> cut_at_wide_blanks(std::string_view line) {
    std::vector<std::string_view> parts;
    line = without_blanks(line);
    while (!line.empty()) {
        const std::size_t end = std::min(line.find("  "), line.size());
        parts.push_back(line.substr(0, end));
        line = without_blanks(line.substr(end));
    }
    return parts;
}

std::string_view without_bullet(std::string_view item) {
    if (item.starts_with("- ") || item.starts_with("* "))
        item.remove_prefix(2);
    return without_blanks(item);
}

} // namespace slotwitness::layouts
