#include "replay.hpp"

#include "recover.hpp"

#include <utility>

namespace slotwitness::replay {

namespace {

GateSummary summary(const witness::GateFinding& finding) {
    return {finding.id,
            finding.sentence,
            std::string(witness::to_word(finding.verdict)),
            finding.failure ? std::string(witness::to_word(*finding.failure)) : "",
            finding.because.text,
            finding.decided ? units::to_rfc3339(*finding.decided) : ""};
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
        ChassisReplay chassis{name, recovered->entries, {}, std::move(recovered->difference)};
        for (const RecordedGate& gate : recovered->gates)
            if (const auto found = recovered->recomputed.find(gate.opened.id);
                found != recovered->recomputed.end())
                chassis.gates.push_back(summary(found->second));
        result.push_back(std::move(chassis));
    }
    return result;
}

} // namespace slotwitness::replay
