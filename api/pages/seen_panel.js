// The chassis as the device reports it: the face looked at, its fabric planes, and the facts of the part that was picked.
import { $, chosen, draw, known } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { drawing } from "./face.js";
import { element as h, show, widthOf } from "./parts.js";
import { showLine } from "./raw_panel.js";

export function drawSeen(now) {
    const { chassis, timeline } = known;
    const parts = model.workParts(known.procedure);
    const sides = Object.keys(chassis.faces).sort();
    const isOfWork = (slot) => slot && [...parts].some((part) => part.endsWith(` ${slot.name}`));
    // Until somebody chooses, the face on which the work is done.
    const looked = chosen.side ?? sides.find((side) => chassis.faces[side].flat().some(isOfWork)) ?? sides[0] ?? null;
    show($("sides"), [sides, looked], () =>
        h(
            "div",
            { class: "sides", role: "group", "aria-label": "Face looked at" },
            sides.map((side) =>
                h(
                    "button",
                    {
                        type: "button",
                        "aria-pressed": String(side === looked),
                        "data-key": `side ${side}`,
                        onclick: () => {
                            chosen.side = side;
                            draw();
                        },
                    },
                    side === "front" ? "Front" : "Rear",
                ),
            ),
        ),
    );
    const pick = (slot) => {
        chosen.part = chosen.part === slot.key ? null : slot.key;
        draw();
    };
    const rows = looked ? model.face(chassis, timeline, looked, now, parts) : [];
    const width = Math.round(widthOf($("face")) * 1.1);
    const quiet = (all) => all.map((row) => row.map((slot) => slot && { ...slot, at: null }));
    show($("face"), [looked, chosen.part, width, quiet(rows)], () =>
        rows.length
            ? drawing(rows, `The ${looked}, as people stand before it`, width, chosen.part, pick)
            : h("p", {}, "The profile of this family has no face to draw."),
    );
    const planes = model.planes(timeline, now, parts, model.servers(chassis));
    show($("planes"), [chosen.part, width, quiet(planes)], () =>
        planes.length ? drawing(planes, "Fabric planes", width, chosen.part, pick) : h("p", {}, "None told."),
    );
    const slot = [...rows.flat(), ...planes.flat()].find((one) => one && one.key === chosen.part);
    const facts = slot ? model.factsOf(chassis, slot.kind, slot.name) : [];
    show($("part"), [parts.size, slot && { ...slot, at: null }, facts.map((fact) => ({ ...fact, at: null }))], () =>
        slot
            ? [
                  h(
                      "h3",
                      {},
                      [slot.label, slot.kind === "plane" ? "" : slot.name].filter(Boolean).join(" · "),
                      h("span", { class: "actor" }, ` ${model.conditions[slot.condition].word}`),
                  ),
                  slot.why ? h("p", {}, slot.why) : null,
                  facts.length
                      ? h(
                            "ul",
                            { class: "facts" },
                            facts.map((fact) =>
                                h(
                                    "li",
                                    {},
                                    h(
                                        "button",
                                        {
                                            type: "button",
                                            class: "line",
                                            "data-key": `fact ${fact.asking} ${fact.line} ${fact.attribute}`,
                                            onclick: () => showLine(fact.asking, { line: fact.line, capture: fact.capture }),
                                        },
                                        h("span", { class: "where" }, fact.attribute),
                                        h("b", {}, fact.value),
                                        h(
                                            "span",
                                            { class: "where" },
                                            `${fact.asking}, line ${fact.line}${fact.whole ? "" : ", not whole"}`,
                                        ),
                                    ),
                                ),
                            ),
                        )
                      : h("p", {}, "The newest answers do not list it."),
              ]
            : h("p", { class: "hint" }, `${parts.size ? "Corners mark what the work is about. " : ""}Pick a part to see what the device says of it.`),
    );
}
