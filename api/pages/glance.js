// Every chassis at a glance: a list of its own, and the way from one chassis to the others.
import { $, isSilent, known, name } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { element as h, show } from "./parts.js";
import { wordOf } from "./rack_view.js";
import { words } from "./words.js";

const columns = ["Word", "Work", "Gates pending", "Router session", "Last look"];
const cells = (each) => [
    [{}, h("span", { class: `tag ${words[each.word] ? `tone-${words[each.word].tone}` : ""}` }, each.word)],
    [{}, each.title ? `${each.title}: ${each.step || "every step has ended"}` : "none"],
    [{}, String(each.pending)],
    [{ class: each.session === "connected" ? "" : "flag" }, each.session + each.way],
    [{ class: each.old ? "flag" : "" }, each.seen],
];

export function drawGlance(now) {
    const one = (chassis) => {
        const listed = model.openOn(known.procedures, chassis);
        // The list is asked for seldom; beside what is shown of the work here it must not say otherwise.
        const procedure = listed?.id === known.procedure?.id ? known.procedure : listed;
        const word = procedure ? wordOf(procedure, isSilent(), now).word : chassis.gates_pending ? "watching" : "no work";
        const seen = model.time(chassis.last_answer);
        const old = seen === null || now > model.time(chassis.valid_until);
        return {
            name: chassis.name,
            word,
            step: procedure?.step ?? "",
            title: procedure?.title ?? "",
            pending: chassis.gates_pending,
            session: chassis.session,
            way: chassis.in_band ? ", in-band" : "",
            old,
            seen: seen === null ? "never" : `${model.span(now - seen)} ago${old ? ", too old" : ""}`,
            here: chassis.name === name,
        };
    };
    const all = known.all.map(one);
    if (name) {
        show(
            $("others"),
            all.map((each) => ({ ...each, seen: "" })),
            () =>
                h(
                    "ul",
                    {},
                    all.map((each) =>
                        h(
                            "li",
                            {},
                            h(
                                "a",
                                {
                                    href: `/engineer/${encodeURIComponent(each.name)}`,
                                    "aria-current": each.here ? "page" : null,
                                },
                                h("b", {}, each.name),
                                h(
                                    "span",
                                    { class: `tag ${words[each.word] ? `tone-${words[each.word].tone}` : ""}` },
                                    each.session === "connected" ? each.word : `session ${each.session}`,
                                ),
                            ),
                        ),
                    ),
                ),
        );
        return;
    }
    show($("glance"), all, () =>
        h(
            "table",
            {},
            h(
                "thead",
                {},
                h(
                    "tr",
                    {},
                    ["Chassis", ...columns].map((text) => h("th", { scope: "col" }, text)),
                ),
            ),
            h(
                "tbody",
                {},
                all.map((each) =>
                    h(
                        "tr",
                        {},
                        h("th", { scope: "row" }, h("a", { href: `/engineer/${encodeURIComponent(each.name)}` }, each.name)),
                        cells(each).map(([attributes, ...content], i) => h("td", { ...attributes, "data-column": columns[i] }, content)),
                    ),
                ),
            ),
        ),
    );
}
