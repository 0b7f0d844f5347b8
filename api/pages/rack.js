// The rack page: asks, follows, shows, and carries what the person at the rack tells. What is shown is decided in
// rack_view.js.
import { Client, takeToken } from "./client.js";
import { duration, element, setText } from "./parts.js";
import { gateOf, rackView, refusal } from "./rack_view.js";
import { shapeOf, words } from "./words.js";

const askAgainMs = 2000; // what is valid moves with each look, which is no event
const showAgainMs = 250;

const id = decodeURIComponent(location.pathname.split("/")[2]);
const path = `/v1/procedures/${encodeURIComponent(id)}`;
const client = new Client({ token: takeToken() });
const at = (name) => document.getElementById(name);

const state = {
    procedure: null,
    gate: null,
    told: -Infinity, // local time at which the newest whole answer was asked for
    refused: null,
    events: 0,
    isSending: false,
};

// --- asking ---

async function look() {
    if (state.procedure?.phase === "closed") return; // nothing will change, and the token has ended with it
    const asked = client.local.now();
    const events = state.events;
    const answer = await client.get(path);
    if (answer.status === 0) return;
    state.refused = answer.problem;
    // An event that came meanwhile is newer than an answer that was under way.
    if (answer.body && events === state.events) take(answer.body);
    if (answer.body) {
        state.told = asked;
        await lookAtGate();
    }
    show();
}

function take(procedure) {
    state.procedure = procedure;
    if (state.gate?.id !== gateOf(procedure)) state.gate = null;
}

async function lookAtGate() {
    const wanted = gateOf(state.procedure);
    if (!wanted) return;
    const { body } = await client.get(`/v1/gates/${encodeURIComponent(wanted)}`);
    if (body && gateOf(state.procedure) === wanted) state.gate = body;
}

/// One look after the other for as long as somebody can see the page.
async function keepLooking() {
    for (;;) {
        if (!document.hidden) await look();
        await pause(askAgainMs);
    }
}

let endPause = () => {};
const pause = (ms) => new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    endPause = () => (clearTimeout(timer), resolve());
});

let following = new AbortController();
function followAnew() {
    following.abort();
    following = new AbortController();
    client.follow(`${path}/changes`, (procedure) => {
        state.events += 1;
        take(procedure);
        show();
        endPause(); // the gate of what is shown now is asked for at once
    }, { signal: following.signal });
}

/// After sleep, another network, or a page that came back: what is shown has aged, and the old way may be dead.
function wake() {
    show();
    if (document.hidden) return;
    followAnew();
    endPause();
}

// --- telling ---

async function tell(what, body, ifMatch) {
    if (state.isSending) return;
    state.isSending = true;
    show();
    const answer = await client.post(`${path}/${what}`, body, { ifMatch });
    state.isSending = false;
    if (answer.body) {
        state.events += 1; // newer than any answer under way
        take(answer.body);
    } else notice(refusal(answer));
    show();
    endPause();
}

function notice(text) {
    setText(at("notice-text"), text);
    at("notice").hidden = false;
    at("notice").scrollIntoView({ block: "nearest" });
}

// --- showing ---

let told = "";

function show() {
    const local = client.local.now();
    const view = rackView({ ...state, silence: local - state.told, now: client.now() });
    showPlate(view);
    showClocks(view.clocks);
    showStep(view.step);
    showReport(view.report);
    showNext(view.next);
    showHand(view);
    at("serial").hidden = !view.serial;
    at("serial-send").disabled = !view.serial?.isOpen || state.isSending;
    announce(view);
}

function showPlate({ word, text, note, advice, code, place }) {
    if (at("word").textContent !== word || !at("shape").firstChild) {
        at("plate").className = `plate tone-${words[word].tone}`;
        at("shape").replaceChildren(shapeOf(word));
    }
    setText(at("word"), word);
    document.title = `${word} · ${place || "at the rack"}`;
    if (place) setText(at("place"), place);
    setText(at("text"), text);
    showText("note", note);
    at("advice").hidden = !advice;
    setText(at("advice-first"), advice ? `${advice.first}.` : "");
    setText(at("advice-say"), advice?.say ?? "");
    at("code").hidden = !code;
    setText(at("code-letters"), code?.letters ?? "");
    setText(at("code-spelled"), code?.spelled ?? "");
}

function showText(name, text) {
    at(name).hidden = !text;
    setText(at(name), text ?? "");
}

const timeOfDay = (text) => new Date(text).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" });

function showClocks(clocks) {
    at("clocks").hidden = clocks.length === 0;
    refill("clocks", clocks.map(({ name, why }) => name + why), clocks, ({ name, why }) =>
        element("div", { class: "clock" }, element("h2", {}, name), element("p", { class: "left" }), element("p", { class: "until" }),
            why ? element("p", { class: "quiet" }, why) : null));
    clocks.forEach(({ left, at: time }, index) => {
        const clock = at("clocks").children[index];
        clock.classList.toggle("over", left <= 0);
        setText(clock.querySelector(".left"), left > 0 ? duration(left) : `over by ${duration(-left)}`);
        setText(clock.querySelector(".until"), `by ${timeOfDay(time)}`);
    });
}

const cautionItem = ({ signal, text }) =>
    element("li", { class: `caution ${signal}` }, element("b", {}, signal), " ", text);

function showStep(step) {
    at("step").hidden = !step;
    if (!step) return;
    at("step").classList.toggle("mine", step.isMine);
    setText(at("step-place"), step.place);
    setText(at("step-who"), step.who);
    setText(at("step-act"), step.act);
    refill("step-cautions", step.cautions, step.cautions, cautionItem);
    at("step-questions").hidden = !step.questions;
    setText(at("step-questions-text"), step.questions ?? "");
    setText(at("wrong-first"), `${step.ifWrong.first}.`);
    setText(at("wrong-say"), step.ifWrong.say);
}

const linesAtOnce = 2;
const lineItem = ({ asking, line, text }) =>
    element("li", {}, element("span", { class: "number" }, `${asking}, line ${line}`), element("samp", { tabindex: "0" }, text));

function showReport(report) {
    at("report").hidden = !report;
    if (!report) return;
    setText(at("report-sentence"), report.sentence);
    setText(at("report-age"), report.age === null ? "No look yet." : `Asked ${duration(report.age)} ago.`);
    showText("report-held", report.held && `So far for ${report.held.has} s of ${report.held.needs} s.`);
    showText("report-because", report.because);
    const [first, more] = [report.lines.slice(0, linesAtOnce), report.lines.slice(linesAtOnce)];
    refill("report-lines", first, first, lineItem);
    at("report-more").hidden = more.length === 0;
    setText(at("report-more-count"), `${more.length} more ${more.length === 1 ? "line" : "lines"}`);
    refill("report-more-lines", more, more, lineItem);
}

function showNext(next) {
    at("next").hidden = !next;
    if (!next) return;
    setText(at("next-act"), next.act);
    refill("next-cautions", next.cautions, next.cautions, cautionItem);
}

/// Fills a list anew only if what it is made of has changed, so that focus and selection stay.
function refill(name, key, values, make) {
    const made = JSON.stringify(key);
    if (at(name).dataset.made === made) return;
    at(name).dataset.made = made;
    at(name).replaceChildren(...values.map(make));
}

function showHand({ confirm, undo }) {
    at("hand").hidden = !confirm && !undo;
    at("confirm").hidden = !confirm;
    if (confirm) {
        setText(at("confirm"), state.isSending ? "Sending …" : confirm.label);
        at("confirm").classList.toggle("main", confirm.isMain);
        at("confirm").disabled = !confirm.isOpen || state.isSending;
    }
    at("undo").hidden = !undo;
    if (undo) {
        setText(at("undo"), `Undo: it is not done (${duration(undo.left)})`);
        at("undo").disabled = !undo.isOpen || state.isSending;
    }
    at("confirm").onclick = confirm && (() => tell("confirmations", { step: confirm.step }, confirm.revision));
    at("undo").onclick = undo && (() => tell("undos", { step: undo.step }, undo.revision));
}

/// A screen reader is told when the word changes or another step is under way, not at each look; STOP at once.
function announce({ word, text, advice, step }) {
    const key = `${word} ${step?.name} ${step?.who}`;
    if (key === told) return;
    told = key;
    const all = [`${word}.`, text, advice && `${advice.first}. ${advice.say}`, word !== "STOP" && step && `${step.who}: ${step.act}`]
        .filter(Boolean).join(" ");
    setText(at("urgent"), word === "STOP" ? all : "");
    setText(at("polite"), word === "STOP" ? "" : all);
}

at("notice-read").addEventListener("click", () => (at("notice").hidden = true));
at("serial").addEventListener("submit", (event) => {
    event.preventDefault();
    tell("acts", { act: "at-chassis", serial_end: at("serial-end").value.trim() });
    at("serial-end").value = "";
});
for (const [target, names] of [[document, ["visibilitychange"]], [window, ["pageshow", "online", "focus"]]])
    for (const name of names) target.addEventListener(name, wake);

show();
setInterval(show, showAgainMs);
keepLooking();
