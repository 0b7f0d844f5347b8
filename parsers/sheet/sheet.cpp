#include "sheet.hpp"

#include "paper.hpp"
#include "parts.hpp"

namespace slotwitness::sheet {

std::string run_sheet(const procedures::FilledProcedure& filled, const SheetFacts& facts) {
    const procedures::Procedure& procedure = filled.procedure;
    const Markup left = slot_map(filled, facts.face) + tools(procedure);
    const Markup right = given(filled) + accepted(facts) + rules(procedure);
    const Markup body =
        head(filled, facts) +
        element("div", "sides", element("div", "", left) + element("div", "", right)) +
        cooling(filled) + steps(procedure, facts.codes) + way_back(procedure, facts.codes) +
        spelling(facts.codes) + foot();
    return paper(procedure.title + " – " + facts.chassis, body);
}

} // namespace slotwitness::sheet
