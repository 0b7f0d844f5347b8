#pragma once

#include "oracle.hpp"
#include "story.hpp"

#include <string>
#include <vector>

/// Traces worked by hand, as tables: when, what happens, what must be said then, and why. Each
/// table is held against the oracle and against the real witness.
namespace slotwitness::oracle {

/// What happens in one line of a table. The line's time is b for a look, `at` for the rest.
struct Happens {
    std::vector<Event> events;         ///< their `at` is filled in from the line
    std::optional<Time> round_started; ///< begin a round first, at this time
};

[[nodiscard]] Happens opens();
[[nodiscard]] Happens closes();
[[nodiscard]] Happens ticks();
/// The daemon starts again on the same boot of the machine.
[[nodiscard]] Happens restarts();
/// It starts again, and how long it was down cannot be known.
[[nodiscard]] Happens restarts_without_time();
/// A whole round of `planes`: asked then, answered on the line.
[[nodiscard]] Happens look(Time asked, Truth truth);
[[nodiscard]] Happens look_telling_flaps(Time asked, Truth truth, int flaps);
/// The same, but the answer was cut short.
[[nodiscard]] Happens cut_look(Time asked, Truth as_read);
/// A whole round of `planes` that brings no answer.
[[nodiscard]] Happens no_answer(Time asked);
/// A round of all that the gate needs begins and its answers stand in lines of their own.
[[nodiscard]] Happens starts();
[[nodiscard]] Happens answers(Asking asking, Time asked, Truth truth);
[[nodiscard]] Happens fails(Asking asking, Time asked);

struct Line {
    Time at;
    Happens happens;
    std::string said;
    std::string why;
};

/// `sentence` goes to the witness, the numbers of `gate` to the oracle.
struct Table {
    std::string sentence;
    Gate gate;
    std::vector<Line> lines;
};

/// A gate on plane 3 being down. All times in ms.
struct Numbers {
    Time hold = 0;
    std::optional<Time> within = std::nullopt;
    Time gap = 5'000;
    Time refresh = 0;
    Time guard = 0;
};
[[nodiscard]] Gate plane_3_down(Numbers numbers);

/// Expects each line of the table of both judges.
void check(const Table& table);

inline constexpr Truth yes = Truth::yes;
inline constexpr Truth no = Truth::no;
inline constexpr Truth unknown = Truth::unknown;

} // namespace slotwitness::oracle
