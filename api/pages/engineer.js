// The engineer page: one chassis under work, or all of them at a glance.
import { Client, takeToken } from "./client.js";
import { refusal, said, silentAfterMs, wordOf } from "./rack_view.js";
import { element as h, show } from "./parts.js";
import * as model from "./engineer_view.js";
import { drawing, patterns } from "./face.js";
import { clockTracks, lines, lookOf, markText } from "./timeline.js";
import { warmth } from "./warmth.js";
import * as raw from "./answers.js";
import * as work from "./work.js";
import { firstWord, shapeOf, words } from "./words.js";

const $ = (id) => document.getElementById(id);
const name = decodeURIComponent(location.pathname.split("/")[2] ?? "");
const base = `/v1/chassis/${encodeURIComponent(name)}`;
const client = new Client({ token: takeToken() });

/// What the daemon refused, as it said it.
class Refused extends Error {}

async function got(path) {
    const { status, body, problem } = await client.get(path);
    if (problem) throw status === 0 ? new Error(problem.detail) : new Refused(said(problem));
    return body;
}

/// All that is known, as last told; drawn again whenever some of it changes, and once a second.
const known = {
    all: [],
    procedures: [],
    chassis: null,
    timeline: null,
    procedure: null,
    gate: null,
    answers: [],
    answer: null,
    trouble: "",
};
const chosen = { side: null, part: null, asking: null, line: null, window: null, all: false, act: null };

async function look() {
    const [all, procedures] = await Promise.all([got("/v1/chassis"), got("/v1/procedures?limit=50")]);
    known.all = all.chassis;
    known.procedures = procedures.procedures;
    if (!name) return;
    const [chassis, timeline, answers] = await Promise.all([got(base), got(`${base}/timeline`), got(`${base}/answers`)]);
    Object.assign(known, { chassis, timeline, answers: answers.answers });
    const procedure = model.openOn(known.procedures, name) ?? lastClosed();
    const step = procedure && model.stepNow(procedure);
    const gate = step && (step.stage === "confirmed" ? step.effect : step.fact);
    known.gate = gate ? await got(`/v1/gates/${encodeURIComponent(gate)}`).catch(() => null) : null;
    known.procedure = procedure;
    await lookAtAnswer();
}

/// The one that was closed while the page was open: its end is to be seen.
function lastClosed() {
    return known.procedure ? (known.procedures.find((one) => one.id === known.procedure.id) ?? null) : null;
}

async function lookAtAnswer() {
    if (chosen.asking === null) chosen.asking = known.answers[0]?.asking ?? null;
    if (chosen.asking === null) return;
    known.answer = await got(`${base}/answers/${encodeURIComponent(chosen.asking)}`).catch(() => null);
}

async function keepLooking() {
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
const isSilent = () => known.trouble !== "" || client.heard === null || client.local.now() - client.heard > silentAfterMs;

// What people do.

async function act(path, body, step) {
    const told = $("said");
    told.textContent = "";
    const answer = await client.post(`/v1/procedures/${encodeURIComponent(known.procedure.id)}/${path}`, body, {
        ifMatch: step?.revision,
    });
    told.className = answer.problem ? "refused" : "";
    told.textContent = answer.problem ? refusal(answer) : "Done, and recorded.";
    await look().catch(() => {});
    draw();
}

const form = (handle) => (event) => {
    event.preventDefault();
    if (event.submitter?.getAttribute("aria-disabled") === "true") return;
    const given = Object.fromEntries([...new FormData(event.target)].map(([key, value]) => [key, value.trim()]));
    if (given.on_behalf_of) sessionStorage.setItem("technician", given.on_behalf_of);
    handle(given);
};
const acts = {
    release: (step) => form(() => act("releases", { step: step.name }, step)),
    confirm: (step) => form(() => act("confirmations", { step: step.name }, step)),
    confirmFor: (step) => form((given) => act("confirmations", { step: step.name, ...given }, step)),
    atChassis: form((given) => act("acts", { act: "at-chassis", ...given })),
    close: form(() => act("acts", { act: "close", outcome: known.procedure.phase === "backing_out" ? "backed_out" : "done" })),
    other: (plan, stops) =>
        form(({ of, ...given }) => {
            const members = { act: plan.act };
            for (const need of plan.needs) if (given[need]) members[need] = given[need];
            if (plan.needs.includes("of")) Object.assign(members, stops[Number(of)]?.members);
            const step = plan.ofStep ? model.stepNow(known.procedure) : null;
            if (step) members.step = step.name;
            act("acts", members, step);
        }),
};

function showLine(asking, line) {
    chosen.asking = asking;
    chosen.line = line;
    known.answer = null;
    lookAtAnswer().then(() => {
        draw();
        document.getElementById(`line-${line?.line}`)?.scrollIntoView({ block: "center" });
        $("answer").querySelector(".scroll")?.focus({ preventScroll: true });
    });
}

// What is seen.

function wordBlock(procedure, now) {
    const { word, why } = wordOf(procedure, isSilent(), now);
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
        h("p", { class: "why" }, shortened(why ?? procedure.text)),
    ];
}

/// The first sentences; all of it is with the lines that it rests on.
const shortened = (text) => (text.length > 240 ? `${text.slice(0, 237).replace(/\s+\S*$/, "")} …` : text);

function age(now) {
    const chassis = known.chassis;
    if (!chassis) return "";
    const seen = model.time(chassis.last_answer);
    const session = chassis.session === "connected" ? "" : `Router session ${chassis.session}: ${chassis.session_text} `;
    if (seen === null) return `${session}No answer yet.`;
    return `${session}Last look ${model.span(now - seen)} ago${now > model.time(chassis.valid_until) ? ": too old to act upon" : ""}.`;
}

function clocks(procedure, now) {
    const cooling = procedure?.cooling;
    if (!cooling?.began || cooling.ended) return null;
    const one = (label, at) =>
        at &&
        h(
            "div",
            { class: model.time(at) < now ? "over" : "" },
            h("span", {}, label),
            h("b", { role: "timer" }, model.countdown(model.time(at) - now)),
        );
    return h(
        "div",
        { class: "clocks" },
        one("Tray must be back in", cooling.limit),
        one("Turn back in", cooling.turn_back),
        cooling.shortened ? h("p", {}, cooling.shortened) : null,
    );
}

function drawWork(now) {
    const procedure = known.procedure;
    if (!procedure) {
        show($("word"), "none", () => h("p", { class: "none" }, h("b", {}, "No work. "), "No procedure is under way on this chassis."));
        for (const id of ["clocks", "step", "rules", "all-steps", "other"]) show($(id), "none", () => []);
        $("course").hidden = true;
        return;
    }
    $("course").hidden = false;
    const word = wordOf(procedure, isSilent(), now);
    show($("word"), [procedure.id, word, procedure.advice, procedure.code, procedure.in_charge], () => [
        h(
            "p",
            { class: "of-work" },
            `${procedure.title}. `,
            procedure.ticket ? `Ticket ${procedure.ticket}. ` : "",
            `In charge: ${procedure.in_charge}.`,
        ),
        wordBlock(procedure, now),
    ]);
    show($("clocks"), [procedure.cooling, Math.floor(now / 1000)], () => clocks(procedure, now) ?? []);
    const step = model.stepNow(procedure);
    const plan = model.next(procedure, known.gate, now);
    show($("step"), [plan, known.gate?.because.cites.map((cite) => [cite.asking, cite.line, cite.text])], () =>
        work.stepPanel(procedure, known.gate, now, acts, sessionStorage.getItem("technician") ?? "", showLine),
    );
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

function drawSeen(now) {
    const { chassis, timeline } = known;
    const parts = model.workParts(known.procedure);
    const sides = Object.keys(chassis.faces).sort();
    if (chosen.side === null)
        chosen.side =
            sides.find((side) =>
                [...parts].some((part) => chassis.faces[side].flat().some((slot) => slot && part.endsWith(` ${slot.name}`))),
            ) ??
            sides[0] ??
            null;
    show($("sides"), [sides, chosen.side], () =>
        h(
            "div",
            { class: "sides", role: "group", "aria-label": "Face looked at" },
            sides.map((side) =>
                h(
                    "button",
                    {
                        type: "button",
                        "aria-pressed": String(side === chosen.side),
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
    const rows = chosen.side ? model.face(chassis, timeline, chosen.side, now, parts) : [];
    const quiet = (all) => all.map((row) => row.map((slot) => slot && { ...slot, at: null }));
    show($("face"), [chosen.side, chosen.part, quiet(rows)], () =>
        rows.length
            ? drawing(rows, `The ${chosen.side}, as people stand before it`, chosen.part, pick)
            : h("p", {}, "The profile of this family has no face to draw."),
    );
    const planes = model.planes(timeline, now, parts, model.servers(chassis));
    show($("planes"), [chosen.part, quiet(planes)], () =>
        planes.length ? drawing(planes, "Fabric planes", chosen.part, pick) : h("p", {}, "None told."),
    );
    const slot = [...rows.flat(), ...planes.flat()].find((one) => one && one.key === chosen.part);
    const facts = slot ? model.factsOf(chassis, slot.kind, slot.name) : [];
    show($("part"), [slot && { ...slot, at: null }, facts.map((fact) => ({ ...fact, at: null }))], () =>
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
            : h("p", { class: "hint" }, "Pick a part to see what the device says of it."),
    );
}

function drawTime(now) {
    const { timeline } = known;
    const parts = model.workParts(known.procedure);
    const first = model.time(timeline.since) ?? now;
    if (chosen.window === null || chosen.window.follows) {
        const width = chosen.window?.chosen ? chosen.window.until - chosen.window.from : Math.min(Math.max(now - first, 60_000), 1_800_000);
        chosen.window = {
            ...model.moved({ from: now - width, until: now + width * 0.02 }, 0, first, now),
            follows: true,
            chosen: chosen.window?.chosen,
        };
    }
    const set = (window) => {
        chosen.window = { ...window, follows: window.until >= now, chosen: true };
        draw();
    };
    const zoom = (factor, at = Math.min(now, chosen.window.until)) => set(model.zoomed(chosen.window, factor, at, first, now));
    const shift = (share) => set(model.moved(chosen.window, (chosen.window.until - chosen.window.from) * share, first, now));
    const whole = () => set(model.moved({ from: first, until: now + (now - first) * 0.02 }, 0, first, now));
    show($("zoom"), [chosen.all], () =>
        h(
            "div",
            { class: "zoom", role: "group", "aria-label": "Zoom of the timeline" },
            [
                ["Earlier", () => timeControl.shift(-0.5)],
                ["Later", () => timeControl.shift(0.5)],
                ["Closer", () => timeControl.zoom(0.5)],
                ["Wider", () => timeControl.zoom(2)],
                ["All", () => timeControl.whole()],
            ].map(([label, handle]) => h("button", { type: "button", "data-key": `zoom ${label}`, onclick: handle }, label)),
            h(
                "button",
                {
                    type: "button",
                    "aria-pressed": String(chosen.all),
                    "data-key": "zoom everything",
                    onclick: () => {
                        chosen.all = !chosen.all;
                        draw();
                    },
                },
                "Everything",
            ),
        ),
    );
    Object.assign(timeControl, { zoom, shift, whole });
    const tracks = [...model.tracksShown(timeline, parts, chosen.all, chosen.window, now), ...clockTracks(timeline)];
    const width = Math.max($("lines").clientWidth, 600);
    $("lines").replaceChildren(lines(timeline, tracks, chosen.window, now, width));
    const marks = timeline.marks.slice(-30).reverse();
    show($("marks"), [marks, tracks.map((track) => [track.of, track.name, track.spans.at(-1)?.state])], () => [
        h(
            "details",
            { "data-key": "marks" },
            h("summary", { "data-key": "marks-summary" }, "The same in words"),
            h(
                "div",
                { class: "columns" },
                h(
                    "table",
                    {},
                    h("caption", {}, "Now, and since when"),
                    h(
                        "tbody",
                        {},
                        tracks.map((track) =>
                            h(
                                "tr",
                                {},
                                h("th", { scope: "row" }, `${track.of} ${track.name}`),
                                h("td", {}, track.spans.at(-1).state),
                                h("td", {}, model.clock(track.spans.at(-1).from)),
                            ),
                        ),
                    ),
                ),
                h(
                    "table",
                    {},
                    h("caption", {}, "What was done"),
                    h(
                        "tbody",
                        {},
                        marks.map((mark) => h("tr", {}, h("th", { scope: "row" }, model.clock(mark.at)), h("td", {}, markText(mark)))),
                    ),
                ),
            ),
        ),
        legend(),
    ]);
}
const timeControl = {};

function legend() {
    const of = (state, words) => h("li", {}, h("span", { class: `swatch ${lookOf(state)}`, "aria-hidden": "true" }), words);
    return h(
        "ul",
        { class: "legend" },
        of("operational", "operational, met"),
        of("degraded", "degraded, CALL"),
        of("starting", "starting, pending, WAIT"),
        of("shut", "shut down"),
        of("down", "down, lost, STOP"),
        of("absent", "not listed"),
        of("unknown", "not known"),
        h("li", {}, h("span", { class: "swatch nobody", "aria-hidden": "true" }), "nobody looked"),
        h("li", {}, "◆ somebody did something"),
    );
}

function drawSensors(now) {
    const { timeline, chassis } = known;
    show($("warmth"), timeline.sensors.length ? [timeline.sensors, Math.floor(now / 5_000)] : "none", () =>
        timeline.sensors.length
            ? timeline.sensors.map((sensor) => {
                  const clock = timeline.clocks.filter((one) => one.procedure === sensor.procedure).at(-1);
                  return h(
                      "figure",
                      {},
                      h(
                          "figcaption",
                          {},
                          h("b", {}, sensor.name),
                          ` ${sensor.looks.length ? `${sensor.looks.at(-1).celsius} C` : "no look yet"}`,
                          h(
                              "span",
                              {},
                              sensor.band.length
                                  ? "the band holds 8 of 10 courses that the looks allow"
                                  : "no forecast: cooling is not reduced, or the looks do not tell one",
                          ),
                      ),
                      warmth(sensor, clock, now, 20_000),
                  );
              })
            : h("p", { class: "hint" }, "A procedure that takes a fan tray out names the sensors that are drawn here."),
    );
    const readings = model.sensorReadings(chassis);
    show($("readings"), readings, () =>
        h(
            "details",
            { "data-key": "readings" },
            h("summary", { "data-key": "readings-summary" }, `All ${readings.length} readings`),
            h(
                "ul",
                { class: "facts" },
                readings.map((one) =>
                    h(
                        "li",
                        {},
                        h(
                            "button",
                            {
                                type: "button",
                                class: "line",
                                "data-key": `reading ${one.name}`,
                                onclick: () => showLine(one.asking, { line: one.line }),
                            },
                            h("span", { class: "where" }, one.name),
                            h("b", {}, one.value),
                        ),
                    ),
                ),
            ),
        ),
    );
}

function drawRaw() {
    const pick = (asking) => showLine(asking, null);
    show($("askings"), [known.answers.map((one) => [one.asking, one.whole, one.unread]), chosen.asking], () =>
        raw.list(known.answers, chosen.asking, pick),
    );
    show($("answer"), [known.answer && { ...known.answer, asked: null, answered: null }, chosen.line], () =>
        known.answer ? raw.answer(known.answer, chosen.line) : h("p", { class: "hint" }, "No answer yet."),
    );
}

function drawRack() {
    const procedure = known.procedure;
    const address = procedure && `${location.origin}/rack/${encodeURIComponent(procedure.id)}`;
    show($("hand-out"), [address], () =>
        procedure
            ? [
                  h("p", {}, "The rack page of this procedure: ", h("code", {}, address)),
                  h("p", {}, "With tokens it takes one of its own. Make it beside the daemon, and hand out the address that it prints:"),
                  h("pre", {}, `slotwitness token make --config FILE --role rack --procedure ${procedure.id} --name "…"`),
                  h("div", { id: "qr" }),
              ]
            : h("p", { class: "hint" }, "There is one while a procedure is under way."),
    );
}

function drawGlance(now) {
    const one = (chassis) => {
        const procedure = model.openOn(known.procedures, chassis.name);
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
            old,
            seen: seen === null ? "never" : `${model.span(now - seen)} ago`,
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
                    ["Chassis", "Word", "Work", "Gates pending", "Router session", "Last look"].map((text) =>
                        h("th", { scope: "col" }, text),
                    ),
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
                        h("td", {}, h("span", { class: `tag ${words[each.word] ? `tone-${words[each.word].tone}` : ""}` }, each.word)),
                        h("td", {}, each.title ? `${each.title}: ${each.step || "every step has ended"}` : ""),
                        h("td", {}, String(each.pending)),
                        h("td", { class: each.session === "connected" ? "" : "flag" }, each.session),
                        h("td", { class: each.old ? "flag" : "" }, each.seen),
                    ),
                ),
            ),
        ),
    );
}

function draw() {
    const now = client.now();
    show($("trouble"), known.trouble, () => (known.trouble ? h("p", {}, known.trouble) : []));
    drawGlance(now);
    if (!name || !known.chassis) return;
    $("session").textContent = `${known.chassis.family}, serial ${known.chassis.serial ?? "not known"}. ${age(now)}`;
    drawWork(now);
    drawSeen(now);
    drawTime(now);
    drawSensors(now);
    drawRaw();
    drawRack();
}

function begin() {
    document.body.append(patterns());
    if (!name) {
        $("name").textContent = "All chassis";
        $("others").remove();
        document.querySelector(".skip").remove();
        $("main").replaceChildren(h("section", { id: "glance", "aria-label": "Chassis" }));
    } else {
        $("name").textContent = name;
        document.title = `${name}, Slotwitness`;
        handleKeys();
    }
    setInterval(draw, 1_000);
    keepLooking();
}

/// The timeline by wheel, drag and keys.
function handleKeys() {
    const place = $("lines");
    place.tabIndex = 0;
    place.setAttribute("role", "group");
    place.setAttribute("aria-label", "Timeline: + and − zoom, arrows move");
    place.addEventListener("keydown", (event) => {
        const done = {
            "+": () => timeControl.zoom(0.5),
            "=": () => timeControl.zoom(0.5),
            "-": () => timeControl.zoom(2),
            ArrowLeft: () => timeControl.shift(-0.25),
            ArrowRight: () => timeControl.shift(0.25),
            0: () => timeControl.whole(),
        }[event.key];
        if (!done || event.ctrlKey || event.metaKey) return;
        event.preventDefault();
        done();
    });
    const at = (event) => {
        const box = place.getBoundingClientRect();
        const share = Math.min(Math.max((event.clientX - box.left - 190) / (box.width - 202), 0), 1);
        return chosen.window.from + share * (chosen.window.until - chosen.window.from);
    };
    place.addEventListener(
        "wheel",
        (event) => {
            if (!event.ctrlKey) return; // a wheel alone scrolls the page
            event.preventDefault();
            timeControl.zoom(event.deltaY < 0 ? 0.8 : 1.25, at(event));
        },
        { passive: false },
    );
    let from = null;
    place.addEventListener("pointerdown", (event) => {
        from = event.clientX;
        place.setPointerCapture(event.pointerId);
    });
    place.addEventListener("pointermove", (event) => {
        if (from === null || !event.buttons) return;
        timeControl.shift((from - event.clientX) / (place.clientWidth - 202));
        from = event.clientX;
    });
    place.addEventListener("pointerup", () => {
        from = null;
    });
}

begin();
