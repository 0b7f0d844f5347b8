#pragma once

#include "condition.hpp"
#include "tracks.hpp"

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What became of one chassis over the last hours, for people to see at a glance: never judged
/// upon. Pure; bounded; a time in which nobody looked stays a gap.
namespace slotwitness::timeline {

/// Somebody did something, or the daemon began anew.
struct Mark {
    Instant at;
    std::string what; ///< "released", "confirmed", …
    std::string procedure, step;
    std::string by, on_behalf_of;
    friend bool operator==(const Mark&, const Mark&) = default;
};

/// What the newest answer that tells of a part says.
struct Part {
    witness::Component component;
    std::string label; ///< printed at its place, as told last: it stays when the part is gone
    Told told;
    std::string asking;  ///< that told it; empty: none yet
    Instant at;          ///< when its answer came
    Instant valid_until; ///< nobody may say later that it is so
};

/// A temperature, in °C as it was printed.
struct Warmth {
    Instant at;
    units::Decimal celsius;
    friend bool operator==(const Warmth&, const Warmth&) = default;
};

/// A sensor that a cooling clock goes by.
struct Watched {
    std::string name;
    std::string procedure;
    std::optional<units::Decimal> hottest; ///< °C that it must not reach; always, where it is shown
    std::vector<Warmth> looks;
    bool as_stated = false; ///< the limit is the device's own
};

struct Shown {
    std::optional<Instant> since; ///< from then on nothing is left out; nothing: no event yet
    std::vector<Tracks::Shown> tracks;
    std::vector<Part> parts;
    std::vector<witness::CoolingFinding> clocks; ///< in the order of their beginning
    std::vector<Mark> marks;
    std::vector<Watched> sensors;
};

/// Bounds: a day of work at one look in two seconds fits, a part that flaps all day does not.
struct Bounds {
    std::size_t spans = 20'000;
    std::size_t marks = 1'000;
    std::size_t clocks = 50;
    std::size_t looks = 4'000; ///< at one sensor; then the older half goes
    std::size_t sensors = 16;
    std::size_t parts = 2'000; ///< a device that tells ever new names ends here
};

class Timeline {
  public:
    /// Between two looks further apart than `gap` nothing is claimed.
    explicit Timeline(units::Duration gap, Bounds bounds = {});

    /// A recorded event, with the reading of an answer, and its recorded findings.
    void take(const witness::Event& event, const std::vector<witness::Finding>& findings);

    /// Whatever was told of parts counts no more: answers may have come that are not recorded.
    void lose(const std::string& why);

    [[nodiscard]] Shown shown() const;
    /// What is printed there, as told last: also of a part that is gone. Empty: nobody told.
    [[nodiscard]] std::string label_at(std::string_view slot) const;

  private:
    void begin_anew(Instant at, const witness::RunStarted& run);
    void fail(const witness::Failed& failed);
    /// What one answer says of a part.
    struct Said {
        witness::Component component;
        Told told;
        std::optional<std::string> label;
    };
    void look(Instant at, const witness::Answered& answer);
    [[nodiscard]] std::vector<Said> judge(const witness::View& view) const;
    void tell(Instant at, const std::string& asking, const Said& said);
    void warm(Instant at, const witness::View& view);
    void note(Instant at, const witness::Event& event);
    void mark(Mark mark);
    void find(Instant at, const witness::GateFinding& finding);
    void find(Instant at, const witness::ProcedureFinding& finding);
    void find(Instant at, const witness::CoolingFinding& finding);
    void find(Instant at, const witness::SwitchedOver& finding);
    template <class Other>
    void find(Instant, const Other&) {}

    units::Duration gap_;
    Bounds bounds_;
    Tracks tracks_;
    std::map<witness::Component, Part> parts_;
    /// The newest whole and wholly read answer to a query: while the next one says the same, what
    /// it says of the parts need not be judged again.
    struct Judged {
        std::optional<std::string> grounds; ///< nothing: it was not whole
        std::vector<Said> said;
        std::size_t parts = 0; ///< that were known then: of a new one it may say that it is absent
    };
    std::map<std::string, Judged> judged_;
    std::deque<witness::CoolingFinding> clocks_;
    std::deque<Mark> marks_;
    std::optional<Instant> marks_dropped_until_;
    std::vector<Watched> sensors_; ///< of the newest procedure
    std::optional<Instant> began_;
};

} // namespace slotwitness::timeline
