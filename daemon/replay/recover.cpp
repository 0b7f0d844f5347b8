#include "recover.hpp"

#include <slotwitness/witness/baseline.hpp>

#include <algorithm>
#include <map>
#include <stdexcept>
#include <utility>

namespace slotwitness::replay {

namespace {

using journal::Entry;
using journal::StoreError;

/// The entry's own opening, of a gate or a procedure, was refused: it does not exist, but another
/// one of its name may.
bool is_refused(const journal::Decoded& decoded) {
    const auto* gate = std::get_if<witness::GateOpened>(&decoded.event.what);
    const auto* procedure = std::get_if<witness::ProcedureOpened>(&decoded.event.what);
    return std::any_of(
        decoded.findings.begin(), decoded.findings.end(), [&](const witness::Finding& finding) {
            const auto* no_gate = std::get_if<witness::GateRefused>(&finding);
            const auto* no_procedure = std::get_if<witness::ProcedureRefused>(&finding);
            return (gate && no_gate && no_gate->id == gate->id) ||
                   (procedure && no_procedure && no_procedure->procedure == procedure->id);
        });
}

/// Takes entries in order: the record as it was published.
class Record {
  public:
    void take(const journal::Decoded& decoded) {
        recovered_.last_instant = decoded.event.at;
        if (!is_refused(decoded))
            std::visit([this](const auto& what) { note(what); }, decoded.event.what);
        for (const witness::Finding& finding : decoded.findings) {
            std::visit([this](const auto& what) { note(what); }, finding);
            for (RecordedProcedure& procedure : recovered_.procedures)
                replay::take(procedure, finding);
        }
    }
    [[nodiscard]] Recovered& recovered() { return recovered_; }
    [[nodiscard]] const std::optional<witness::BaselineFixed>& baseline() const {
        return baseline_;
    }
    /// All but the baseline's answers, which are to be read again.
    [[nodiscard]] witness::Remembered remembered() const {
        witness::Remembered remembered{inventory_, {}, nullptr};
        for (const RecordedGate& gate : recovered_.gates)
            remembered.gates.push_back(gate.opened.id);
        for (const RecordedProcedure& procedure : recovered_.procedures)
            remembered.gates.push_back(procedure.opened.id);
        return remembered;
    }

  private:
    void note(const witness::RunStarted& run) {
        recovered_.last_run = run;
        keep_lately(recovered_.began_lately, recovered_.last_instant);
    }
    void note(const witness::Answered& answer) {
        keep_lately(recovered_.asked_lately, answer.asked);
    }
    void note(const witness::Failed& failed) { keep_lately(recovered_.asked_lately, failed.asked); }
    void keep_lately(std::deque<units::Instant>& list, units::Instant at) const {
        list.push_back(at);
        while (list.front() + std::chrono::hours(1) < recovered_.last_instant)
            list.pop_front();
    }
    void note(const witness::RoundStarted& round) { recovered_.last_round = round.round; }
    void note(const witness::SessionOpened& session) {
        if (!session.serial.empty())
            recovered_.serial = session.serial;
    }
    void note(const witness::GateOpened& gate) { recovered_.gates.push_back({gate, {}, 0}); }
    void note(const witness::ProcedureOpened& procedure) {
        recovered_.procedures.push_back({procedure, {}, {}, {}, {}, {}, 0, {}});
    }
    void note(const witness::InventoryFixed& fixed) { inventory_[fixed.kind] = fixed.names; }
    void note(const witness::BaselineFixed& fixed) { baseline_ = fixed; }
    void note(const witness::GateFinding& finding) {
        const auto gate =
            std::find_if(recovered_.gates.begin(), recovered_.gates.end(),
                         [&](const RecordedGate& each) { return each.opened.id == finding.id; });
        if (gate == recovered_.gates.end()) {
            recovered_.gates.push_back({opened_by_procedure(finding), finding, 0});
            return;
        }
        if (tells_something_new(gate->finding, finding))
            ++gate->changes;
        gate->finding = finding;
    }
    /// Of nothing else does anything outlive its entry.
    template <class Other>
    void note(const Other&) {}

    Recovered recovered_;
    std::map<state::Kind, std::vector<std::string>> inventory_;
    std::optional<witness::BaselineFixed> baseline_;
};

struct Decoding {
    Record record;
    std::vector<journal::Decoded> decoded;
};

tl::expected<Decoding, StoreError> decode(const std::vector<Entry>& entries) {
    Decoding result;
    result.decoded.reserve(entries.size());
    for (const Entry& entry : entries) {
        auto decoded = journal::from_line(entry.line);
        if (!decoded)
            return tl::unexpected(
                StoreError{StoreError::Kind::damaged, "entry " + std::to_string(entry.sequence) +
                                                          " of chassis " + entry.chassis + ": " +
                                                          decoded.error()});
        result.record.take(*decoded);
        result.decoded.push_back(std::move(*decoded));
    }
    return result;
}

/// The witness throws at what no sequencer writes, such as time that runs backwards: the journal is
/// then damaged.
tl::expected<witness::Outcome, StoreError> step(witness::Witness& witness, const Entry& entry,
                                                const witness::Event& event) {
    try {
        return witness.step(event);
    } catch (const std::logic_error& error) {
        return tl::unexpected(StoreError{StoreError::Kind::damaged,
                                         "entry " + std::to_string(entry.sequence) +
                                             " of chassis " + entry.chassis + ": " + error.what()});
    }
}

/// Steps a witness over entries[first…] and notes the first difference. Takes what was decoded.
tl::expected<void, StoreError> step_over(journal::Store& store, const std::vector<Entry>& entries,
                                         std::vector<journal::Decoded>& decoded, std::size_t first,
                                         Recovered& into, const Onlooker& onlooker) {
    Rereader rereader(store);
    int semantics = witness::semantics_version; // of the witness that judged the run
    for (std::size_t i = first; i < entries.size(); ++i) {
        auto reread = rereader.reread(entries[i], std::move(decoded[i]));
        if (!reread)
            return tl::unexpected(std::move(reread.error()));
        if (std::holds_alternative<witness::RunStarted>(reread->decoded.event.what))
            semantics = reread->decoded.semantics;
        const auto outcome = step(into.witness, entries[i], reread->decoded.event);
        if (!outcome)
            return tl::unexpected(outcome.error());
        if (const auto* opened = std::get_if<witness::ProcedureOpened>(&reread->decoded.event.what);
            opened && !is_refused(reread->decoded))
            into.recomputed_procedures.push_back({*opened, {}, {}, {}, {}, {}, 0, {}});
        for (const witness::Finding& finding : outcome->findings) {
            if (const auto* gate = std::get_if<witness::GateFinding>(&finding))
                into.recomputed[gate->id] = *gate;
            for (RecordedProcedure& procedure : into.recomputed_procedures)
                replay::take(procedure, finding);
        }
        const witness::Event& event = reread->decoded.event;
        const auto* forecast = std::get_if<witness::ForecastMade>(&event.what);
        auto otherwise = forecast ? into.warming.differs(*forecast) : std::nullopt;
        static_cast<void>(into.warming.take(event, reread->decoded.findings)); // it is recorded
        if (onlooker)
            onlooker(event, reread->decoded.findings);
        if (into.difference)
            continue;
        if (otherwise) {
            into.difference =
                Difference{Difference::Kind::finding, entries[i].sequence, std::move(*otherwise)};
            continue;
        }
        into.difference = std::move(reread->difference);
        if (into.difference)
            continue;
        if (auto text = compare(reread->decoded.findings, outcome->findings)) {
            if (semantics != witness::semantics_version)
                *text += "; it was judged by semantics " + std::to_string(semantics) +
                         ", this version judges by " + std::to_string(witness::semantics_version);
            into.difference =
                Difference{Difference::Kind::finding, entries[i].sequence, std::move(*text)};
        }
    }
    return {};
}

/// Where the life of a gate, a procedure, or a wish for a baseline begins and ends, by index of
/// entries; `end` is past the last one while it is open.
struct Life {
    std::size_t begin = 0;
    std::size_t end = 0;
};

std::vector<Life> lives(const std::vector<journal::Decoded>& decoded) {
    std::map<std::string, Life> lives; // the gates of a procedure live within it
    std::vector<Life> wishes;
    for (std::size_t i = 0; i < decoded.size(); ++i) {
        const auto& what = decoded[i].event.what;
        const auto end = [&](const std::string& id) {
            if (const auto life = lives.find(id); life != lives.end())
                life->second.end = i;
        };
        const bool refused = is_refused(decoded[i]);
        if (const auto* gate = std::get_if<witness::GateOpened>(&what); gate && !refused)
            lives.emplace(gate->id, Life{i, decoded.size()});
        const auto* procedure = std::get_if<witness::ProcedureOpened>(&what);
        if (procedure && !refused)
            lives.emplace(procedure->id, Life{i, decoded.size()});
        const bool wants_baseline = std::holds_alternative<witness::BaselineWanted>(what) ||
                                    (procedure && !procedure->whole.empty() && !refused);
        if (wants_baseline) {
            if (!wishes.empty()) // a newer wish takes its place
                wishes.back().end = std::min(wishes.back().end, i);
            wishes.push_back({i, decoded.size()});
        }
        for (const witness::Finding& finding : decoded[i].findings)
            if (const auto* gate = std::get_if<witness::GateFinding>(&finding);
                gate && gate->retired)
                end(gate->id);
            else if (const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
                     told && told->phase == witness::Phase::closed)
                end(told->id);
            else if (std::holds_alternative<witness::BaselineFixed>(finding) && !wishes.empty())
                wishes.back().end = i;
    }
    std::vector<Life> result = std::move(wishes);
    for (const auto& [id, life] : lives)
        result.push_back(life);
    return result;
}

/// The first entry that must be stepped again: the newest start of a run that no such life spans.
std::size_t where_to_step_from(const std::vector<journal::Decoded>& decoded) {
    std::vector<std::size_t> runs;
    for (std::size_t i = 0; i < decoded.size(); ++i)
        if (std::holds_alternative<witness::RunStarted>(decoded[i].event.what))
            runs.push_back(i);
    const std::vector<Life> all = lives(decoded);
    const auto nothing_spans = [&](std::size_t run) {
        return std::none_of(all.begin(), all.end(),
                            [&](const Life& life) { return life.begin < run && life.end >= run; });
    };
    const auto found = std::find_if(runs.rbegin(), runs.rend(), nothing_spans);
    return found == runs.rend() ? 0 : *found;
}

/// The baseline whose round ended before entries[first]: its answers read again, with the profile
/// of their run. Notes where one now reads otherwise.
tl::expected<std::shared_ptr<const witness::Baseline>, StoreError>
read_baseline(journal::Store& store, const std::vector<Entry>& entries,
              const std::vector<journal::Decoded>& decoded, std::size_t first,
              const witness::BaselineFixed& fixed, Recovered& into) {
    std::size_t run = 0;
    std::map<std::string, std::size_t> answers; // of that round, by asking
    for (std::size_t i = 0; i < first; ++i) {
        if (std::holds_alternative<witness::RunStarted>(decoded[i].event.what) && answers.empty())
            run = i;
        if (const auto* answer = std::get_if<witness::Answered>(&decoded[i].event.what);
            answer && answer->round == fixed.round && fixed.captures.contains(answer->asking))
            answers.emplace(answer->asking, i);
    }
    Rereader rereader(store);
    if (auto begun = rereader.reread(entries[run], decoded[run]); !begun)
        return tl::unexpected(std::move(begun.error()));
    std::vector<witness::Heard> heard;
    for (const auto& [asking, at] : answers) {
        auto reread = rereader.reread(entries[at], decoded[at]);
        if (!reread)
            return tl::unexpected(std::move(reread.error()));
        if (!into.difference)
            into.difference = std::move(reread->difference);
        heard.push_back(
            witness::heard_from(std::get<witness::Answered>(reread->decoded.event.what)));
    }
    return std::make_shared<const witness::Baseline>(fixed, std::move(heard));
}

tl::expected<Recovered, StoreError> recover(journal::Store& store, std::string_view chassis,
                                            bool fully, const Onlooker& onlooker) {
    const auto entries = store.entries(chassis);
    if (!entries)
        return tl::unexpected(entries.error());
    auto decoding = decode(*entries);
    if (!decoding)
        return tl::unexpected(std::move(decoding.error()));
    const std::size_t first = fully ? 0 : where_to_step_from(decoding->decoded);

    Record before;
    for (std::size_t i = 0; i < first; ++i)
        before.take(decoding->decoded[i]);
    Recovered recovered = std::move(decoding->record.recovered());
    recovered.entries = entries->size();
    witness::Remembered remembered = before.remembered();
    if (before.baseline()) {
        auto baseline =
            read_baseline(store, *entries, decoding->decoded, first, *before.baseline(), recovered);
        if (!baseline)
            return tl::unexpected(std::move(baseline.error()));
        remembered.baseline = std::move(*baseline);
    }
    recovered.witness = witness::Witness(remembered);
    if (auto stepped = step_over(store, *entries, decoding->decoded, first, recovered, onlooker);
        !stepped)
        return tl::unexpected(std::move(stepped.error()));
    return recovered;
}

} // namespace

bool take(RecordedProcedure& procedure, const witness::Finding& finding) {
    const std::string& id = procedure.opened.id;
    if (const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
        told && told->id == id) {
        const auto& before = procedure.finding;
        if (before.word != told->word || before.step != told->step || before.phase != told->phase ||
            before.in_charge != told->in_charge || before.code != told->code)
            ++procedure.changes;
        procedure.finding = *told;
    } else if (const auto* step = std::get_if<witness::StepFinding>(&finding);
               step && step->procedure == id) {
        ++procedure.changes;
        procedure.steps[step->name] = *step;
    } else if (const auto* rule = std::get_if<witness::RuleFinding>(&finding);
               rule && rule->procedure == id) {
        witness::RuleFinding& before = procedure.rules[rule->name];
        if (before.active != rule->active || before.truth != rule->truth ||
            before.lost != rule->lost || before.accepted != rule->accepted)
            ++procedure.changes;
        before = *rule;
    } else if (const auto* cooling = std::get_if<witness::CoolingFinding>(&finding);
               cooling && cooling->procedure == id) {
        ++procedure.changes;
        procedure.cooling = *cooling;
    } else if (const auto* chassis = std::get_if<witness::ChassisFinding>(&finding);
               chassis && chassis->procedure == id) {
        ++procedure.changes;
        procedure.chassis = *chassis;
    } else if (const auto* part = std::get_if<witness::PartFinding>(&finding);
               part && part->procedure == id) {
        ++procedure.changes;
        procedure.part = *part;
    } else if (const auto* handback = std::get_if<witness::HandbackFinding>(&finding);
               handback && handback->procedure == id) {
        ++procedure.changes;
        procedure.handback = *handback;
    } else {
        return false;
    }
    return true;
}

witness::GateOpened opened_by_procedure(const witness::GateFinding& finding) {
    witness::GateOpened opened;
    opened.id = finding.id;
    opened.sentence = finding.sentence;
    opened.by = "procedure " + finding.id.substr(0, finding.id.find('.'));
    return opened;
}

bool tells_something_new(const witness::GateFinding& before, const witness::GateFinding& after) {
    return before.verdict != after.verdict || before.failure != after.failure ||
           before.standing != after.standing || before.truth != after.truth ||
           before.because.reason != after.because.reason || before.retired != after.retired;
}

tl::expected<Recovered, StoreError> recover(journal::Store& store, std::string_view chassis,
                                            const Onlooker& onlooker) {
    return recover(store, chassis, false, onlooker);
}

tl::expected<Recovered, StoreError> recover_fully(journal::Store& store, std::string_view chassis) {
    return recover(store, chassis, true, {});
}

} // namespace slotwitness::replay
