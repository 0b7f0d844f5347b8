// The rack page: asks, follows, and carries what the person at the rack tells. What is shown is decided in rack_view.js,
// and put on the page in rack_show.js.
import { Client, takeToken } from "./client.js";
import { at, setText } from "./parts.js";
import { showView } from "./rack_show.js";
import { gateOf, isConflict, rackView, refusal } from "./rack_view.js";

const askAgainMs = 2000; // what is valid moves with each look, which is no event
const showAgainMs = 250;

const id = decodeURIComponent(location.pathname.split("/")[2]);
const path = `/v1/procedures/${encodeURIComponent(id)}`;
const client = new Client({ token: takeToken() });

const state = {
    procedure: null,
    gate: null,
    told: -Infinity, // local time at which the newest whole answer was asked for
    acted: -Infinity, // local time of the newest answer to an act: nothing that was asked for before it counts
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
    if (answer.status === 0 || asked < state.told || asked < state.acted) return; // silence, or overtaken
    state.refused = answer.problem;
    if (answer.body) {
        state.told = asked;
        // An event that came meanwhile is newer than an answer that was under way.
        if (events === state.events) take(answer.body);
        lookAtGate();
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
    if (!body || gateOf(state.procedure) !== wanted) return;
    state.gate = body;
    show();
}

/// For as long as somebody can see the page; a look that gets no answer holds up no other.
async function keepLooking() {
    for (;;) {
        if (!document.hidden) look();
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
        lookAtGate();
    }, { signal: following.signal });
}

/// After sleep, another network, or a page that came back: what is shown has aged, and the old way may be dead.
function wake() {
    show();
    if (document.hidden) return;
    navigator.wakeLock?.request("screen").catch(() => {}); // hands that are in a chassis cannot wake a screen
    followAnew();
    endPause();
}

// --- telling ---

/// Whether the daemon has taken it.
async function tell(what, body, ifMatch) {
    if (state.isSending) return false;
    state.isSending = true;
    show();
    const answer = await client.post(`${path}/${what}`, body, { ifMatch });
    state.isSending = false;
    state.acted = client.local.now();
    if (answer.body) {
        take(answer.body);
        at("plate").focus();
    } else notice(refusal(answer));
    if (isConflict(answer.status)) state.told = -Infinity; // nobody acts on what is shown until it is asked for anew
    show();
    endPause();
    return answer.body !== null;
}

function notice(text) {
    setText(at("notice-text"), text);
    at("notice").hidden = false;
    at("notice").scrollIntoView({ block: "nearest" });
}

// --- showing ---

function show() {
    const view = rackView({ ...state, silence: client.local.now() - state.told, now: client.now() });
    showView(view, state.isSending);
    at("confirm").onclick = view.confirm && (() => tell("confirmations", { step: view.confirm.step }, view.confirm.revision));
    at("undo").onclick = view.undo && (() => tell("undos", { step: view.undo.step }, view.undo.revision));
}

at("notice-read").addEventListener("click", () => (at("notice").hidden = true));
at("serial").addEventListener("submit", async (event) => {
    event.preventDefault();
    const isTaken = await tell("acts", { act: "at-chassis", serial_end: at("serial-end").value.trim() });
    if (isTaken) at("serial-end").value = "";
});
for (const [target, names] of [[document, ["visibilitychange"]], [window, ["pageshow", "online", "focus"]]])
    for (const name of names) target.addEventListener(name, wake);

show();
setInterval(show, showAgainMs);
keepLooking();
