#include "body.hpp"

#include <algorithm>
#include <iterator>
#include <optional>
#include <set>
#include <vector>

namespace slotwitness::api {

namespace {

state::Position place_of(std::string_view text, std::size_t offset) {
    const std::string_view before = text.substr(0, offset);
    const auto line = static_cast<std::size_t>(std::ranges::count(before, '\n'));
    const auto start = before.rfind('\n');
    return {line + 1, offset - (start == std::string_view::npos ? 0 : start + 1) + 1};
}

ProblemDetails bad_json(state::Position at, std::string found, std::string expected,
                        std::string remedy) {
    ProblemDetails problem;
    problem.status = 400;
    problem.kind = "bad-json";
    problem.detail = "The body is not the JSON that is accepted here.";
    problem.at = at;
    problem.found = std::move(found);
    problem.expected = std::move(expected);
    problem.remedy = std::move(remedy);
    return problem;
}

/// Tells how far the parser has read, since its callbacks do not.
class Counting {
  public:
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    Counting(const char* at, std::size_t& read) : at_(at), read_(&read) {}
    reference operator*() const { return *at_; }
    Counting& operator++() {
        ++at_;
        ++*read_;
        return *this;
    }
    Counting operator++(int) {
        const Counting before = *this;
        ++*this;
        return before;
    }
    friend bool operator==(const Counting& left, const Counting& right) {
        return left.at_ == right.at_;
    }
    friend bool operator!=(const Counting& left, const Counting& right) { return !(left == right); }

  private:
    const char* at_;
    std::size_t* read_;
};

/// RFC 6901 §4.
std::string pointer_step(std::string_view name) {
    std::string step = "/";
    for (const char c : name) {
        if (c == '~')
            step += "~0";
        else if (c == '/')
            step += "~1";
        else
            step += c;
    }
    return step;
}

/// Builds the document, refusing what goes over the bounds. Every callback tells whether to go on.
class Builder {
  public:
    using number_integer_t = nlohmann::json::number_integer_t;
    using number_unsigned_t = nlohmann::json::number_unsigned_t;
    using number_float_t = nlohmann::json::number_float_t;
    using string_t = nlohmann::json::string_t;
    using binary_t = nlohmann::json::binary_t;

    Builder(std::string_view text, const std::size_t& read) : text_(text), read_(read) {}

    bool null() { return put(nullptr); }
    bool boolean(bool value) { return put(value); }
    bool number_integer(number_integer_t value) { return put(value); }
    bool number_unsigned(number_unsigned_t value) { return put(value); }
    bool number_float(number_float_t value, const string_t&) { return put(value); }
    bool string(string_t& value) { return put(std::move(value)); }
    bool binary(binary_t&) { return refuse(place(), "binary", "JSON", "Send JSON text."); }
    bool start_object(std::size_t) { return open(nlohmann::json::object()); }
    bool start_array(std::size_t) { return open(nlohmann::json::array()); }
    bool end_object() { return close(); }
    bool end_array() { return close(); }

    bool key(string_t& name) {
        const state::Position at = place();
        last_ = read_;
        if (open_.back()->contains(name))
            return refuse(at, "a second member \"" + name + "\"", "each member once",
                          "Remove one of the two.");
        key_ = name;
        document_.places[pointer_to(name)] = at;
        return true;
    }

    bool parse_error(std::size_t position, const std::string& token,
                     const nlohmann::json::exception& error) {
        const std::size_t at = std::min(position > 0 ? position - 1 : 0, text_.size());
        // "... - expected end of input" and the like: the parser's own words for what may stand
        // there.
        std::string expected = "JSON text (RFC 8259)";
        const std::string_view said = error.what();
        if (const auto from = said.rfind("expected "); from != std::string_view::npos)
            expected = said.substr(from + 9);
        return refuse(place_of(text_, at), at >= text_.size() ? "end of text" : token, expected,
                      "Send one JSON object.");
    }

    tl::expected<Document, ProblemDetails> take() && {
        if (problem_)
            return tl::unexpected{std::move(*problem_)};
        return std::move(document_);
    }

  private:
    bool refuse(state::Position at, std::string found, std::string expected, std::string remedy) {
        problem_ = bad_json(at, std::move(found), std::move(expected), std::move(remedy));
        return false;
    }

    /// Where the token that was just read begins: separators and blanks stand between it and the
    /// last.
    [[nodiscard]] state::Position place() const {
        const auto at = text_.find_first_not_of(" \t\r\n,:", last_);
        return place_of(text_, at == std::string_view::npos ? text_.size() : at);
    }

    [[nodiscard]] std::string pointer_to(std::string_view name) const {
        return (paths_.empty() ? std::string{} : paths_.back()) + pointer_step(name);
    }

    /// The place in the document where the next value goes.
    nlohmann::json& next(std::string& pointer) {
        if (open_.empty())
            return document_.value;
        nlohmann::json& parent = *open_.back();
        if (parent.is_object()) {
            pointer = pointer_to(key_);
            return parent[key_];
        }
        pointer = pointer_to(std::to_string(parent.size()));
        return parent.emplace_back();
    }

    bool put(nlohmann::json value) {
        if (++count_ > most_json_values)
            return refuse(place(), "more than " + std::to_string(most_json_values) + " values",
                          "a small object", "Send only the members that the path takes.");
        const state::Position at = place();
        last_ = read_;
        std::string pointer;
        next(pointer) = std::move(value);
        document_.places.try_emplace(pointer, at); // a member's place is that of its name
        return true;
    }

    bool open(nlohmann::json value) {
        if (open_.size() == deepest_json)
            return refuse(place(), "more than " + std::to_string(deepest_json) + " levels",
                          "a flat object", "Send only the members that the path takes.");
        if (!put(std::move(value)))
            return false;
        std::string path;
        nlohmann::json* opened = &document_.value;
        if (!open_.empty()) {
            nlohmann::json& parent = *open_.back();
            opened = parent.is_object() ? &parent[key_] : &parent.back();
            path = pointer_to(parent.is_object() ? key_ : std::to_string(parent.size() - 1));
        }
        open_.push_back(opened);
        paths_.push_back(std::move(path));
        return true;
    }

    bool close() {
        last_ = read_;
        open_.pop_back();
        paths_.pop_back();
        return true;
    }

    std::string_view text_;
    const std::size_t& read_;
    std::size_t last_ = 0; ///< the end of the last token
    std::size_t count_ = 0;
    Document document_;
    /// Containers that are open. No pointer dangles: a parent does not grow while a child is open.
    std::vector<nlohmann::json*> open_;
    std::vector<std::string> paths_; ///< their JSON pointers
    std::string key_;
    std::optional<ProblemDetails> problem_;
};

std::string names_of(std::span<const Known> known) {
    std::string names;
    for (const Known& member : known)
        names.append(names.empty() ? "" : ", ").append(member.name);
    return names;
}

} // namespace

tl::expected<Document, ProblemDetails> read_json(std::string_view text) {
    // The parser takes a NUL for the end of its input and would not look at what follows.
    if (const auto nul = text.find('\0'); nul != std::string_view::npos)
        return tl::unexpected{bad_json(place_of(text, nul), "a NUL byte", "JSON text (RFC 8259)",
                                       "Send the body as UTF-8 text.")};
    std::size_t read = 0;
    Builder builder{text, read};
    const char* const begin = text.data();
    // The verdict is the builder's: its problem says more than the parser's yes or no.
    static_cast<void>(nlohmann::json::sax_parse(Counting{begin, read},
                                                Counting{begin + text.size(), read}, &builder));
    return std::move(builder).take();
}

tl::expected<std::map<std::string, std::string>, ProblemDetails>
read_strings(std::string_view text, std::span<const Known> known) {
    auto document = read_json(text);
    if (!document)
        return tl::unexpected{std::move(document).error()};
    const std::string names = names_of(known);
    if (!document->value.is_object())
        return tl::unexpected{bad_json(document->places[""], document->value.type_name(),
                                       "an object with the members " + names,
                                       "Send one JSON object.")};
    const auto refused = [&](std::string_view name, std::string found, std::string expected,
                             std::string remedy) {
        ProblemDetails problem;
        problem.status = 422;
        problem.kind = "bad-member";
        problem.detail = "A member of the body is wrong.";
        problem.field = name;
        problem.at = document->places[pointer_step(name)];
        problem.found = std::move(found);
        problem.expected = std::move(expected);
        problem.remedy = std::move(remedy);
        return tl::unexpected{std::move(problem)};
    };

    std::map<std::string, std::string> strings;
    for (const auto& [name, value] : document->value.items()) {
        const auto member = std::ranges::find(known, name, &Known::name);
        if (member != known.end() && member->has_members && value.is_object()) {
            for (const auto& [inner, text] : value.items()) {
                if (!text.is_string())
                    return refused(name, "\"" + inner + "\": " + text.type_name(), "a string",
                                   "Write the value in double quotes.");
                strings.emplace(name + "/" + inner, text.get<std::string>());
            }
            continue;
        }
        if (member == known.end())
            return refused(name, "\"" + name + "\"", "one of " + names,
                           "Remove the member or correct its name.");
        if (!value.is_string() || member->has_members)
            return refused(
                name, value.type_name(), member->has_members ? "an object of strings" : "a string",
                member->has_members ? "Write it in braces." : "Write the value in double quotes.");
        strings.emplace(name, value.get<std::string>());
    }
    for (const Known& member : known)
        if (member.required && !strings.contains(std::string{member.name}))
            return refused(member.name, "nothing", "a string", "Add the member.");
    return strings;
}

std::optional<ProblemDetails> not_json(const Request& request) {
    const std::string type = request.field("Content-Type").value_or("");
    const bool encoded = request.count("Content-Encoding") > 0;
    if (same_token(trimmed(std::string_view{type}.substr(0, type.find(';'))), json_type) &&
        !encoded)
        return std::nullopt;
    ProblemDetails problem;
    problem.status = 415;
    problem.detail = "The body is not of a type that is read here.";
    problem.field = encoded ? "Content-Encoding" : "Content-Type";
    problem.found = request.field(problem.field).value_or("nothing");
    problem.expected = encoded ? "no Content-Encoding" : "application/json";
    problem.remedy =
        encoded ? "Send the body as it is." : "Add \"Content-Type: application/json\".";
    return problem;
}

Response refused_body(const Request& request, const ProblemDetails& problem) {
    Response response = to_response(problem, request.path);
    if (response.status == 415) // RFC 9110 §15.5.16
        response.fields.push_back({"Accept", std::string{json_type}});
    return response;
}

} // namespace slotwitness::api
