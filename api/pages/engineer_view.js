// What the engineer sees, from what the daemon answered and the time it is: pure, no DOM, no clock.
// Times are milliseconds of the daemon's clock.
import { time } from "./times.js";
import { allSteps, standsHere, stepUnderWay as stepNow } from "./rack_view.js";

export { allSteps, stepNow };
export * from "./timeline_view.js";
export * from "./times.js";

/// Each condition of a part with its shape (drawn in face.js): text and shape say it, never colour alone.
export const conditions = {
    operational: { word: "operational", shape: "disc" },
    degraded: { word: "degraded", shape: "half" },
    starting: { word: "starting", shape: "ring" },
    down: { word: "down", shape: "cross" },
    shut: { word: "shut down", shape: "bar" },
    absent: { word: "not listed", shape: "void" },
    unknown: { word: "not known", shape: "query" },
};

/// The state of a part, a gate or a word as people are told it.
const stateWords = { lost: "no longer met" };
export const stateText = (state) => conditions[state]?.word ?? stateWords[state] ?? state;

/// A part as of now: past its time nobody may say that it is so.
export function partNow(part, now) {
    if (now <= time(part.valid_until) || part.condition === "unknown") return part;
    return { ...part, condition: "unknown", why: "Nobody has seen it of late." };
}

/// The parts that the work is about: those which the rules throughout except from what must stay as it is, such as
/// "every plane except 3, 4 up". As keys: "plane 3".
export function workParts(procedure) {
    const parts = new Set();
    const excepted = /every ([a-z-]+) except ((?:"[^"]*"|[^\s",]+)(?:, (?:"[^"]*"|[^\s",]+))*)/g;
    for (const rule of procedure?.rules ?? [])
        for (const [, kind, names] of rule.holds.matchAll(excepted))
            for (const name of names.match(/"[^"]*"|[^\s",]+/g)) parts.add(`${kind} ${name.replaceAll('"', "")}`);
    return parts;
}

const inSlots = ["module", "controller", "fan-tray", "power-supply"];

/// One face as people stand before it: rows of slots, null for a place without one. A slot of which the device told
/// nothing yet is not known.
export function face(chassis, timeline, side, now, work) {
    const parts = new Map();
    for (const part of timeline?.parts ?? []) if (inSlots.includes(part.kind)) parts.set(part.name, partNow(part, now));
    return (chassis.faces[side] ?? []).map((row) =>
        row.map((slot) => {
            if (!slot) return null;
            const part = parts.get(slot.name);
            return {
                key: `${part?.kind ?? "slot"} ${slot.name}`,
                kind: part?.kind ?? "",
                name: slot.name,
                label: slot.label || part?.label || "",
                condition: part?.condition ?? "unknown",
                why: part ? part.why : "The device has told nothing of it yet.",
                at: part ? time(part.at) : null,
                work: work.has(`${part?.kind ?? "slot"} ${slot.name}`),
            };
        }),
    );
}

/// Fabric planes in rows of at most eight, in the order of their numbers.
export function planes(timeline, now, work, modules = new Map()) {
    const found = (timeline?.parts ?? [])
        .filter((part) => part.kind === "plane")
        .map((part) => partNow(part, now))
        .sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }))
        .map((part) => ({
            key: `plane ${part.name}`,
            kind: "plane",
            name: part.name,
            label: `Plane ${part.name}`,
            by: modules.get(part.name) ?? [],
            condition: part.condition,
            why: part.why,
            at: time(part.at),
            work: work.has(`plane ${part.name}`),
        }));
    const rows = [];
    for (let i = 0; i < found.length; i += 8) rows.push(found.slice(i, i + 8));
    return rows;
}

/// Which modules serve each plane, as the device told last.
export function servers(chassis) {
    const by = new Map();
    for (const module of chassis.components.module ?? [])
        for (const plane of [module.facts.serves?.value ?? []].flat()) by.set(plane, [...(by.get(plane) ?? []), module.name]);
    return by;
}

/// The rows that the newest answers have of a part, each fact with the place where it was printed.
export function factsOf(chassis, kind, name) {
    return (chassis.components[kind] ?? [])
        .filter((row) => row.name === name)
        .flatMap((row) =>
            Object.entries(row.facts).map(([attribute, fact]) => ({
                attribute,
                value: valueText(fact.value),
                asking: row.asking,
                capture: row.capture,
                line: fact.line,
                column: fact.column,
                whole: row.whole,
                at: time(row.answered),
            })),
        );
}

export function valueText(value) {
    if (Array.isArray(value)) return value.join(", ");
    if (value !== null && typeof value === "object") return quantity(value);
    return String(value);
}

/// "3.2 Tb/s": rates with the prefix that people use, all else as it was printed.
function quantity({ value, unit }) {
    if (unit !== "b/s") return `${value} ${unit}`.trim();
    const [prefix, power] = [
        ["T", 12],
        ["G", 9],
        ["M", 6],
        ["k", 3],
    ].find(([, one]) => Math.abs(Number(value)) >= 10 ** one) ?? ["", 0];
    return `${Number((Number(value) / 10 ** power).toPrecision(6))} ${prefix}b/s`;
}

/// The sensors with a reading, for the list.
export function sensorReadings(chassis) {
    return (chassis.components.sensor ?? [])
        .filter((row) => row.facts.reading)
        .map((row) => ({
            name: row.name,
            value: valueText(row.facts.reading.value),
            asking: row.asking,
            line: row.facts.reading.line,
        }));
}

/// The procedure under way on a chassis, as the chassis tells it; else none.
export function openOn(procedures, chassis) {
    return procedures.find((one) => one.id === chassis.procedure) ?? null;
}

/// The gates of a chassis that still change, newest first.
export const openGates = (gates, chassis) => gates.filter((gate) => gate.chassis === chassis && !gate.retired);

/// A gate's state as of now: what was seen too long ago is unseen.
export function gateNow(gate, now) {
    if (gate.verdict !== "pass") return gate.failure ? gate.failure.replace("_", " ") : gate.verdict;
    return stateText(now > time(gate.valid_until) ? "unseen" : (gate.standing ?? gate.verdict));
}

/// The step whose confirmation can be taken back now, and for how long; or null.
export function undoable(procedure, now) {
    const step = allSteps(procedure).find((one) => one.undo_until && time(one.undo_until) > now);
    return step ? { step: step.name, revision: step.revision, left: time(step.undo_until) - now } : null;
}

/// True while a gate, as it was told last, is met at this instant.
export function isMet(gate, now) {
    return gate !== null && gate.verdict === "pass" && gate.standing === "met" && !gate.unrecorded && now <= time(gate.valid_until);
}

/// What comes next for the engineer: to whom to speak and what to say, and the one control that there is for it.
///   `code`: of what, to be told with it.
///   `control`: release, confirm, confirm-for (on the technician's behalf), at-chassis, close; null: wait.
///   `ready`: false where the control would be refused now; `hint` says why.
export function next(procedure, gate, now) {
    const none = { control: null, step: null, say: "", ask: "", hint: "", ready: false };
    if (procedure.phase === "closed") return { ...none, hint: `Closed as ${(procedure.outcome ?? "it was left").replace("_", " ")}.` };
    if (procedure.word === "STOP")
        return {
            ...none,
            technician: true,
            step: stepNow(procedure),
            say: `Stop. ${procedure.advice?.say ?? "Do nothing more."}`,
            code: procedure,
            hint: "Find out what happened, and answer the stop below with your name.",
        };
    const step = stepNow(procedure);
    if (!step)
        return {
            ...none,
            control: "close",
            ready: true,
            hint: "Every step has ended: see what the handback says, and close the procedure.",
        };
    const technician = step.actor === "technician";
    const of = { step, technician };
    if (technician && !standsHere(procedure) && step.stage !== "confirmed")
        return {
            ...none,
            ...of,
            control: "at-chassis",
            ready: true,
            ask: "Read me the last four characters, or more, of the serial on the chassis before you.",
            hint: "Before the technician's first act it must be known that they stand at this chassis.",
        };
    switch (step.stage) {
        case "fact":
            return {
                ...none,
                ...of,
                control: "release",
                ready: isMet(gate, now),
                hint: isMet(gate, now)
                    ? technician
                        ? "Release it; then tell the technician."
                        : "Release it; then do it in your own session with the router."
                    : "Wait until the device reports it.",
            };
        case "released":
            return technician
                ? {
                      ...none,
                      ...of,
                      control: "confirm-for",
                      ready: true,
                      say: step.act,
                      code: step,
                      ask: step.confirm ?? "Tell me when it is done.",
                      hint: "Tell the code, and let it be read back, before they act.",
                  }
                : {
                      ...none,
                      ...of,
                      control: "confirm",
                      ready: true,
                      say: step.act,
                      hint: "Confirm when you have done it.",
                  };
        case "confirmed":
            return { ...none, ...of, hint: `Nobody acts: wait until the device reports ${step.has_effect ?? "it"}.` };
        default:
            return { ...none, ...of, hint: "Wait." };
    }
}

/// The text of a line cut where its facts stand: [{text, facts}], in order.
export function cutLine(line) {
    const glyphs = [...line.text];
    const begins = [...new Set(line.facts.map((fact) => fact.place))].sort((a, b) => a - b);
    const cut = [];
    let done = 0;
    for (const [i, begin] of begins.entries()) {
        if (begin < done || begin >= glyphs.length) continue;
        const most = begins[i + 1] ?? glyphs.length;
        const run =
            glyphs
                .slice(begin, most)
                .join("")
                .match(/^\S+(?: \S+)*/u)?.[0] ?? "";
        if (!run) continue;
        if (begin > done) cut.push({ text: glyphs.slice(done, begin).join(""), facts: [] });
        cut.push({ text: run, facts: line.facts.filter((fact) => fact.place === begin) });
        done = begin + [...run].length;
    }
    if (done < glyphs.length) cut.push({ text: glyphs.slice(done).join(""), facts: [] });
    return cut;
}
