#include "pointer.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::layouts {
namespace {

state::Problem problem(std::string_view text, std::size_t offset, std::string expected) {
    std::string found = "end of text";
    if (offset < text.size())
        found = text.substr(offset, std::min(text.find('/', offset + 1), text.size()) - offset);
    return {"",
            {1, offset + 1},
            std::move(found),
            std::move(expected),
            "write a JSON Pointer (RFC 6901), with ~0 for ~ and ~1 for / inside a name"};
}

} // namespace

tl::expected<Pointer, state::Problem> parse_pointer(std::string_view text, Wildcards wildcards) {
    Pointer pointer;
    bool had_wildcard = false;
    for (std::size_t at = 0; at < text.size();) {
        if (text[at] != '/')
            return tl::make_unexpected(problem(text, at, "\"/\" before the first name"));
        const std::size_t begin = ++at;
        Token token;
        for (; at < text.size() && text[at] != '/'; ++at) {
            if (text[at] != '~') {
                token.text.push_back(text[at]);
                continue;
            }
            const char which = at + 1 < text.size() ? text[at + 1] : '\0';
            if (which != '0' && which != '1')
                return tl::make_unexpected(problem(text, at, "~0 or ~1"));
            token.text.push_back(which == '0' ? '~' : '/');
            ++at;
        }
        token.any = wildcards != Wildcards::none && text.substr(begin, at - begin) == "*";
        if (token.any && had_wildcard && wildcards == Wildcards::one)
            return tl::make_unexpected(problem(text, begin, "a name, for one * stands before it"));
        had_wildcard = had_wildcard || token.any;
        pointer.tokens.push_back(std::move(token));
    }
    return pointer;
}

std::string to_text(const Pointer& pointer, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < std::min(count, pointer.tokens.size()); ++i) {
        text.push_back('/');
        for (const char byte : pointer.tokens[i].text) {
            if (byte == '~')
                text.append("~0");
            else if (byte == '/')
                text.append("~1");
            else
                text.push_back(byte);
        }
    }
    return text;
}

bool is_member(const Token& token, std::string_view name) {
    return token.any || token.text == name;
}

bool is_element(const Token& token, std::size_t index) {
    return token.any || token.text == std::to_string(index);
}

} // namespace slotwitness::layouts
