#include "reading_answer.hpp"
#include "section.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/sequencer.hpp>

#include <algorithm>
#include <map>
#include <memory>

namespace slotwitness::bench {
namespace {

using witness::Instant;

constexpr std::size_t components = 200;
constexpr std::size_t gates = 20;
constexpr witness::Duration pace{1'000};

/// Chains entries as the journal does, and keeps none: how fast a disk is says nothing of us.
class Chaining final : public journal::Store {
  public:
    tl::expected<journal::Entry, journal::StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<journal::Capture>&) override {
        auto entry = journal::next_entry(chassis, head_, body);
        head_ = {entry.sequence, entry.hash};
        return entry;
    }
    tl::expected<std::vector<journal::Entry>, journal::StoreError>
    entries(std::string_view, std::uint64_t, std::size_t) override {
        return std::vector<journal::Entry>{};
    }
    tl::expected<std::vector<std::string>, journal::StoreError> chassis() override {
        return std::vector<std::string>{};
    }
    tl::expected<std::optional<std::string>, journal::StoreError>
    capture(std::string_view) override {
        return std::nullopt;
    }

  private:
    journal::Head head_;
};

/// A module of the answer.
std::string name(std::size_t row) {
    const std::string digits = std::to_string(row);
    return "FAB" + std::to_string(row % 16) + "/" + std::string(8 - digits.size(), '0') + digits;
}

/// Half of the gates look at one component, half at all; of both kinds some are true and some are
/// not.
std::string sentence(std::size_t gate) {
    switch (gate % 4) {
    case 0:
        return "module " + name(gate * 9) + " up for 10 min";
    case 1:
        return "at least 3 module down for 10 min";
    case 2:
        return "module " + name(gate * 9) + " down for 10 min within 1 d";
    default:
        return "every module admin unlocked for 10 min";
    }
}

/// One chassis, as the daemon has it: its chain, its judge, its gates.
class Chassis {
  public:
    explicit Chassis(const std::string& name)
        : sequencer_(
              store_, name, witness::Witness(), [](Instant) { return journal::Beginning{}; },
              [this](const journal::Sequenced& one) { told_ = one.outcome.findings.size(); }) {}

    void take(witness::Event event, const std::vector<journal::Capture>& captures = {}) {
        static_cast<void>(sequencer_.take(event, captures));
    }

    void begin_round() {
        now_ += pace;
        take({now_, witness::RoundStarted{++round_, {std::string(query_of(Shape::table))}}});
    }

    /// From the last byte of the answer to what is told of it: read, digested, judged, chained.
    std::size_t look(const std::string& answer) {
        journal::Capture capture{journal::digest_of(answer), answer};
        witness::Answered answered{
            round_, std::string(query_of(Shape::table)), now_, capture.digest, {}, nullptr};
        answered.ending.ended = true;
        answered.ending.exit_status = 0;
        answered.reading = std::make_shared<const state::Reading>(
            profiles::read(profile(), query_of(Shape::table), answer, true));
        take({now_ + witness::Duration(100), std::move(answered)}, {std::move(capture)});
        return told_;
    }

    /// How many of the gates were refused.
    std::size_t open_gates() {
        std::size_t refused = 0;
        for (std::size_t gate = 0; gate < gates; ++gate) {
            witness::GateOpened opening;
            opening.id = "gate-" + std::to_string(gate);
            opening.sentence = sentence(gate);
            opening.askings = {std::string(query_of(Shape::table))};
            opening.gap = witness::Duration(10'000);
            opening.refresh = witness::Duration(1'000);
            opening.by = "bench";
            if (sequencer_.judge().refusal(opening))
                ++refused;
            take({now_ + witness::Duration(200), std::move(opening)});
        }
        return refused;
    }

  private:
    Chaining store_;
    std::size_t told_ = 0;
    Instant now_{};
    witness::RoundNumber round_ = 0;
    journal::Sequencer<witness::Witness> sequencer_;
};

/// The time that so many of a hundred did not exceed, in microseconds.
double quantile(std::vector<double>& seconds, std::size_t percent) {
    const auto at =
        seconds.begin() + static_cast<std::ptrdiff_t>((seconds.size() - 1) * percent / 100);
    std::nth_element(seconds.begin(), at, seconds.end());
    return *at * 1e6;
}

} // namespace

tl::expected<Findings, std::string> witness_looks(Scale scale) {
    const std::string answer = answer_of(Shape::table, (components + 2) * row_bytes);
    std::vector<std::unique_ptr<Chassis>> all;
    for (std::size_t i = 0; i < (scale.quick ? 10 : 1'000); ++i) {
        auto chassis = std::make_unique<Chassis>("chassis-" + std::to_string(i));
        chassis->begin_round();
        static_cast<void>(chassis->look(answer)); // fixes the inventory
        if (chassis->open_gates() > 0)
            return tl::unexpected(std::string("a gate was refused"));
        all.push_back(std::move(chassis));
    }

    // The chassis come in turn, so that none finds its own memory near.
    std::map<std::size_t, std::vector<double>> looks;
    std::vector<double> hashes;
    for (std::size_t round = 0; round < scale.rounds() + 1; ++round) {
        std::vector<double> looked;
        std::vector<double> hashed;
        for (const auto& chassis : all) {
            chassis->begin_round();
            std::size_t told = 0;
            looked.push_back(seconds_of([&] { return told = chassis->look(answer); }));
            if (told < gates)
                return tl::unexpected("a look told of " + std::to_string(told) + " gates alone");
            hashed.push_back(seconds_of([&] { return journal::digest_of(answer); }));
        }
        if (round == 0)
            continue; // warms up
        for (const std::size_t percent : {50U, 99U})
            looks[percent].push_back(quantile(looked, percent));
        hashes.push_back(quantile(hashed, 50));
    }

    Findings findings;
    for (auto& [percent, micros] : looks) {
        Entry entry{"p" + std::to_string(percent) + " of 1,000 chassis", "us", spread_of(micros)};
        entry.peer = "SHA-256";
        entry.theirs = spread_of(hashes);
        entry.ratio = entry.ours.median / entry.theirs->median;
        findings.entries.push_back(std::move(entry));
    }
    findings.notes = {
        "From the last byte of an answer to what is told of it: 1,000 chassis in turn, each with "
        "200 components in an answer of 16 kB and 20 gates, of which each look tells something. "
        "Digested, read, judged, and made the next entry of the chassis's chain; what a disk "
        "needs to keep the entry comes on top.",
        "Beside it stands the time of OpenSSL's SHA-256 over the same answer, which is done once "
        "within ours as well."};
    return findings;
}

} // namespace slotwitness::bench
