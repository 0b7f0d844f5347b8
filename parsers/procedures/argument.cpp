#include "argument.hpp"

#include <algorithm>

namespace slotwitness::procedures {
namespace {

using Read = tl::expected<Given, state::Problem>;

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = std::min(text.find_first_not_of(' '), text.size());
    text.remove_prefix(begin);
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

/// How an argument is written. No number stands in it: a figure that can be copied is a default.
std::string form_of(const Parameter& parameter) {
    if (const auto* component = std::get_if<ComponentOf>(&parameter.is)) {
        const std::string kind{state::to_word(component->kind)};
        return component->several
                   ? "Name each " + kind + " as the device lists it, with \", \" between."
                   : "Name one " + kind + " as the device lists it.";
    }
    if (const auto* figure = std::get_if<Figure>(&parameter.is))
        return "Write it as NUMBER " + std::string{units::to_text(figure->unit)} + " by DOCUMENT.";
    if (std::holds_alternative<TimeLimit>(parameter.is))
        return "Write it as NUMBER min by DOCUMENT.";
    return "Give it in words, in one line.";
}

class Reader {
  public:
    Reader(const std::string& name, const Parameter& parameter, std::string_view text)
        : name_(name), parameter_(parameter), text_(trimmed(text)) {}

    [[nodiscard]] Read read() const {
        if (text_.empty())
            return tl::unexpected(missing_argument(name_, parameter_));
        if (text_.size() > longest_argument)
            return wrong(std::to_string(text_.size()) + " bytes",
                         "at most " + std::to_string(longest_argument) + " bytes");
        if (!sentences::is_name(text_))
            return wrong(std::string{text_}, "one line of UTF-8 without control characters");
        if (const auto* component = std::get_if<ComponentOf>(&parameter_.is))
            return component->several ? several() : of_names({std::string{text_}});
        if (const auto* figure = std::get_if<Figure>(&parameter_.is))
            return stated([&](std::string_view value) { return of_figure(value, figure->unit); });
        if (std::holds_alternative<TimeLimit>(parameter_.is))
            return stated([&](std::string_view value) { return of_limit(value); });
        return Given{std::string{text_}, {}, {}, {}};
    }

  private:
    [[nodiscard]] tl::unexpected<state::Problem> wrong(std::string found,
                                                       std::string expected) const {
        return tl::unexpected(state::Problem{
            "parameter " + name_, {}, std::move(found), std::move(expected), form_of(parameter_)});
    }

    [[nodiscard]] Read several() const {
        std::vector<std::string> names;
        for (std::string_view rest = text_;;) {
            const std::size_t comma = rest.find(',');
            std::string name{trimmed(rest.substr(0, comma))};
            if (name.empty())
                return wrong(std::string{text_}, "a name on both sides of each comma");
            if (std::find(names.begin(), names.end(), name) != names.end())
                return wrong(name + " twice", "each name once");
            names.push_back(std::move(name));
            if (comma == std::string_view::npos)
                return of_names(std::move(names));
            rest.remove_prefix(comma + 1);
        }
    }

    [[nodiscard]] static Given of_names(std::vector<std::string> names) {
        Given given;
        for (const std::string& name : names) {
            const std::string_view between = given.in_text.empty() ? "" : ", ";
            given.in_text.append(between).append(name);
            given.in_sentence.append(between).append(sentences::name_text(name));
        }
        given.names = std::move(names);
        return given;
    }

    /// `VALUE by DOCUMENT`
    template <class OfValue>
    [[nodiscard]] Read stated(const OfValue& of_value) const {
        constexpr std::string_view by = " by ";
        const std::size_t end = text_.find(by);
        if (end == std::string_view::npos)
            return wrong(std::string{text_}, "the document that it comes from, after \"by\"");
        const std::string_view value = trimmed(text_.substr(0, end));
        const std::string_view document = trimmed(text_.substr(end + by.size()));
        Read given = of_value(value);
        if (given)
            given->in_text.append(value).append(" (").append(document).append(")");
        return given;
    }

    [[nodiscard]] Read of_figure(std::string_view value, units::Unit unit) const {
        const auto quantity = units::parse_quantity(value);
        if (!quantity || quantity->unit != unit)
            return wrong(std::string{value}, "a number with its unit, " +
                                                 std::string{units::to_text(unit)} +
                                                 " or one that is converted to it");
        return Given{{}, units::to_text(*quantity), {}, {}};
    }

    [[nodiscard]] Read of_limit(std::string_view value) const {
        const auto limit = units::parse_duration(value);
        if (!limit || *limit <= units::Duration{0} || *limit > sentences::longest_duration)
            return wrong(std::string{value}, "a time above 0 and at most 366 d");
        return Given{{}, units::to_text(*limit), {}, limit};
    }

    const std::string& name_;
    const Parameter& parameter_;
    std::string_view text_;
};

} // namespace

Read read_argument(const std::string& name, const Parameter& parameter, std::string_view text) {
    return Reader{name, parameter, text}.read();
}

state::Problem missing_argument(const std::string& name, const Parameter& parameter) {
    return {"parameter " + name, {}, {}, parameter.say, form_of(parameter)};
}

} // namespace slotwitness::procedures
