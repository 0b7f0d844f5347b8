#pragma once

#include <slotwitness/journal/store.hpp>
#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/witness/witness.hpp>

#include <cstdint>
#include <memory>
#include <random>
#include <string>
#include <vector>

namespace slotwitness::replay {

/// A random life of one chassis, recorded as a daemon records it: rounds, answers (whole, cut,
/// unreadable), failures, gates, ticks, restarts. Seeded: the same seed lives the same life.
class RecordedLife {
  public:
    RecordedLife(journal::Store& store, std::uint64_t seed);

    /// Lives on for that many events; every event is stored with its findings.
    void live(std::size_t events);
    /// Begins a new run: a daemon that was restarted.
    void restart();

    /// The next event that it would live, without recording it.
    [[nodiscard]] witness::Event invent();

    [[nodiscard]] const witness::Witness& witness() const { return witness_; }
    [[nodiscard]] std::size_t gates_opened() const { return gates_.size(); }

  private:
    void record(const witness::Event& event);
    [[nodiscard]] witness::Event answer(units::Instant at);
    [[nodiscard]] witness::Event open(units::Instant at);
    [[nodiscard]] std::size_t pick(std::size_t below) {
        return static_cast<std::size_t>(random_() % below);
    }

    journal::Store& store_;
    std::mt19937_64 random_;
    std::shared_ptr<const profiles::Profile> profile_;
    witness::Witness witness_;
    units::Instant now_{};
    witness::RoundNumber round_ = 0;
    bool asking_ = false; ///< a round is under way
    std::vector<std::string> gates_;
    std::vector<journal::Capture> captures_; ///< of the event invented last
};

} // namespace slotwitness::replay
