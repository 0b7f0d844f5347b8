// What the engineer page tells of the router session.
import assert from "node:assert/strict";
import { test } from "node:test";

import { localTime } from "../../../api/pages/parts.js";
import { lookText, sessionView } from "../../../api/pages/session_view.js";

const at = (seconds) => new Date(Date.UTC(2026, 10, 25, 8, 0, seconds)).toISOString();
const now = Date.parse(at(0));
const controller = (name, standby, whole = true) => ({ name, whole, facts: { standby: { value: standby } } });
const chassis = (more = {}) => ({
    session: "connected", session_text: "", held_up: null, in_band: false, switchover: null,
    reached: { address: "192.0.2.7:22", since: at(-60) }, last_answer: at(-2), valid_until: at(20),
    components: { controller: [controller("CTL0", "providing-service"), controller("CTL1", "hot-standby")] }, ...more,
});

test("it tells where the session leads, since when, and which controller the device reports as active", () => {
    assert.deepEqual(sessionView(chassis(), now), {
        way: `Router session with 192.0.2.7:22 since ${localTime(at(-60))}.`, inBand: "",
        active: "The device reports CTL0 as active controller.", switchover: "" });
    assert.match(sessionView(chassis(), now + 20_001).active, /^At the last look/);
    for (const valid_until of [null, "soon"]) assert.match(sessionView(chassis({ valid_until }), now).active, /^At the last look/);
    assert.equal(sessionView(chassis({ components: { controller: [controller("CTL0", "hot-standby")] } }), now).active, "");
    const cut = [controller("CTL0", "providing-service", false)];
    assert.equal(sessionView(chassis({ components: { controller: cut } }), now).active, "", "an answer that was cut confirms nothing");
    assert.equal(sessionView(chassis({ components: {}, reached: null }), now).way, "");
});

test("a switchover is told with its time and both sides", () => {
    const told = (of, from, to) => sessionView(chassis({ switchover: { at: at(-9), of, from, to } }), now).switchover;
    assert.equal(told("controller", "CTL0", "CTL1"), `Switchover at ${localTime(at(-9))}: controller CTL1 is active, CTL0 was before.`);
    assert.match(told("address", "192.0.2.7:22", "192.0.2.8:22"), /: address 192\.0\.2\.8:22 answers, 192\.0\.2\.7:22 did before\.$/);
});

test("a session through the fabric under work is told, and why it may be lost", () => {
    const inBand = chassis({ in_band: true });
    assert.match(sessionView(inBand, now).inBand, /^In-band, as declared .* own fabric, so the work itself may end it\.$/);
    assert.equal(lookText(inBand, now), "Last look 2 s ago.");
    const lost = { session: "lost", session_text: "no answer within 10 s" };
    assert.equal(lookText(chassis({ ...lost, in_band: true }), now),
        "Router session lost: no answer within 10 s. It runs through this chassis' own fabric: the work itself may have ended it. Last look 2 s ago.");
    assert.doesNotMatch(lookText(chassis(lost), now), /fabric/);
    assert.doesNotMatch(lookText(chassis({ session: "refused", in_band: true, reached: null }), now), /fabric/, "it never was");
});

test("how old the last look is, and that nobody may act on it", () => {
    assert.match(lookText(chassis(), now + 20_001), /Last look 22 s ago: too old to act on\.$/);
    assert.equal(lookText(chassis({ last_answer: null, session: "connecting" }), now), "Router session connecting. No answer yet.");
    assert.match(lookText(chassis({ held_up: "the budget has no room" }), now), /^Looks are held up: the budget has no room\. /);
});
