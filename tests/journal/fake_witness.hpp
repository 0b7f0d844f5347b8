#pragma once

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/journal/store.hpp>
#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/witness.hpp>

#include <stdexcept>
#include <string>
#include <vector>

/// A small twin of the witness, and a story for it.
namespace slotwitness::journal::test {

/// One gate that passes at the third true look in a row. Its reason carries a digest over all that
/// it was ever told: two twins that agree on it have seen the same events in the same order.
class FakeWitness {
  public:
    witness::Outcome step(const witness::Event& event) {
        const nlohmann::json told = to_body(event, {});
        memory_ = digest_of(memory_ + canonical(told));
        if (std::holds_alternative<witness::RunStarted>(event.what))
            looks_ = 0;
        if (const auto* answer = std::get_if<witness::Answered>(&event.what))
            looks_ = answer->ending.whole() ? looks_ + 1 : 0;
        witness::GateFinding gate;
        gate.id = "g1";
        gate.sentence = "plane 3 shut";
        gate.truth = looks_ > 0 ? witness::Truth::yes : witness::Truth::no;
        if (looks_ >= 3)
            gate.verdict = witness::Verdict::pass;
        gate.because.text = memory_;
        gate.valid_until = event.at + witness::Duration{3000};
        return {{gate}, gate.valid_until};
    }
    [[nodiscard]] std::vector<witness::UnrecordedLoss> lost() const {
        if (looks_ > 0)
            return {};
        return {{"p1", witness::StopAnswered::Of::rule, "other-planes"}};
    }
    friend bool operator==(const FakeWitness&, const FakeWitness&) = default;

  private:
    std::string memory_;
    int looks_ = 0;
};

inline witness::Instant at(int number) {
    return witness::Instant{witness::Duration{1000 * number}};
}

/// Event `number` of the story, from 1; its instant tells its number.
inline witness::Event story(int number) {
    const auto round = static_cast<witness::RoundNumber>(number);
    switch (number % 5) {
    case 0:
        return {at(number), witness::Tick{}};
    case 1:
        return {at(number), witness::RoundStarted{round, {"planes"}}};
    case 2:
        return {at(number), witness::Failed{round, "planes", at(number),
                                            witness::NoAnswer::timed_out, "stalled"}};
    default:
        witness::Answered answer;
        answer.round = round;
        answer.asking = "planes";
        answer.capture = digest_of("answer " + std::to_string(number));
        answer.ending = {true, number % 11 == 0 ? 1 : 0, ""};
        return {at(number), answer};
    }
}

inline std::vector<Capture> captures_of(const witness::Event& event) {
    const auto* answer = std::get_if<witness::Answered>(&event.what);
    if (answer == nullptr)
        return {};
    return {{answer->capture, "answer " + std::to_string(answer->round)}};
}

/// The chain and its captures are whole, and stepping over its events again gives its very lines.
/// Throws what is wrong; returns the events and the judge that they leave.
struct Recovered {
    std::vector<Entry> entries;
    FakeWitness judge;
    int told = 0; ///< number of the last event of the story
};
inline Recovered recover(Store& store, const std::string& chassis) {
    auto entries = store.entries(chassis);
    if (!entries)
        throw std::runtime_error(entries.error().text);
    Recovered out;
    for (const Entry& entry : *entries) {
        const auto decoded = from_line(entry.line);
        if (!decoded)
            throw std::runtime_error(decoded.error());
        const witness::Event& event = decoded->event;
        const nlohmann::json again = to_body(event, out.judge.step(event).findings);
        const nlohmann::json line = nlohmann::json::parse(entry.line);
        if (again["findings"] != line["findings"])
            throw std::runtime_error("entry " + std::to_string(entry.sequence) +
                                     " does not follow from its events");
        for (const Capture& capture : captures_of(event))
            if (const auto bytes = store.capture(capture.digest); !bytes || *bytes != capture.bytes)
                throw std::runtime_error("capture of entry " + std::to_string(entry.sequence) +
                                         " is not there");
        if (!std::holds_alternative<witness::RunStarted>(event.what))
            out.told = static_cast<int>(event.at.time_since_epoch().count() / 1000);
    }
    out.entries = std::move(*entries);
    return out;
}

/// The chain that one uninterrupted process writes of the events of `entries`: the hash of its last
/// entry.
inline std::string uninterrupted(Store& fresh, const std::string& chassis,
                                 const std::vector<Entry>& entries) {
    FakeWitness judge;
    std::string last;
    for (const Entry& entry : entries) {
        const witness::Event event = from_line(entry.line)->event;
        last = fresh.append(chassis, to_body(event, judge.step(event).findings), captures_of(event))
                   .value()
                   .hash;
    }
    return last;
}

} // namespace slotwitness::journal::test
