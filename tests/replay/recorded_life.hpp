#pragma once

#include <slotwitness/journal/store.hpp>
#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/witness/witness.hpp>

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace slotwitness::replay {

/// What a device tells of its planes, for RecordedLife::look.
inline constexpr std::size_t everything_up = 0;
inline constexpr std::size_t plane_3_shut = 1;

/// A random life of one chassis, recorded as a daemon records it: rounds, answers (whole, cut,
/// unreadable), failures, gates, baselines, procedures and what people do to them, ticks, restarts;
/// now and then somebody opens what is refused. Seeded: the same seed lives the same life.
class RecordedLife {
  public:
    RecordedLife(journal::Store& store, std::uint64_t seed);

    /// Lives on for that many events; every event is stored with its findings.
    void live(std::size_t events);
    /// Begins a new run: a daemon that was restarted.
    void restart();

    /// Single happenings, told apart from what it would live: a round that is answered whole, the
    /// opening of a gate, the closing of the one opened last.
    void look(std::size_t planes);
    void open_gate(const std::string& sentence);
    void close_gate();
    void want_baseline();

    /// The next event that it would live, without recording it.
    [[nodiscard]] witness::Event invent();

    /// People see what is found: what they do next is upon it.
    void see(const std::vector<witness::Finding>& findings);

    [[nodiscard]] const witness::Witness& witness() const { return witness_; }
    [[nodiscard]] std::size_t gates_opened() const { return gates_.size(); }

    /// The newest of each part of a procedure, as published.
    struct Told {
        witness::ProcedureFinding procedure;
        std::map<std::string, witness::StepFinding> steps;
        std::map<std::string, witness::RuleFinding> rules;
        std::optional<witness::CoolingFinding> cooling;
    };
    [[nodiscard]] const std::map<std::string, Told>& told() const { return told_; }

  private:
    void record(const witness::Event& event);
    [[nodiscard]] witness::Event answer(units::Instant at);
    [[nodiscard]] std::string tell(const std::string& asking);
    [[nodiscard]] witness::Event answer(const std::string& asking, units::Instant asked,
                                        units::Instant at, std::string bytes,
                                        const witness::Ending& ending);
    [[nodiscard]] witness::Event open(units::Instant at, const std::string& sentence);
    [[nodiscard]] decltype(witness::Event::what) work();
    [[nodiscard]] decltype(witness::Event::what) open_procedure();
    [[nodiscard]] const Told* open_job() const;
    [[nodiscard]] std::size_t pick(std::size_t below) {
        return static_cast<std::size_t>(random_() % below);
    }

    journal::Store& store_;
    std::mt19937_64 random_;
    std::shared_ptr<const profiles::Profile> profile_;
    witness::Witness witness_;
    units::Instant now_{};
    witness::RoundNumber round_ = 0;
    std::vector<std::string> asking_; ///< what the round under way still asks
    std::vector<std::string> gates_;
    std::map<std::string, Told> told_;
    bool opens_gates_ = true; ///< beside those of procedures
    std::size_t jobs_ = 0;
    std::vector<journal::Capture> captures_; ///< of the event invented last
};

} // namespace slotwitness::replay
