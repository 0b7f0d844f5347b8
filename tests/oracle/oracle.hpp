#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

/// A second judge of gates, written from the rule alone and sharing nothing with the witness: not
/// its types, not its state, not its idea of time. It takes the whole history of one chassis and
/// asks at every millisecond anew, by running over all pairs of looks. Slow on purpose.
namespace slotwitness::oracle {

using Time = std::int64_t; ///< ms

enum class Truth { no, unknown, yes };
enum class Verdict { pending, pass, fail, cancelled };
enum class Failure { seen_false, not_seen };
enum class Standing { met, settling, lost, unseen };

/// A query, by number. Each answer states one fact, so that conditions are made of such numbers;
/// beside it, it may state an identity and a count.
using Asking = int;

struct Condition {
    enum class Shape { fact, as_in_baseline, not_rising, negation, conjunction, disjunction };
    Shape shape = Shape::fact;
    Asking asking = 0;            ///< of a fact, an identity or a count
    std::vector<Condition> parts; ///< one of a negation, two of the others
};

struct Gate {
    Condition condition;
    std::vector<Asking> needs;  ///< the queries that each look of it takes
    Time hold = 0;              ///< H; 0 without `for`
    std::optional<Time> within; ///< D
    Time gap = 1;               ///< G
    Time refresh = 0;           ///< R
    Time guard = 0;             ///< 0: until closed
};

enum class Happening {
    run_started,
    round_started,
    answered,
    failed,
    opened,
    closed,
    baseline_wanted,
    tick
};

struct Event {
    Time at = 0;
    Happening what = Happening::tick;
    int round = 0;               ///< round_started, answered, failed
    std::vector<Asking> askings; ///< round_started, baseline_wanted
    Asking asking = 0;           ///< answered, failed
    Time asked = 0;              ///< answered, failed
    Truth fact = Truth::unknown; ///< answered
    bool whole = true;           ///< answered
    std::optional<int>
        flaps; ///< answered: how often the component changed state, if the device tells
    std::optional<int> identity; ///< answered: which one it is, if the device tells
    std::optional<int> count;    ///< answered: of its errors, if the device tells
    std::optional<int> serial;   ///< answered: of the chassis, if it tells; 0: it does not know it
    bool elapsed_known = true;   ///< run_started
    std::size_t gate = 0;        ///< opened, closed
};

/// One round of the queries that a gate needs, as far as it counts for that gate.
struct Look {
    int round = 0;
    Time asked = 0;    ///< a
    Time answered = 0; ///< b
    Time known = 0;    ///< when it was over: b, or when it was known that nothing would come
    Truth truth = Truth::unknown;
    bool missed = false;
    bool unfinished =
        false;            ///< missed because overdue or cut off: a and b are those of its beginning
    bool cut_off = false; ///< unfinished because the daemon, or the next round, started under it
    int run = 0;          ///< of the daemon
    std::optional<std::size_t>
        baseline; ///< by which it was judged, if the gate compares: the event that ended its round
    bool moved =
        false; ///< stands for a change of state since the look before, seen by the next one
    friend bool operator==(const Look&, const Look&) = default;
};

/// Everything that must be said of a gate.
struct Said {
    bool open = false; ///< the gate was opened
    Verdict verdict = Verdict::pending;
    std::optional<Failure> failure;
    std::optional<Time> decided;
    std::optional<Standing> standing;
    Truth truth = Truth::unknown;
    Time held = 0;
    bool retired = false;
    friend bool operator==(const Said&, const Said&) = default;
};

/// "pending true held 3", "fail not-seen at 61 unknown held 0", "pass at 13 met true held 10".
[[nodiscard]] std::string to_text(const Said& said);

/// What must be said once the first `seen` events have happened and the clock shows `now`.
struct Moment {
    std::size_t seen = 0;
    Time now = 0;
    Said said;
};

/// Every moment from the first event to `until`: one after each event, and one at each millisecond
/// between. `events` are in order of `at`, at least one.
[[nodiscard]] std::vector<Moment> judge(const Gate& gate, std::size_t number,
                                        const std::vector<Event>& events, Time until);

/// One more moment, given what was said before it: only the verdict and its end are carried on.
/// `after_event`: the moment is that of the last of the `seen` events, not one between two.
[[nodiscard]] Said at_moment(const Gate& gate, std::size_t number, std::span<const Event> events,
                             std::size_t seen, Time now, bool after_event, const Said& before);

/// The looks that count for the gate at a moment, in the order in which they ended.
[[nodiscard]] std::vector<Look> looks_of(const Gate& gate, std::size_t number,
                                         std::span<const Event> events, std::size_t seen, Time now);

/// What an answer says of its one fact.
struct Reported {
    Truth fact = Truth::unknown;
    bool whole = false;
    std::optional<int> identity;
    std::optional<int> count;
};
/// The condition over the answers of one look; a query without one is unknown.
[[nodiscard]] Truth truth_of(const Condition& condition, const std::map<Asking, Reported>& facts);

[[nodiscard]] Truth kleene_not(Truth value);
[[nodiscard]] Truth kleene_and(Truth left, Truth right);
[[nodiscard]] Truth kleene_or(Truth left, Truth right);

} // namespace slotwitness::oracle
