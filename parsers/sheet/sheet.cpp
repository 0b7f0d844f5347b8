#include "sheet.hpp"

#include "parts.hpp"

#include <algorithm>
#include <cmath>

namespace slotwitness::sheet {
namespace {

/// In tenths of a point. The more there is to read the smaller it is set, so that it stays one
/// page; but what is too small to read at a rack had better stand on two.
unsigned letter_size(const Markup& body) {
    constexpr double area = 300'000; ///< of a page, in letters of one point: as the sheets came out
    const double points = std::sqrt(area / static_cast<double>(body.letters()));
    return static_cast<unsigned>(std::clamp(points, 5.6, 9.5) * 10);
}

} // namespace

std::string run_sheet(const procedures::FilledProcedure& filled, const SheetFacts& facts) {
    const procedures::Procedure& procedure = filled.procedure;
    const Markup left = slot_map(filled, facts.face) + tools(procedure);
    const Markup right = given(filled) + rules(procedure);
    const Markup body =
        head(filled, facts) +
        element("div", "sides", element("div", "", left) + element("div", "", right)) +
        cooling(filled) + steps(procedure, facts.codes) + way_back(procedure, facts.codes) +
        spelling(facts.codes) + foot();
    const std::string points = units::Decimal::of(letter_size(body), -1)->to_text();
    const Markup page =
        Markup::ours("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">") +
        element("title", "", procedure.title + " – " + facts.chassis) + style() +
        Markup::ours("</head>\n<body style=\"font-size:") + text(points) + Markup::ours("pt\">\n") +
        body + Markup::ours("</body></html>\n");
    return page.html();
}

} // namespace slotwitness::sheet
