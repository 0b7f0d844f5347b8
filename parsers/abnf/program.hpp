#pragma once

#include "octet_set.hpp"

#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace slotwitness::abnf {

inline constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

/// Each instruction either goes on or fails; then the run comes back to the newest choice.
enum class Op : std::uint8_t {
    octet,         ///< the octet x
    set,           ///< one octet of set x
    literal,       ///< y octets at x of `literals`
    caseless,      ///< the same, ASCII letters in either case
    span,          ///< y to z octets of set x, as many as there are
    span_back,     ///< as span; gives octets back while `look` may come next
    choose,        ///< goes to z unless set x may come next; comes back to z if set `look` may
    jump,          ///< to z
    call,          ///< the rule y, at z
    give_back,     ///< to where the rule was called
    loop_begin,    ///< of loop x
    loop_next,     ///< one more round of loop x, or its end
    loop_again,    ///< the end of a round of loop x
    loop_end,      ///< of loop x
    capture_begin, ///< of capture x
    capture_end,
    chosen, ///< the rule x of those that may match
    end,    ///< of the text
};

struct Instruction {
    Op op = Op::end;
    std::uint32_t look = 0;
    std::uint32_t x = 0;
    std::uint32_t y = 0;
    std::uint32_t z = 0;
};

/// A repetition that counts its rounds, or whose round may be empty.
struct Loop {
    std::uint32_t least = 0;
    std::uint32_t most = none;
    std::uint32_t body = 0;  ///< set: how a round that is not empty begins
    std::uint32_t after = 0; ///< set: what may come behind the loop
    std::uint32_t next = 0;  ///< instruction `loop_next`
    std::uint32_t end = 0;   ///< instruction `loop_end`
};

struct Program {
    std::vector<Instruction> code;
    std::vector<OctetSet> sets;
    std::vector<Loop> loops;
    std::string literals;

    // For explanations alone.
    std::vector<std::uint32_t>
        rule_of; ///< of each instruction: the rule whose whole it is, or none
    std::vector<std::string> rule_names;
    bool has_several_roots = false;
};

/// A place to come back to.
struct Choice {
    std::uint32_t pc = 0;
    std::uint32_t at = 0;
    std::uint32_t least_at = none; ///< of a span: how far back it may give
    std::uint32_t frame = none;
    std::uint32_t frames = 0;
    std::uint32_t events = 0;
};

/// A rule that was entered, or a round of a loop. Frames are never changed while a choice may come
/// back to them: a choice keeps the whole way out by one number.
struct Frame {
    std::uint32_t outer = none;
    std::uint32_t value = 0; ///< the instruction to give back to, or the number of the round
    std::uint32_t at = 0;    ///< where it began
    std::uint32_t depth = 0;
    std::uint32_t rule = none;
};

/// A capture begins or ends, or a rule was chosen.
struct Event {
    enum class What : std::uint32_t { begin, end, chosen };
    What what = What::begin;
    std::uint32_t index = 0;
    std::uint32_t at = 0;
};

struct Stacks {
    std::vector<Choice> choices;
    std::vector<Frame> frames;
    std::vector<Event> events;
};

} // namespace slotwitness::abnf
