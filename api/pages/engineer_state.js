// What the engineer page knows, as the daemon told it last, and what its person has chosen to see.
import { Client, takeToken } from "./client.js";
import * as model from "./engineer_view.js";
import { said, silentAfterMs } from "./rack_view.js";

export { at as $ } from "./parts.js";
/// Of the chassis that is looked at; empty: of none, but at all of them at a glance.
export const name = decodeURIComponent(location.pathname.split("/")[2] ?? "");
const base = `/v1/chassis/${encodeURIComponent(name)}`;
export const client = new Client({ token: takeToken() });

/// How what is known is shown; engineer.js says how.
let drawing = () => {};
export const drawBy = (how) => (drawing = how);
export const draw = () => drawing();

/// What the daemon refused, as it said it.
class Refused extends Error {}

async function got(path) {
    const { status, body, problem } = await client.get(path);
    if (problem) throw status === 0 ? new Error(problem.detail) : new Refused(said(problem));
    return body;
}

/// All that is known, as last told; drawn again whenever some of it changes, and once a second.
export const known = {
    all: [],
    procedures: [],
    chassis: null,
    timeline: null,
    procedure: null,
    gate: null,
    gates: [], // that programs and people opened, while no procedure is under way
    answers: [],
    answer: null,
    trouble: "",
};
export const chosen = { side: null, part: null, asking: null, line: null, window: null, all: false, act: null };

export async function look() {
    known.all = (await got("/v1/chassis")).chassis;
    await lookAtWork();
    if (!name) return;
    const [chassis, timeline, answers] = await Promise.all([got(base), got(`${base}/timeline`), got(`${base}/answers`)]);
    Object.assign(known, { chassis, timeline, answers: answers.answers });
    // The one that was closed while the page was open stays: its end is to be seen.
    const id = chassis.procedure ?? known.procedure?.id ?? null;
    const procedure = id && (await gotProcedure(id));
    const step = procedure && model.stepNow(procedure);
    const gate = step && (step.stage === "confirmed" ? step.effect : step.fact);
    known.gate = gate ? await got(`/v1/gates/${encodeURIComponent(gate)}`).catch(() => null) : null;
    known.procedure = procedure;
    known.gates = procedure ? [] : model.openGates((await got("/v1/gates?limit=100")).gates, name);
    await lookAtAnswer();
}

const gotProcedure = (id) => got(`/v1/procedures/${encodeURIComponent(id)}`);

/// What is under way on every chassis changes seldom; what is so here is asked for at each look.
async function lookAtWork() {
    const underWay = known.all.map((chassis) => chassis.procedure).filter((id) => id !== null);
    const isKnown = (id) => known.procedures.some((one) => one.id === id);
    if (client.local.now() < workAgain && underWay.every(isKnown)) return;
    known.procedures = await Promise.all(underWay.map(gotProcedure));
    workAgain = client.local.now() + 3_000;
}
let workAgain = 0;

export async function lookAtAnswer() {
    if (chosen.asking === null) chosen.asking = known.answers[0]?.asking ?? null;
    if (chosen.asking === null) return;
    known.answer = await got(`${base}/answers/${encodeURIComponent(chosen.asking)}`).catch(() => null);
}

export async function keepLooking() {
    for (;;) {
        try {
            await look();
            known.trouble = "";
        } catch (error) {
            known.trouble = error instanceof Refused ? error.message : "The daemon does not answer.";
        }
        draw();
        await pause(known.procedure?.phase === "closed" ? null : known.procedure);
    }
}

/// Until the next look: at once when somebody is told something new of the work, else a second later.
function pause(procedure) {
    follow(procedure);
    return new Promise((done) => {
        const timer = setTimeout(done, name ? 1_000 : 3_000);
        wake = () => {
            clearTimeout(timer);
            setTimeout(done, 100);
        };
    });
}
let wake = () => {};

function follow(procedure) {
    if (followed.id === (procedure?.id ?? null)) return;
    followed.end.abort();
    Object.assign(followed, { id: procedure?.id ?? null, end: new AbortController() });
    if (procedure)
        client.follow(`/v1/procedures/${encodeURIComponent(procedure.id)}/changes`, () => wake(), {
            signal: followed.end.signal,
        });
}
const followed = { id: null, end: new AbortController() };

/// No answer in time, or a refusal in its place: nobody relies on what was shown.
export const isSilent = () => known.trouble !== "" || client.heard === null || client.local.now() - client.heard > silentAfterMs;
