#pragma once

#include <slotwitness/units/time.hpp>

#include <cstddef>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::timeline {

using units::Instant;

/// So it was from one instant to another, as told at both and never otherwise between them.
struct Span {
    Instant from;
    Instant until;
    std::string_view state; ///< a word that lives as long as the program
    friend bool operator==(const Span&, const Span&) = default;
};

/// Of what the spans of a track tell.
struct TrackName {
    std::string of; ///< "plane", "module", …; "gate", "procedure"
    std::string name;
    friend auto operator<=>(const TrackName&, const TrackName&) = default;
};

/// The newest spans of many tracks, so many and no more: the oldest go first.
class Tracks {
  public:
    explicit Tracks(std::size_t most_spans) : most_(most_spans) {}

    /// It is `state` at `at`. The open span goes on if it says so too, and was told no longer ago
    /// than `gap`; else it ends where it was told last.
    void tell(const TrackName& track, std::string_view state, Instant at, units::Duration gap);
    /// The open span ends where it was told last.
    void end(const TrackName& track);

    struct Shown {
        TrackName track;
        std::vector<Span> spans; ///< in order of time, at least one
        bool open = false;       ///< the last one may still go on
    };
    [[nodiscard]] std::vector<Shown> shown() const;

    /// Spans that ended before were dropped, if there is one.
    [[nodiscard]] std::optional<Instant> dropped_until() const { return dropped_until_; }

  private:
    struct Open {
        std::optional<Span> span;
        std::size_t past = 0; ///< spans of it in past_
    };
    void close(std::map<TrackName, Open>::iterator track);

    std::size_t most_;
    std::map<TrackName, Open> tracks_;
    struct Past {
        TrackName track;
        Span span;
    };
    std::deque<Past> past_; ///< in the order in which they were closed
    std::optional<Instant> dropped_until_;
};

} // namespace slotwitness::timeline
