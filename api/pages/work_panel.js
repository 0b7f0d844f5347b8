// The work: its word, its clocks, the step under way, and what else an engineer may do.
import { acts } from "./engineer_acts.js";
import { $, chosen, draw, isSilent, known } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { element as h, show } from "./parts.js";
import { showLine } from "./raw_panel.js";
import { wordOf } from "./rack_view.js";
import { sessionView } from "./session_view.js";
import { firstWord, shapeOf, words } from "./words.js";
import * as work from "./work.js";

/// Why the word is what it is. That of STOP and CALL is said with the word, also to who hears the page; any other moves
/// with each look, and is read by who looks for it.
function reasonOf(procedure, { word, why }) {
    const text = shortened(why ?? procedure.text);
    return word === "STOP" || word === "CALL" ? { urgent: text, quiet: "" } : { urgent: "", quiet: text };
}

function wordBlock(procedure, { word }, reason) {
    const advice = procedure.advice;
    return [
        h(
            "p",
            { class: `word tone-${words[word].tone}` },
            shapeOf(word),
            h("b", {}, word),
            procedure.code && word === procedure.word && word !== "STATE MET"
                ? h("span", { class: "word-code" }, `code ${procedure.code}, ${procedure.code_spelled}`)
                : null,
        ),
        advice ? h("p", { class: "advice" }, h("b", {}, `${firstWord(advice.first)}. `), advice.say) : null,
        reason ? h("p", { class: "why" }, reason) : null,
    ];
}

/// The first sentences; all of it is with the lines that it rests on.
const shortened = (text) => (text.length > 240 ? `${text.slice(0, 237).replace(/\s+\S*$/, "")} …` : text);

/// What may take the sight of the chassis from this work: as told at the opening, and that another controller answers.
const warningsOf = (procedure, now) => [...procedure.warnings, sessionView(known.chassis, now).switchover].filter(Boolean);

function clocks(procedure, now) {
    const cooling = procedure?.cooling;
    if (!cooling?.began || cooling.ended) return null;
    const one = (label, over, at) => {
        if (!at) return null;
        const left = model.time(at) - now;
        return h(
            "div",
            { class: left < 0 ? "over" : "" },
            h("span", {}, left < 0 ? over : label),
            h("b", { role: "timer" }, model.countdown(Math.abs(left))),
        );
    };
    return h(
        "div",
        { class: "clocks" },
        one("Tray must be back in", "Tray out too long by", cooling.limit),
        one("Turn back in", "Turn-back time passed by", cooling.turn_back),
        cooling.shortened ? h("p", {}, cooling.shortened) : null,
    );
}

export function drawWork(now) {
    const procedure = known.procedure;
    if (!procedure) {
        show($("word"), "none", () => h("p", { class: "none" }, h("b", {}, "No work. "), "No procedure is under way on this chassis."));
        const gates = known.gates.map((gate) => ({
            sentence: gate.sentence,
            state: model.gateNow(gate, now),
            progress: gate.verdict === "pending" ? work.progress(gate, now) : "",
            text: gate.because.text,
            by: gate.opened_by,
        }));
        show($("step"), gates, () =>
            gates.length
                ? [
                      h("h2", {}, "Open gates"),
                      h(
                          "ul",
                          { class: "gates" },
                          gates.map((gate) =>
                              h(
                                  "li",
                                  {},
                                  h("b", {}, gate.state),
                                  h("span", {}, gate.sentence),
                                  h("p", {}, `${gate.progress ? `${gate.progress}. ` : ""}${shortened(gate.text)} Opened by ${gate.by}.`),
                              ),
                          ),
                      ),
                  ]
                : [],
        );
        for (const id of ["why", "warnings", "clocks", "undo", "rules", "all-steps", "other"]) show($(id), "none", () => []);
        $("course").hidden = true;
        return;
    }
    $("course").hidden = false;
    const word = wordOf(procedure, isSilent(), now);
    const reason = reasonOf(procedure, word);
    show($("word"), [procedure.id, word, procedure.advice, procedure.code, procedure.in_charge, reason.urgent], () => [
        h(
            "p",
            { class: "of-work" },
            `${procedure.title}. `,
            procedure.ticket ? `Ticket ${procedure.ticket}. ` : "",
            `In charge: ${procedure.in_charge}.`,
        ),
        wordBlock(procedure, word, reason.urgent),
    ]);
    show($("why"), reason.quiet, (text) => text);
    show($("warnings"), warningsOf(procedure, now), (all) => all.map((text) => h("p", { class: "warning" }, text)));
    show($("clocks"), [procedure.cooling, Math.floor(now / 1000)], () => clocks(procedure, now) ?? []);
    const step = model.stepNow(procedure);
    const plan = model.next(procedure, known.gate, now);
    show($("step"), [plan, known.gate?.because.cites.map((cite) => [cite.asking, cite.line, cite.text])], () =>
        work.stepPanel(procedure, known.gate, now, acts, sessionStorage.getItem("technician") ?? "", showLine),
    );
    const undoable = model.undoable(procedure, now);
    show($("undo"), undoable && [undoable.step, undoable.revision], () =>
        undoable
            ? h(
                  "form",
                  { onsubmit: acts.undo(undoable) },
                  h("button", { type: "submit", "data-key": "undo" }, `Take back: ${undoable.step} is not done`),
                  h("span", { id: "undo-left" }),
              )
            : [],
    );
    if (undoable) $("undo-left").textContent = `${Math.ceil(undoable.left / 1000)} s left`;
    if (step) $("progress").textContent = work.progress(known.gate, now);
    show($("all-steps"), [procedure.steps, procedure.back_out, procedure.step, procedure.phase], () => work.steps(procedure));
    show(
        $("rules"),
        procedure.rules.map((rule) => [rule.active, rule.lost, rule.truth, rule.accepted, rule.say]),
        () => work.rules(procedure),
    );
    drawOtherActs(procedure);
}

function drawOtherActs(procedure) {
    const stops = work.stops(procedure);
    if (stops.length && !$("other").stopped) $("other").parentElement.open = true;
    $("other").stopped = stops.length > 0;
    const plan = work.otherActs.find((one) => one.act === (chosen.act ?? (stops.length ? "answer" : "take-shift")));
    const field = (key, label, properties = {}) =>
        h("label", {}, h("span", {}, label), h("input", { name: key, "data-key": `other ${key}`, required: true, ...properties }));
    show($("other"), [plan.act, stops, procedure.phase, procedure.id], () =>
        procedure.phase === "closed"
            ? []
            : h(
                  "form",
                  { onsubmit: acts.other(plan, stops) },
                  h(
                      "label",
                      {},
                      h("span", {}, "What"),
                      h(
                          "select",
                          {
                              "data-key": "other act",
                              onchange: (event) => {
                                  chosen.act = event.target.value;
                                  draw();
                              },
                          },
                          work.otherActs.map((one) => h("option", { value: one.act, selected: one.act === plan.act }, one.say)),
                      ),
                  ),
                  plan.needs.includes("of")
                      ? h(
                            "label",
                            {},
                            h("span", {}, "Of what"),
                            h(
                                "select",
                                { name: "of", "data-key": "other of" },
                                stops.map((stop, i) => h("option", { value: i }, stop.label)),
                            ),
                        )
                      : null,
                  plan.needs.includes("component") ? field("component", "Part, such as module FAB3") : null,
                  plan.needs.includes("outcome")
                      ? h(
                            "label",
                            {},
                            h("span", {}, "As"),
                            h(
                                "select",
                                { name: "outcome", "data-key": "other outcome" },
                                ["done", "backed_out", "closed_degraded"].map((one) => h("option", { value: one }, one.replace("_", " "))),
                            ),
                        )
                      : null,
                  plan.needs.includes("ticket") ? field("ticket", "Ticket, where it goes on", { required: false }) : null,
                  plan.needs.includes("reason") ? field("reason", "Reason, kept with your name", { required: plan.act !== "close" }) : null,
                  h("button", { type: "submit", "data-key": "other do" }, plan.say),
              ),
    );
}
