#include "replay.hpp"

#include "recover.hpp"

#include <slotwitness/witness/gate_code.hpp>

#include <utility>

namespace slotwitness::replay {

namespace {

GateSummary summary(std::string_view chassis, const witness::GateFinding& finding) {
    return {finding.id,
            finding.sentence,
            std::string(witness::to_word(finding.verdict)),
            finding.failure ? std::string(witness::to_word(*finding.failure)) : "",
            finding.because.text,
            finding.decided ? units::to_rfc3339(*finding.decided) : "",
            witness::code_of(chassis, finding)};
}

ProcedureSummary summary(const RecordedProcedure& procedure) {
    const witness::ProcedureFinding& finding = procedure.finding;
    ProcedureSummary summary{
        finding.id,
        finding.title,
        std::string(finding.outcome ? to_word(*finding.outcome) : to_word(finding.word)),
        finding.code,
        {}};
    for (const auto* plans : {&procedure.opened.steps, &procedure.opened.back_out})
        for (const witness::StepPlan& plan : *plans)
            if (const auto step = procedure.steps.find(plan.name);
                step != procedure.steps.end() && !step->second.code.empty())
                summary.steps.push_back({plan.name, std::string(to_word(step->second.stage)),
                                         step->second.code, step->second.read_back});
    return summary;
}

} // namespace

std::string_view to_word(Difference::Kind kind) {
    switch (kind) {
    case Difference::Kind::reading:
        return "reading";
    case Difference::Kind::finding:
        return "finding";
    }
    return "finding";
}

tl::expected<std::vector<ChassisReplay>, journal::StoreError> replay(journal::Store& store) {
    const auto names = store.chassis();
    if (!names)
        return tl::unexpected(names.error());
    std::vector<ChassisReplay> result;
    for (const std::string& name : *names) {
        auto recovered = recover_fully(store, name);
        if (!recovered)
            return tl::unexpected(std::move(recovered.error()));
        ChassisReplay chassis{name, recovered->entries, {}, {}, std::move(recovered->difference)};
        for (const RecordedGate& gate : recovered->gates)
            if (const auto found = recovered->recomputed.find(gate.opened.id);
                found != recovered->recomputed.end())
                chassis.gates.push_back(summary(name, found->second));
        for (const RecordedProcedure& procedure : recovered->recomputed_procedures)
            chassis.procedures.push_back(summary(procedure));
        result.push_back(std::move(chassis));
    }
    return result;
}

} // namespace slotwitness::replay
