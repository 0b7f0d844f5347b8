// What the rack page shows, as values: made of what the daemon said, how long ago, and the time. It knows no page.
import { firstWord } from "./words.js";

/// After so long without an answer nobody relies on what was shown. Two requests that failed, and some patience for
/// bad reception.
export const silentAfterMs = 6000;

/// `procedure` and `gate`: as the API gave them last, or null. `silence`: ms since the newest answer was asked for;
/// infinite where what is shown is known to be of the past.
/// `now`: the latest that the daemon's clock can be. `refused`: the problem in place of an answer, or null.
export function rackView({ procedure, gate = null, silence, now, refused = null }) {
    if (!procedure) return { ...nothingYet, text: refused ? said(refused) : nothingYet.text };
    const isOver = procedure.phase === "closed";
    const isSilent = !isOver && (silence > silentAfterMs || refused !== null);
    const step = stepUnderWay(procedure);
    const word = wordOf(procedure, isSilent, now);
    return {
        word: word.word,
        text: textOf(procedure, word, step),
        advice: adviceOf(procedure, word),
        note: noteOf(procedure, isSilent, silence, refused, word),
        code: codeOf(procedure, word),
        place: `${procedure.chassis}: ${procedure.title}`,
        report: reportOf(procedure, gate, word, now),
        step: step && shownStep(procedure, step, word),
        next: nextOf(procedure, step),
        clocks: clocksOf(procedure.cooling, now),
        confirm: confirmOf(procedure, step, word, isSilent),
        undo: undoOf(procedure, now, isSilent),
        serial: serialOf(procedure, isSilent),
        isOver,
    };
}

const endings = {
    done: "The work is done.",
    backed_out: "The work was taken back.",
    closed_degraded: "Something is left to mend.",
};

const nothingYet = {
    word: "WAIT", text: "Nothing has come from the daemon yet.", advice: null, note: "", code: null, place: "",
    report: null, step: null, next: null, clocks: [], confirm: null, undo: null, serial: null, isOver: false,
};

/// Whose gate says what the step waits for now: its fact's, or its effect's once somebody has confirmed it.
export function gateOf(procedure) {
    const step = stepUnderWay(procedure);
    return (step && (step.stage === "confirmed" ? step.effect : step.fact)) || null;
}

export const allSteps = (procedure) =>
    procedure.phase === "backing_out" ? [...procedure.back_out, ...procedure.steps] : [...procedure.steps, ...procedure.back_out];

export const stepUnderWay = (procedure) => allSteps(procedure).find((step) => step.name === procedure.step) ?? null;

/// STATE MET is shown only while it is fresh, recorded, and the daemon answers. CALL and STOP never soften by silence.
export function wordOf(procedure, isSilent, now) {
    if (procedure.word !== "STATE MET") return { word: procedure.word };
    const wait = (why) => ({ word: "WAIT", why });
    if (procedure.unrecorded) return wait("What the device reports could not be recorded. Do not go on.");
    if (isSilent) return wait("It is not known whether it is still so. Do not go on.");
    if (now === null || !(now <= Date.parse(procedure.valid_until ?? ""))) // also where it cannot be read
        return wait("The last look at the device is too old to act on. Do not go on.");
    return { word: "STATE MET" };
}

/// Where the state is met the sentence alone: why it is so stands below, with the device's lines.
function textOf(procedure, { word, why }, step) {
    if (procedure.phase === "closed") return `${procedure.text} ${endings[procedure.outcome]} Nothing more is done here.`;
    if (word === "STATE MET" && step) return `The device reports: ${step.waits_for}.`;
    return why ?? procedure.text;
}

function adviceOf(procedure, { word }) {
    if (!procedure.advice || (word !== "STOP" && word !== "CALL")) return null;
    return { first: firstWord(procedure.advice.first), say: procedure.advice.say };
}

function noteOf(procedure, isSilent, silence, refused, { word }) {
    const notes = [];
    if (refused && isSilent) notes.push(said(refused));
    else if (isSilent && Number.isFinite(silence)) notes.push(`The daemon has not answered for ${Math.floor(silence / 1000)} s.`);
    if (isSilent && (word === "STOP" || word === "CALL")) notes.push("This is the last that it said: it counts.");
    if (procedure.unrecorded && word !== "WAIT") notes.push("It could not be recorded.");
    return notes.join(" ");
}

/// A code is one decision's: none where the page itself shows WAIT in its place.
function codeOf(procedure, { word }) {
    return procedure.code && word === procedure.word ? { letters: procedure.code, spelled: procedure.code_spelled } : null;
}

/// What the device said: of what was lost, else of the gate that the step waits for.
function reportOf(procedure, gate, { word, why }, now) {
    if (procedure.right_chassis?.lost) return null; // it is of another chassis than the one before the person
    const lost = procedure.word === "STOP" ? procedure.rules.filter((rule) => rule.lost && rule.because) : [];
    const sources = lost.length > 0 ? lost : gate ? [gate] : [];
    if (sources.length === 0) return null;
    const asked = sources.map((source) => source.last_look?.asked).filter(Boolean).map((time) => Date.parse(time));
    return {
        sentence: word === "STATE MET" ? "" : `${lost.length > 0 ? "No longer met" : "Waited for"}: ${sources.map((source) => source.sentence ?? source.holds).join("; ")}`,
        because: sources.map((source) => source.because.text)
            .filter((text) => word === "STATE MET" || why || !procedure.text.includes(text)).join(" "), // not told twice
        lines: linesOf(sources),
        age: asked.length > 0 && now !== null ? Math.max(0, now - Math.min(...asked)) : null,
        held: lost.length === 0 && gate.needs_s > 0 && gate.verdict === "pending"
            ? { has: gate.held_s, needs: gate.needs_s } : null,
    };
}

/// Each line of the device's answers once, though several facts are read in it. Line 0 is an answer as a whole, in
/// which something is not listed.
function linesOf(sources) {
    const lines = new Map();
    for (const { asking, capture, line, text } of sources.flatMap((source) => source.because.cites ?? []))
        lines.set(`${capture} ${line}`, { asking, line, text });
    return [...lines.values()];
}

function shownStep(procedure, step, word) {
    const list = procedure.steps.includes(step) ? procedure.steps : procedure.back_out;
    return {
        name: step.name,
        place: list === procedure.back_out ? "On the way back" : `Step ${list.indexOf(step) + 1} of ${list.length}`,
        isMine: step.actor === "technician",
        isOpen: word.word === "STATE MET",
        who: whose(step, word),
        act: step.act,
        cautions: step.cautions.map(caution),
        questions: word.word === "STOP" || step.stage === "confirmed" ? null : step.confirm,
        // Of two advices at one time nobody could choose: what is told beside the word counts.
        ifWrong: adviceOf(procedure, word) ? null : { first: firstWord(step.if_wrong.first), say: step.if_wrong.say },
    };
}

/// Whose act it is, and whether it is now: an act that stands there in large letters must not be done under a STOP.
function whose({ actor, stage, has_effect: effect }, { word }) {
    const mine = actor === "technician";
    if (word === "STOP") return "This step was under way. Do not go on with it.";
    if (!mine) return "The engineer does this. Keep your hands off.";
    if (stage === "confirmed") return effect ? "You have done this. Wait until the device reports it." : "You have done this.";
    if (stage !== "released") return "Your act, once the engineer has released it. Not yet.";
    if (word === "STATE MET") return "Your act, now";
    return word === "CALL" ? "Your act. Call the engineer before you go on." : "Your act. Do not go on with it now.";
}

/// "WARNING: blades turn." as its signal word (ANSI Z535.6) and the rest.
function caution(text) {
    const [, signal, rest] = /^(DANGER|WARNING|CAUTION|NOTICE): (.+)$/s.exec(text) ?? [null, "NOTICE", text];
    return { signal, text: rest[0].toUpperCase() + rest.slice(1) };
}

/// The technician's next act while somebody else's, or none, is under way: to prepare for, not to do.
function nextOf(procedure, step) {
    if (!step || (step.actor === "technician" && step.stage !== "confirmed")) return null;
    const list = procedure.steps.includes(step) ? procedure.steps : procedure.back_out;
    const coming = list.slice(list.indexOf(step) + 1).find((each) => each.actor === "technician" && each.stage === "waiting");
    return coming ? { act: coming.act, cautions: coming.cautions.map(caution) } : null;
}

function clocksOf(cooling, now) {
    if (!cooling?.began || cooling.ended || now === null) return [];
    const clock = (name, at, why) => ({ name, at, left: Date.parse(at) - now, why });
    const clocks = [];
    if (cooling.turn_back)
        clocks.push(clock("Turn-back time", cooling.turn_back, "The old part is out by then, or the tray goes back at once."));
    if (cooling.limit) clocks.push(clock("Fan tray must be back", cooling.limit, cooling.shortened));
    return clocks;
}

/// Where the state is met it is what the page is for. Where it is not, who has acted already may still say so; under a
/// STOP nobody confirms.
function confirmOf(procedure, step, { word }, isSilent) {
    const isMine = step?.actor === "technician" && procedure.phase !== "closed";
    if (!isMine || step.stage !== "released" || word === "STOP") return null;
    return {
        step: step.name, revision: step.revision, isMain: word === "STATE MET", isOpen: !isSilent,
        label: isSilent ? "It cannot be told now" : word === "STATE MET" ? "I have done this" : "I had done this already",
    };
}

function undoOf(procedure, now, isSilent) {
    const step = allSteps(procedure).find((each) => each.undo_until && now !== null && Date.parse(each.undo_until) > now);
    if (!step) return null;
    return { step: step.name, revision: step.revision, left: Date.parse(step.undo_until) - now, isOpen: !isSilent };
}

/// It is known that the technician stands at this chassis, or somebody has answered for it.
export function standsHere({ right_chassis: told }) {
    return Boolean(told && !told.lost && (told.same === "true" || told.accepted));
}

/// Asked for before the first act of the technician, and again after a mismatch.
function serialOf(procedure, isSilent) {
    const isKnown = standsHere(procedure);
    const isNeeded = allSteps(procedure).some((step) => step.actor === "technician" && !step.ended);
    return isKnown || !isNeeded || procedure.phase === "closed" ? null : { isOpen: !isSilent };
}

/// Of a problem (RFC 9457) what a person needs.
export function said(problem) {
    const { detail, title, found, expected, remedy } = problem;
    return [detail ?? title, found && `Found: ${found}.`, expected && `Expected: ${expected}.`, remedy].filter(Boolean).join(" ");
}

/// The step that was shown is no longer the one under way, or no longer as it was.
export const isConflict = (status) => status === 412 || status === 409;

/// What is told after an act that the daemon did not take.
export function refusal({ status, problem }) {
    if (isConflict(status))
        return "Not taken: the step is another than the one that you saw. Somebody else may have acted. " +
            "Read what is shown now before you act.";
    if (status === 0)
        return "It is not known whether the daemon got this. What is shown here tells it as soon as the daemon answers.";
    return `Not taken. ${said(problem)}`;
}
