#include "actions.hpp"

#include <algorithm>

namespace slotwitness::sentences {
namespace actions {

struct StatedDuration {
    units::Duration value{0};
    std::string text;
    std::size_t at = 0;
    std::size_t next_unit = 0; ///< index of the largest unit that may follow
};

struct Closed : Operands {
    StatedDuration duration;
    std::optional<StatedDuration> hold;
    std::optional<StatedDuration> within;
};

// `for` and `within`.
template <>
struct Action<g::amount> {
    template <class Input>
    static void apply(const Input& in, Closed& s) {
        if (s.duration.text.empty())
            s.duration.at = column_of(in);
        else
            s.duration.text += ' ';
        s.duration.text += in.string_view();
    }
};
template <>
struct Action<g::time_unit> {
    template <class Input>
    static void apply(const Input& in, Closed& s) {
        static constexpr std::array<std::string_view, 5> falling{"d", "h", "min", "s", "ms"};
        const auto index = static_cast<std::size_t>(
            std::find(falling.begin(), falling.end(), in.string_view()) - falling.begin());
        if (index < s.duration.next_unit)
            throw Refusal{column_of(in),
                          {"a smaller unit than the one before",
                           "write the larger unit first and each unit once, as in \"1 h 30 min\""}};
        s.duration.next_unit = index + 1;
        s.duration.text += ' ';
        s.duration.text += in.string_view();
    }
};
template <std::optional<StatedDuration> Closed::*member>
struct TakesDuration {
    static void apply0(Closed& s) {
        StatedDuration stated = std::exchange(s.duration, {});
        const auto value = units::parse_duration(stated.text);
        if (!value || *value > longest_duration)
            throw Refusal{stated.at, {"at most 366 d", "shorten the duration"}, stated.text};
        if (*value == units::Duration{0})
            throw Refusal{stated.at,
                          {"a duration above 0",
                           "leave \"for\" or \"within\" out, or give it time, as in \"10 s\""},
                          stated.text};
        stated.value = *value;
        s.*member = std::move(stated);
    }
};
template <>
struct Action<g::hold> : TakesDuration<&Closed::hold> {};
template <>
struct Action<g::deadline> : TakesDuration<&Closed::within> {};

} // namespace actions
namespace {

namespace p = tao::pegtl;

template <class Rule>
struct Control : p::normal<Rule> {
    template <class Input, class... States>
    [[noreturn]] static void raise(const Input& in, States&&...) {
        if constexpr (std::is_base_of_v<p::raise<Rule>, Rule>)
            throw Refusal{actions::column_of(in), message<Rule>};
        else
            throw p::parse_error("defect in the grammar", in);
    }
};

Sentence checked(actions::Closed& closed) {
    Sentence sentence{std::move(closed.read.at(0)), {}, {}};
    if (closed.hold)
        sentence.hold = closed.hold->value;
    if (closed.within)
        sentence.within = closed.within->value;
    if (closed.hold && closed.within && closed.hold->value >= closed.within->value) {
        const bool hold_last = closed.hold->at > closed.within->at;
        const actions::StatedDuration& last = hold_last ? *closed.hold : *closed.within;
        throw Refusal{
            last.at,
            {hold_last ? "a hold shorter than the deadline" : "a deadline longer than the hold",
             "leave time for the state to be reached before it is held, as in \"for 10 s within 5 "
             "min\""},
            last.text};
    }
    if (to_text(sentence).size() > longest_sentence)
        throw Refusal{1,
                      {"a sentence of at most 512 bytes in its canonical text",
                       "open several gates, each with a part of it"},
                      "a longer sentence"};
    return sentence;
}

} // namespace

tl::expected<Sentence, state::Problem> parse(std::string_view text) {
    try {
        if (text.size() > longest_sentence)
            throw Refusal{longest_sentence + 1,
                          {"at most 512 bytes", "open several gates, each with a part of it"},
                          "a sentence of " + std::to_string(text.size()) + " bytes"};
        p::memory_input in(text.data(), text.size(), "sentence");
        actions::Closed closed;
        p::parse<g::sentence, actions::Action, Control>(in, closed);
        return checked(closed);
    } catch (const Refusal& refusal) {
        return tl::unexpected(to_problem(text, refusal));
    } catch (const p::parse_error& error) {
        return tl::unexpected(
            to_problem(text, {error.positions().front().column,
                              {"at most 16 nested \"not\" and parentheses",
                               "say it with fewer parentheses, or open several gates"}}));
    }
}

} // namespace slotwitness::sentences
