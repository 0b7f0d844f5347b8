#include "paper.hpp"
#include "parts.hpp"

namespace slotwitness::sheet {

Markup head(const procedures::FilledProcedure& filled, const SheetFacts& facts) {
    Markup what = element("h1", "", filled.procedure.title) +
                  element("p", "", "Run sheet, " + filled.procedure.family);
    for (const std::string& warning : facts.warnings)
        what += element("p", "", element("strong", "", warning));
    const Markup where = blank("Chassis", facts.chassis) +
                         blank("Last characters of its serial, read from the rack", "");
    const Markup who = blank("Ticket", facts.ticket) + blank("Window", facts.window) +
                       blank("Engineer", facts.engineer) + blank("Technician", facts.technician) +
                       blank("Second person", "") + blank("Voice line", "") + blank("Date", "") +
                       blank("Began", "") + blank("Ended", "") + blank("Shift taken by", "");
    return element("header", "",
                   element("div", "what", what) + element("div", "where", where) +
                       element("div", "who", who));
}

Markup given(const procedures::FilledProcedure& filled) {
    Markup rows;
    for (const auto& [name, value] : filled.given)
        rows += element("tr", "",
                        element("td", "", filled.procedure.parameters.at(name).say) +
                            element("th", "", value));
    if (rows.empty())
        return {};
    return element("section", "given",
                   element("h2", "", "Given for this work") + element("table", "", rows));
}

Markup accepted(const SheetFacts& facts) {
    Markup items;
    for (const std::string& each : facts.accepted)
        items += element("li", "", each);
    if (items.empty())
        return {};
    return element("section", "given",
                   element("h2", "", "Accepted as it is before the work") +
                       element("ul", "", items));
}

Markup tools(const procedures::Procedure& procedure) {
    Markup items;
    for (const std::string& tool : procedure.tools)
        items += element("li", "", tool);
    if (items.empty())
        return {};
    return element("section", "tools",
                   element("h2", "", "Ready before you begin") + element("ul", "boxes", items));
}

Markup rules(const procedures::Procedure& procedure) {
    Markup items;
    for (const procedures::Rule& rule : procedure.rules) {
        Markup item = element("b", "", rule.say + ".");
        if (rule.if_wrong)
            item += text(" If not: " + rule.if_wrong->say);
        items += element("li", "", item);
    }
    if (items.empty())
        return {};
    return element("section", "rules",
                   element("h2", "", "STOP when one of these is no longer so") +
                       element("ul", "", items));
}

Markup cooling(const procedures::FilledProcedure& filled) {
    if (!filled.procedure.cooling)
        return {};
    const std::string& limit = filled.given.at(filled.procedure.cooling->limit);
    Markup fields = blank("Tray out at", "") + blank("Turn back at", "") +
                    blank("Tray back by", "") + blank("Tray works at", "");
    return element(
        "section", "cooling",
        element("h2", "", "Cooling clock: fan tray " + *filled.tray + " may be out for " + limit) +
            element("div", "who", fields));
}

Markup foot() {
    return element(
        "footer", "",
        "This sheet shows what the device reports. It gives no permission: the engineer releases "
        "each step. The manufacturer's instructions, this site's rules and local codes come first. "
        "If the voice line fails: begin nothing new and call again; if you cannot, do what stands "
        "under \"If it goes wrong here\".");
}

} // namespace slotwitness::sheet
