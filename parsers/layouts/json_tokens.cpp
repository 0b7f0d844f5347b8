#include "json_tokens.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <utility>
#include <vector>

namespace slotwitness::layouts {
namespace {

using nlohmann::json;

/// What the library calls back. It tells what a token is but not where: between two tokens of valid
/// JSON there is nothing but white space and one separator, so the next one begins behind those.
class Walker {
  public:
    // The library's names and types for these.
    using number_integer_t = json::number_integer_t;
    using number_unsigned_t = json::number_unsigned_t;
    using number_float_t = json::number_float_t;
    using string_t = json::string_t;
    using binary_t = json::binary_t;

    Walker(std::string_view text, bool ended, JsonVisitor& visitor)
        : text_(text), ended_(ended), visitor_(visitor) {}

    bool null() { return word("", 4); }
    bool boolean(bool value) { return word(value ? "true" : "false", value ? 4 : 5); }
    bool number_integer(number_integer_t) { return number(); }
    bool number_unsigned(number_unsigned_t) { return number(); }
    bool number_float(number_float_t, const string_t&) { return number(); }
    static bool binary(binary_t&) { return false; } // not of JSON's text

    bool string(string_t& value) {
        if (!begins_value())
            return false;
        const std::size_t begin = at_;
        ends_value(string_end());
        visitor_.scalar(JsonVisitor::Scalar::text, value, begin, at_);
        return true;
    }

    bool key(string_t& name) {
        seek();
        if (!is_one_more())
            return false;
        const std::size_t begin = at_;
        at_ = string_end();
        next_ = Next::colon;
        visitor_.name(name, begin, at_);
        return true;
    }

    bool start_object(std::size_t) { return start(true); }
    bool start_array(std::size_t) { return start(false); }
    bool end_object() { return end(); }
    bool end_array() { return end(); }

    bool parse_error(std::size_t consumed, const std::string&, const json::exception& error) {
        seek();
        if (error.id == 406) // json.exception.out_of_range.406
            return stop(at_, "a number whose size a double can hold");
        // The library has consumed the byte that it could not take, the end of the text included.
        const std::size_t furthest = std::clamp(consumed, at_ + 1, text_.size() + 1) - 1;
        const char first = at_ < text_.size() ? text_[at_] : '\0';
        const bool in_value = next_ == Next::value || next_ == Next::value_or_end;
        const bool in_name = next_ == Next::name || next_ == Next::name_or_end;
        if (first == '"' && (in_value || in_name))
            return stop(furthest, "the rest of a string (RFC 8259, section 7)");
        if (in_value && (first == '-' || (first >= '0' && first <= '9')))
            return stop(furthest, "the rest of a number (RFC 8259, section 6)");
        if (in_value && (first == 't' || first == 'f' || first == 'n'))
            return stop(furthest, "true, false or null");
        return stop(at_, expected());
    }

    /// After the document there may be white space and nothing else.
    void finish() {
        seek();
        if (at_ < text_.size())
            stop(at_, "the end of the answer after its JSON document");
    }

    [[nodiscard]] std::optional<JsonStop> stopped() && { return std::move(stopped_); }

  private:
    enum class Next { value, value_or_end, name, name_or_end, colon, comma_or_end, nothing };
    struct Level {
        bool is_object;
        std::size_t count; ///< of its members or elements
    };

    void skip_blanks() { at_ = std::min(text_.find_first_not_of(" \t\r\n", at_), text_.size()); }

    void seek() {
        skip_blanks();
        const char separator = at_ < text_.size() ? text_[at_] : '\0';
        if (next_ == Next::colon && separator == ':')
            next_ = Next::value;
        else if (next_ == Next::comma_or_end && separator == ',')
            next_ = levels_.back().is_object ? Next::name : Next::value;
        else
            return;
        ++at_;
        skip_blanks();
    }

    bool begins_value() {
        seek();
        return levels_.empty() || levels_.back().is_object || is_one_more();
    }

    bool is_one_more() {
        if (++levels_.back().count <= most_json_members)
            return true;
        return stop(at_, "at most " + std::to_string(most_json_members) +
                             " members or elements beside each other");
    }

    void ends_value(std::size_t end) {
        at_ = end;
        next_ = levels_.empty() ? Next::nothing : Next::comma_or_end;
    }

    [[nodiscard]] std::size_t string_end() const {
        std::size_t end = at_ + 1;
        while (text_[end] != '"')
            end += text_[end] == '\\' ? 2 : 1;
        return end + 1;
    }

    /// Of a number that the library has accepted (RFC 8259, section 6).
    [[nodiscard]] std::size_t number_end() const {
        const auto byte = [&](std::size_t at) { return at < text_.size() ? text_[at] : '\0'; };
        const auto after_digits = [&](std::size_t at) {
            return std::min(text_.find_first_not_of("0123456789", at), text_.size());
        };
        std::size_t end = at_ + (byte(at_) == '-' ? 1 : 0);
        end = byte(end) == '0' ? end + 1 : after_digits(end);
        if (byte(end) == '.')
            end = after_digits(end + 1);
        if (byte(end) == 'e' || byte(end) == 'E')
            end = after_digits(end + (byte(end + 1) == '+' || byte(end + 1) == '-' ? 2 : 1));
        return end;
    }

    bool word(std::string_view value, std::size_t size) {
        if (!begins_value())
            return false;
        const std::size_t begin = at_;
        ends_value(begin + size);
        visitor_.scalar(JsonVisitor::Scalar::word, value, begin, at_);
        return true;
    }

    /// As it is written: no number passes through a type that cannot hold all of it.
    bool number() {
        if (!begins_value())
            return false;
        const std::size_t begin = at_;
        const std::size_t end = number_end();
        if (end == text_.size() && !(ended_ && levels_.empty()))
            return stop(end, "the rest of a number (RFC 8259, section 6)");
        ends_value(end);
        visitor_.scalar(JsonVisitor::Scalar::number, text_.substr(begin, end - begin), begin, end);
        return true;
    }

    bool start(bool is_object) {
        if (!begins_value())
            return false;
        if (levels_.size() >= deepest_json)
            return stop(at_, "at most " + std::to_string(deepest_json) +
                                 " objects and arrays inside each other");
        const std::size_t begin = at_++;
        levels_.push_back({is_object, 0});
        next_ = is_object ? Next::name_or_end : Next::value_or_end;
        visitor_.open(is_object, begin);
        return true;
    }

    bool end() {
        seek();
        levels_.pop_back();
        ends_value(at_ + 1);
        visitor_.close(at_);
        return true;
    }

    [[nodiscard]] std::string expected() const {
        const bool in_object = !levels_.empty() && levels_.back().is_object;
        switch (next_) {
        case Next::value:
            return "a JSON value";
        case Next::value_or_end:
            return "a JSON value or \"]\"";
        case Next::name:
            return "a member's name in double quotes";
        case Next::name_or_end:
            return "a member's name in double quotes or \"}\"";
        case Next::colon:
            return "\":\" after a member's name";
        case Next::comma_or_end:
            return in_object ? "\",\" or \"}\"" : "\",\" or \"]\"";
        case Next::nothing:
            return "the end of the answer";
        }
        __builtin_unreachable();
    }

    bool stop(std::size_t at, std::string expected) {
        stopped_ = {at, std::move(expected)};
        return false;
    }

    std::string_view text_;
    bool ended_;
    JsonVisitor& visitor_;
    std::size_t at_ = 0; ///< behind the last token
    Next next_ = Next::value;
    std::vector<Level> levels_;
    std::optional<JsonStop> stopped_;
};

} // namespace

std::optional<JsonStop> visit_json(std::string_view text, bool ended, JsonVisitor& visitor) {
    // The library would skip it in silence; places count every byte.
    if (text.starts_with("\xef\xbb\xbf"))
        return JsonStop{0, "JSON without a byte order mark (RFC 8259, section 8.1)"};
    Walker walker{text, ended, visitor};
    // Not strict: the library takes a NUL for the end of its input, so `finish` looks itself.
    if (json::sax_parse(text.begin(), text.end(), &walker, json::input_format_t::json, false))
        walker.finish();
    return std::move(walker).stopped();
}

} // namespace slotwitness::layouts
