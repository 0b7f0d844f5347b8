// The procedure under way: its word, what comes next, what to say, and the one control for it.
import { element as h } from "./parts.js";
import { firstWord } from "./words.js";
import { allSteps, countdown, next, stateText, time } from "./engineer_view.js";

const stages = {
    waiting: "to come",
    fact: "waits for the device",
    released: "released",
    confirmed: "confirmed",
    done: "done",
    skipped: "skipped",
};

/// The code, to be told and read back.
function code(of) {
    if (!of?.code) return null;
    return h("p", { class: "code" }, h("span", { class: "lead" }, "Code"), h("b", {}, of.code), h("span", {}, of.code_spelled));
}

/// What was waited for, with what the device says of it, and the lines that it rests on.
export function because(gate, show) {
    if (!gate) return null;
    const cites = gate.because.cites.filter(
        (cite, i, all) => cite.line > 0 && all.findIndex((one) => one.capture === cite.capture && one.line === cite.line) === i,
    );
    return h(
        "details",
        { class: "because", "data-key": "because" },
        h(
            "summary",
            { "data-key": "because-summary" },
            `${cites.length} ${cites.length === 1 ? "line" : "lines"} of the device that this rests on`,
        ),
        h(
            "ul",
            {},
            cites.slice(0, 40).map((cite) =>
                h(
                    "li",
                    {},
                    h(
                        "button",
                        {
                            type: "button",
                            class: "line",
                            "data-key": `cite ${cite.asking} ${cite.line}`,
                            onclick: () => show(cite.asking, { line: cite.line, capture: cite.capture }),
                        },
                        h("span", { class: "where" }, `${cite.asking}, line ${cite.line}`),
                        h("code", {}, cite.text),
                    ),
                ),
            ),
        ),
    );
}

/// How far a gate is: looks, hold and deadline in words.
export function progress(gate, now) {
    if (!gate) return "";
    const parts = [];
    if (gate.verdict === "pending") {
        if (gate.needs_s) parts.push(`held ${gate.held_s.toFixed(0)} s of ${gate.needs_s.toFixed(0)} s`);
        if (gate.deadline) parts.push(`${countdown(time(gate.deadline) - now)} left`);
    } else if (gate.verdict === "fail") parts.push(gate.failure === "not_seen" ? "not seen in time" : "seen false");
    else if (gate.standing) parts.push(stateText(gate.standing));
    return parts.join(", ");
}

function control(plan, act, technician) {
    const { step } = plan;
    const field = (key, label, properties) =>
        h(
            "label",
            {},
            h("span", {}, label),
            h("input", {
                type: "text",
                name: key,
                "data-key": key,
                autocomplete: "off",
                spellcheck: "false",
                ...properties,
            }),
        );
    switch (plan.control) {
        case "release":
            return h(
                "form",
                { onsubmit: act.release(step) },
                h(
                    "button",
                    {
                        type: "submit",
                        class: "act",
                        "data-key": "act",
                        "aria-disabled": plan.ready ? null : "true",
                        "aria-describedby": "hint",
                    },
                    `Release ${step.name}`,
                ),
            );
        case "confirm":
            return h(
                "form",
                { onsubmit: act.confirm(step) },
                h(
                    "button",
                    { type: "submit", class: "act", "data-key": "act", "aria-describedby": "hint" },
                    `I did it: confirm ${step.name}`,
                ),
            );
        case "confirm-for":
            return h(
                "form",
                { onsubmit: act.confirmFor(step) },
                field("on_behalf_of", "Technician, by name", { value: technician, required: true }),
                field("read_back", "Code as they read it back", {
                    class: "short",
                    required: true,
                    maxlength: 60,
                    autocapitalize: "characters",
                }),
                h("button", { type: "submit", class: "act", "data-key": "act", "aria-describedby": "hint" }, "Confirm on their behalf"),
            );
        case "at-chassis":
            return h(
                "form",
                { onsubmit: act.atChassis },
                field("on_behalf_of", "Technician, by name", { value: technician, required: true }),
                field("serial_end", "Serial's last characters", {
                    class: "short",
                    required: true,
                    minlength: 4,
                    maxlength: 64,
                }),
                h("button", { type: "submit", class: "act", "data-key": "act", "aria-describedby": "hint" }, "Take what they read"),
            );
        case "close":
            return h(
                "form",
                { onsubmit: act.close },
                h("button", { type: "submit", class: "act", "data-key": "act", "aria-describedby": "hint" }, "Close the procedure"),
            );
        default:
            return null;
    }
}

/// The step under way, and what the engineer does about it.
export function stepPanel(procedure, gate, now, act, technician, show) {
    const plan = next(procedure, gate, now);
    const { step } = plan;
    if (!step && plan.say)
        return [
            h(
                "div",
                { class: "ask" },
                h("h3", {}, "Say to the technician"),
                h("blockquote", {}, plan.say),
                code(plan.code),
                h("p", { class: "hint" }, plan.hint),
            ),
        ];
    if (!step)
        return [
            h("h2", {}, procedure.phase === "closed" ? "Closed" : "Every step has ended"),
            h("p", { id: "hint", class: "hint" }, plan.hint),
            control(plan, act, technician),
        ];
    const ask = h(
        "div",
        { class: "ask" },
        h("h3", {}, plan.technician && (plan.say || plan.ask) ? "Say to the technician" : plan.say ? "Do it yourself" : "Next"),
        plan.say ? h("blockquote", {}, plan.say) : null,
        code(plan.code),
        plan.ask ? h("blockquote", {}, plan.ask) : null,
        h("p", { id: "hint", class: "hint" }, plan.hint),
        control(plan, act, technician),
    );
    const number = allSteps(procedure).findIndex((one) => one.name === step.name) + 1;
    return [
        h(
            "h2",
            {},
            h("span", { class: "number" }, String(number)),
            `${step.name} `,
            h("span", { class: "actor" }, `${step.actor}'s step, ${stages[step.stage]}`),
        ),
        h(
            "p",
            { class: "waits" },
            h("span", { class: "lead" }, step.stage === "confirmed" ? "must report " : "waits for "),
            step.stage === "confirmed" ? (step.has_effect ?? "") : step.waits_for,
        ),
        h("p", { id: "progress", class: "progress" }),
        ask,
        h(
            "dl",
            { class: "step" },
            plan.say ? null : [h("dt", {}, "Act"), h("dd", { class: "act-text" }, step.act)],
            step.cautions.length
                ? [
                      h("dt", {}, "Cautions"),
                      h(
                          "dd",
                          {},
                          h(
                              "ul",
                              {},
                              step.cautions.map((text) => h("li", {}, text)),
                          ),
                      ),
                  ]
                : null,
            // Under a STOP there is one advice, that of the STOP.
            procedure.word === "STOP"
                ? null
                : [
                      h("dt", {}, "If it goes wrong"),
                      h("dd", {}, h("b", {}, `${firstWord(step.if_wrong.first)}. `), step.if_wrong.say),
                  ],
        ),
        because(gate, show),
    ];
}

/// All steps, one line each.
export function steps(procedure) {
    const line = (step, i, back) =>
        h(
            "li",
            {
                class: `${step.stage}${step.lost ? " lost" : ""}`,
                "aria-current": step.name === procedure.step ? "step" : null,
            },
            h("span", { class: "number" }, back ? `↶${i + 1}` : String(i + 1)),
            h("span", { class: "step-name" }, step.name),
            h(
                "span",
                { class: "stage" },
                step.stage === "released" || step.stage === "done" || step.stage === "confirmed"
                    ? `${stages[step.stage]}${who(step)}`
                    : stages[step.stage],
            ),
            step.lost ? h("b", { class: "flag" }, "no longer met") : null,
        );
    return [
        h(
            "ol",
            { class: "steps" },
            procedure.steps.map((step, i) => line(step, i, false)),
        ),
        procedure.phase === "backing_out"
            ? h(
                  "ol",
                  { class: "steps" },
                  procedure.back_out.map((step, i) => line(step, i, true)),
              )
            : null,
    ];
}

function who(step) {
    if (step.confirmed_by && step.on_behalf_of)
        return `, ${step.confirmed_by} for ${step.on_behalf_of}${step.read_back ? "" : ", not read back"}`;
    if (step.confirmed_by) return `, ${step.confirmed_by}`;
    return step.released_by ? ` by ${step.released_by}` : "";
}

/// The rules that must hold throughout; those that do not, first.
export function rules(procedure) {
    const truth = { true: "met", false: "not met", unknown: "not known" };
    const active = procedure.rules.filter((rule) => rule.active);
    if (active.length === 0) return h("p", { class: "hint" }, "None now.");
    return h(
        "ul",
        { class: "rules" },
        active
            .sort((a, b) => Number(b.lost) - Number(a.lost))
            .map((rule) =>
                h(
                    "li",
                    { class: rule.lost ? "lost" : rule.truth },
                    h("b", {}, rule.lost ? "no longer met" : rule.accepted ? `answered for by ${rule.answered_by}` : truth[rule.truth]),
                    ` ${rule.say}`,
                ),
            ),
    );
}

/// What else an engineer may do; each with the reason that is kept.
export const otherActs = [
    { act: "answer", say: "Answer a stop", needs: ["of", "reason"] },
    { act: "try-again", say: "Ask again what the step waits for", needs: [], ofStep: true },
    { act: "force", say: "Go on without what the step waits for", needs: ["reason"], ofStep: true },
    { act: "skip", say: "Skip the step", needs: ["reason"], ofStep: true },
    { act: "back-out", say: "Begin the way back", needs: ["reason"] },
    { act: "take-shift", say: "Take the shift", needs: [] },
    { act: "waive", say: "Waive a difference", needs: ["component", "reason"] },
    { act: "close", say: "Close", needs: ["outcome", "ticket", "reason"] },
];

/// What may be answered for now: {label, members}.
export function stops(procedure) {
    const found = procedure.rules.filter((rule) => rule.lost).map((rule) => ({ label: `rule ${rule.name}`, members: { rule: rule.name } }));
    for (const step of allSteps(procedure)) if (step.lost) found.push({ label: `step ${step.name}`, members: { step: step.name } });
    if (procedure.right_chassis?.lost) found.push({ label: "the right chassis", members: { of: "chassis" } });
    const cooling = procedure.cooling;
    if (cooling && (cooling.passed || Object.keys(cooling.unseen ?? {}).length))
        found.push({ label: "the cooling clock", members: { of: "cooling" } });
    return found;
}
