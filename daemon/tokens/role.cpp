#include "role.hpp"

#include <array>
#include <utility>

namespace slotwitness::tokens {

namespace {

constexpr std::array<std::pair<Role, std::string_view>, 4> words{{
    {Role::viewer, "viewer"},
    {Role::rack, "rack"},
    {Role::engineer, "engineer"},
    {Role::auditor, "auditor"},
}};

} // namespace

std::string_view to_word(Role role) {
    for (const auto& [value, word] : words)
        if (value == role)
            return word;
    return "";
}

std::optional<Role> role_of(std::string_view word) {
    for (const auto& [value, its_word] : words)
        if (its_word == word)
            return value;
    return std::nullopt;
}

std::vector<std::string> role_words() {
    std::vector<std::string> all;
    for (const auto& [value, word] : words)
        all.emplace_back(word);
    return all;
}

std::string to_text(Roles roles) {
    std::string text;
    for (const auto& [value, word] : words)
        if (roles.contains(value))
            text.append(text.empty() ? "" : ", ").append(word);
    return text;
}

} // namespace slotwitness::tokens
