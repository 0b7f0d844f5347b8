#pragma once

#include <slotwitness/state/reading.hpp>
#include <slotwitness/units/quantity.hpp>
#include <slotwitness/units/time.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// The gate sentence: one line that a person reads aloud and a program posts.
namespace slotwitness::sentences {

struct Named {
    state::Kind kind = state::Kind::plane;
    std::string name;
    friend bool operator==(const Named&, const Named&) = default;
};

/// A set of components: `every plane except 3, 4 served by module FAB3`.
struct Group {
    state::Kind kind = state::Kind::plane;
    std::vector<std::string> except;
    std::optional<Named>
        served_by; ///< module for planes; for modules a fan tray (`covered by fan-tray TRAY1`)
    friend bool operator==(const Group&, const Group&) = default;
};

/// The trade's own words (design: up and operational = enabled and not known degraded; down =
/// disabled; shut = locked and disabled; starting = testing).
enum class Trade { up, operational, degraded, down, shut, present, absent, starting };
[[nodiscard]] std::string_view to_word(Trade value);

/// `admin locked`, `oper enabled`, `standby hot-standby`, `alarm major`: a word of RFC 8348 for one
/// attribute.
struct Standard {
    state::Attribute attribute = state::Attribute::admin;
    state::Value word;
    friend bool operator==(const Standard&, const Standard&) = default;
};

enum class Comparison { below, at_most, above, at_least };

/// `below 45 C`: a component's own measured value (a sensor's reading, a tray's speed, a port's
/// load).
struct Measured {
    Comparison comparison = Comparison::below;
    units::Quantity limit;
    friend bool operator==(const Measured&, const Measured&) = default;
};

using Predicate = std::variant<Trade, Standard, Measured>;

/// `plane 3 shut`
struct OneIs {
    Named subject;
    Predicate predicate;
    friend bool operator==(const OneIs&, const OneIs&) = default;
};
/// `every plane except 3 up`
struct EveryIs {
    Group group;
    Predicate predicate;
    friend bool operator==(const EveryIs&, const EveryIs&) = default;
};
/// `at most 1 module not operational`, `at least 2 controller present`; components that satisfy
/// (or, negated, fail) the predicate
struct CountIs {
    bool at_least = false;
    std::uint32_t limit = 0;
    Group group;
    bool negated = false;
    Predicate predicate;
    friend bool operator==(const CountIs&, const CountIs&) = default;
};
/// `no alarm at or above major`, `no alarm`
struct NoAlarm {
    std::optional<state::Severity> at_or_above;
    friend bool operator==(const NoAlarm&, const NoAlarm&) = default;
};
/// `capacity without plane 3 covers load with 20 % margin`
struct CapacityCovers {
    std::variant<Named, Group> without; ///< of planes or modules
    units::Decimal margin_percent;
    friend bool operator==(const CapacityCovers&, const CapacityCovers&) = default;
};

/// `no new alarm since baseline`, `no new alarm at or above major since baseline`
struct NoNewAlarm {
    std::optional<state::Severity> at_or_above;
    friend bool operator==(const NoNewAlarm&, const NoNewAlarm&) = default;
};
/// `module FAB3 serial differs from baseline`, `every module except FAB3 serial as in baseline`
struct TextCompared {
    std::variant<Named, Group> subject;
    state::Attribute attribute = state::Attribute::serial; ///< serial, part, hardware_rev,
                                                           ///< software_rev, system_name or port_id
    bool differs = false;
    friend bool operator==(const TextCompared&, const TextCompared&) = default;
};
/// `every port up in baseline is up`
struct StillIs {
    Group group;
    Trade was = Trade::up;
    Predicate is;
    friend bool operator==(const StillIs&, const StillIs&) = default;
};
/// `errors of plane 3 not rising`, `errors of every plane except 3 not rising`
struct ErrorsNotRising {
    std::variant<Named, Group> subject;
    friend bool operator==(const ErrorsNotRising&, const ErrorsNotRising&) = default;
};
/// A comparison with what was seen earlier.
struct Earlier {
    std::variant<NoNewAlarm, TextCompared, StillIs, ErrorsNotRising> comparison;
    friend bool operator==(const Earlier&, const Earlier&) = default;
};

struct Condition;
struct Not {
    std::vector<Condition> operand; ///< exactly one
    friend bool operator==(const Not&, const Not&);
};
struct And {
    std::vector<Condition> operands; ///< two or more
    friend bool operator==(const And&, const And&);
};
struct Or {
    std::vector<Condition> operands; ///< two or more
    friend bool operator==(const Or&, const Or&);
};
struct Condition {
    std::variant<OneIs, EveryIs, CountIs, NoAlarm, CapacityCovers, Earlier, Not, And, Or> node;
    friend bool operator==(const Condition&, const Condition&) = default;
};

struct Sentence {
    Condition condition;
    std::optional<units::Duration> hold;   ///< `for H`, > 0
    std::optional<units::Duration> within; ///< `within D`, > 0; H < D
    friend bool operator==(const Sentence&, const Sentence&) = default;
};

/// Longest sentence accepted, in bytes: four lines of a terminal, far more than a person reads
/// aloud.
inline constexpr std::size_t longest_sentence = 512;
/// Deepest nesting of `not` and parentheses.
inline constexpr std::size_t deepest_nesting = 16;
/// Longest duration after `for` or `within`: a leap year. Instants can be added to it without
/// overflow.
inline constexpr units::Duration longest_duration = std::chrono::hours{24 * 366};

/// Reads one sentence. The problem's column points at the first byte that cannot stand there.
/// H ≥ D, zero durations, unknown kinds, words and units are problems too.
[[nodiscard]] tl::expected<Sentence, state::Problem> parse(std::string_view text);

/// The canonical text; `parse(to_text(s)) == s`.
[[nodiscard]] std::string to_text(const Sentence& sentence);
[[nodiscard]] std::string to_text(const Condition& condition);
[[nodiscard]] std::string to_text(const Predicate& predicate);

/// It can stand as a name: not empty, valid UTF-8, no control character.
[[nodiscard]] bool is_name(std::string_view text);
/// The name as a sentence writes it: bare where that reads, else in double quotes.
[[nodiscard]] std::string name_text(std::string_view name);

} // namespace slotwitness::sentences
