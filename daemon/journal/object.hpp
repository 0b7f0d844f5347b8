#pragma once

#include <slotwitness/state/words.hpp>
#include <slotwitness/units/time.hpp>

#include <nlohmann/json.hpp>

#include <array>
#include <charconv>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// Inside of the codec: reads the members of a JSON object, each with the type that it must have.
namespace slotwitness::journal {

/// What the readers below throw, and from_line catches: a sentence that names the member.
struct BadMember {
    std::string text;
};

/// One object of a line, with the path by which errors name its members. Refers to the JSON value,
/// which must outlive it.
class Object {
  public:
    Object(const nlohmann::json& value, std::string path);

    [[nodiscard]] const nlohmann::json& member(const char* name) const;
    [[nodiscard]] bool has(const char* name) const { return value_.contains(name); }
    [[nodiscard]] bool is_null(const char* name) const { return member(name).is_null(); }
    [[nodiscard]] Object object(const char* name) const { return {member(name), path_of(name)}; }
    [[nodiscard]] std::vector<Object> objects(const char* name) const;
    [[nodiscard]] const std::string& text(const char* name) const;
    [[nodiscard]] std::vector<std::string> texts(const char* name) const;
    [[nodiscard]] bool flag(const char* name) const;

    /// Times and durations: milliseconds in a string; RFC 3339 in UTC with milliseconds; seconds as
    /// a number.
    [[nodiscard]] units::Instant instant(const char* name) const;
    [[nodiscard]] units::Duration duration(const char* name) const;
    [[nodiscard]] units::Instant rfc3339(const char* name) const;
    [[nodiscard]] units::Duration seconds(const char* name) const;

    /// A whole number in a string.
    template <class Number>
    [[nodiscard]] Number number(const char* name) const {
        const std::string& digits = text(name);
        const char* const end = digits.data() + digits.size();
        Number out{};
        const auto [stop, error] = std::from_chars(digits.data(), end, out);
        if (error != std::errc() || stop != end)
            refuse(name, "a whole number in a string");
        return out;
    }
    /// A whole number.
    template <class Number>
    [[nodiscard]] Number small(const char* name) const {
        const nlohmann::json& value = member(name);
        const bool fits =
            value.is_number_unsigned()  ? std::in_range<Number>(value.get<std::uint64_t>())
            : value.is_number_integer() ? std::in_range<Number>(value.get<std::int64_t>())
                                        : false;
        if (!fits)
            refuse(name, "a whole number that fits");
        return value.get<Number>();
    }
    /// The one of `words` that is written there.
    template <class Word>
    [[nodiscard]] Word word(const char* name, std::initializer_list<Word> words) const {
        const std::string& written = text(name);
        for (const Word value : words)
            if (to_word(value) == written)
                return value;
        refuse(name, "a word that this version knows");
    }
    template <class Word, std::size_t Count>
    [[nodiscard]] Word word(const char* name, const std::array<Word, Count>& words) const {
        const std::string& written = text(name);
        for (const Word value : words)
            if (to_word(value) == written)
                return value;
        refuse(name, "a word that this version knows");
    }
    /// What `read` makes of the member, nothing where it is null.
    template <class Read>
    [[nodiscard]] auto optional(const char* name, Read read) const {
        using Result = std::optional<decltype(read(name))>;
        return is_null(name) ? Result() : Result(read(name));
    }

    [[nodiscard]] std::string path_of(const char* name) const;
    [[noreturn]] void refuse(const char* name, const char* expected) const;

  private:
    const nlohmann::json& value_;
    std::string path_;
};

} // namespace slotwitness::journal
