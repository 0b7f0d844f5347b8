import assert from "node:assert/strict";
import { test } from "node:test";

import { gateOf, rackView, refusal, silentAfterMs } from "../../../api/pages/rack_view.js";
import { words } from "../../../api/pages/words.js";

const now = Date.parse("2026-11-26T08:00:00.000Z");
const after = (ms) => new Date(now + ms).toISOString();
const step = (name, more = {}) => ({
    name, revision: "3", stage: "waiting", actor: "technician", act: `Do ${name}.`, cautions: ["WARNING: blades turn."], confirm: null,
    if_wrong: { first: "put back", say: "Seat it again." }, fact: `p1.${name}`, effect: `p1.${name}.effect`, waits_for: "fan-tray TRAY2 operational",
    has_effect: "fan-tray TRAY2 absent", ended: null, ...more,
});
const procedure = (more = {}) => ({
    id: "p1", chassis: "edge-7", title: "Replace a fan tray", phase: "forward", outcome: null, step: "pull", word: "STATE MET",
    text: "The device reports it.", advice: null, valid_until: after(5000), unrecorded: false, code: "K7F", code_spelled: "Kilo Seven Foxtrot",
    steps: [step("prepare", { stage: "done", ended: after(-9000) }), step("pull", { stage: "released" }), step("shut", { actor: "engineer" }), step("seat")],
    back_out: [step("seat-again")], rules: [], cooling: null, right_chassis: { same: "true", lost: false, accepted: false }, ...more,
});
const because = (text, ...lines) => ({ text, cites: lines.map((line) => ({ asking: "trays", capture: "ab", line, text: `row ${line}` })) });
const gate = { id: "p1.pull", sentence: "fan-tray TRAY2 operational", because: because("The device reports it.", 3, 3, 4), needs_s: 0, held_s: 0,
    verdict: "pass", last_look: { asked: after(-2500), answered: after(-2000) } };
const view = (more = {}, given = {}) => rackView({ procedure: procedure(more), gate, silence: 0, now, ...given });

test("nothing heard yet is WAIT, with the daemon's refusal if it gave one", () => {
    assert.equal(rackView({ procedure: null, silence: Infinity, now: null }).word, "WAIT");
    const problem = { detail: "There is no such token.", remedy: "Ask for a new one." };
    assert.equal(rackView({ procedure: null, silence: 0, now, refused: problem }).text, "There is no such token. Ask for a new one.");
});

test("STATE MET is shown while it is fresh, recorded and the daemon answers, and not a millisecond longer", () => {
    const shown = (more, given) => view(more, given).word;
    assert.equal(shown(), "STATE MET");
    assert.equal(shown({}, { now: now + 5000 }), "STATE MET");
    assert.equal(shown({}, { now: now + 5001 }), "WAIT");
    assert.equal(shown({}, { now: null }), "WAIT");
    assert.equal(shown({ valid_until: null }), "WAIT");
    assert.equal(shown({ valid_until: "no time" }), "WAIT");
    assert.equal(shown({ unrecorded: true }), "WAIT");
    assert.equal(shown({}, { silence: silentAfterMs }), "STATE MET");
    assert.equal(shown({}, { silence: silentAfterMs + 1 }), "WAIT");
    assert.equal(shown({}, { refused: { title: "Unauthorized" } }), "WAIT");
});

test("what the page itself turned into WAIT has no code, no main control, and says why", () => {
    const old = view({}, { now: now + 6000 });
    assert.equal(old.code, null);
    assert.match(old.text, /too old to act on/);
    assert.equal(old.confirm.isMain, false);
    assert.deepEqual(view().code, { letters: "K7F", spelled: "Kilo Seven Foxtrot" });
});

test("STOP and CALL never soften: not by silence, by age, nor by a refusal", () => {
    for (const word of ["STOP", "CALL"])
        for (const given of [{ silence: 1e9 }, { now: now + 1e9 }, { now: null }, { refused: { detail: "Expired." } }]) {
            const shown = view({ word, valid_until: null, advice: { first: "call", say: "Touch nothing." } }, given);
            assert.equal(shown.word, word);
            assert.deepEqual(shown.advice, { first: "Call the engineer", say: "Touch nothing." });
        }
    assert.match(view({ word: "STOP" }, { silence: 9000 }).note, /not answered for 9 s.*it counts/);
});

test("one advice at a time: the step's own is told where the word brings none", () => {
    assert.deepEqual(view().step.ifWrong, { first: "Put it back", say: "Seat it again." });
    for (const word of ["STOP", "CALL"]) assert.equal(view({ word, advice: { first: "freeze", say: "Touch nothing." } }).step.ifWrong, null);
});

test("what is known to be of the past is WAIT, and says no number of seconds", () => {
    const shown = view({}, { silence: Infinity });
    assert.equal(shown.word, "WAIT");
    assert.equal(shown.note, "");
    assert.equal(shown.confirm.isOpen, false);
});

test("who stands at another chassis is shown no report of this one", () => {
    assert.equal(view({ word: "STOP", right_chassis: { same: "false", lost: true, accepted: false } }).report, null);
});

test("advice for a STOP is not shown once the daemon says WAIT", () => {
    assert.equal(view({ word: "WAIT", advice: { first: "call", say: "x" } }).advice, null);
});

test("the technician confirms a released step of their own, under no STOP, and only while the daemon answers", () => {
    assert.deepEqual(view().confirm, { step: "pull", revision: "3", isMain: true, isOpen: true, label: "I have done this" });
    assert.equal(view({}, { silence: 1e9 }).confirm.isOpen, false);
    assert.equal(view({ word: "STOP" }).confirm, null);
    assert.equal(view({ word: "WAIT" }).confirm.isMain, false, "who has acted already may say so");
    assert.equal(view({ phase: "closed" }).confirm, null);
    for (const stage of ["waiting", "fact", "confirmed", "done"])
        assert.equal(view({ steps: [step("pull", { stage })] }).confirm, null, stage);
    assert.equal(view({ steps: [step("pull", { stage: "released", actor: "engineer" })] }).confirm, null);
});

test("an act is the person's own now only where the state is met", () => {
    const who = (more, given) => view(more, given).step.who;
    assert.equal(who(), "Your act, now");
    for (const [given, expected] of [[{ word: "STOP" }, /Do not go on/], [{ word: "CALL" }, /Call the engineer/], [{ word: "WAIT" }, /Do not go on/],
        [{ steps: [step("pull", { stage: "fact" })], word: "WAIT" }, /Not yet/], [{ steps: [step("pull", { stage: "confirmed" })], word: "WAIT" }, /You have done this/]]) {
        assert.match(who(given), expected);
        assert.equal(view(given).step.isOpen, false);
    }
    assert.match(who({}, { silence: 1e9 }), /Do not go on/);
});

test("a confirmation can be undone until its time, and no longer", () => {
    const steps = [step("pull", { stage: "confirmed", undo_until: after(4000) }), step("seat")];
    assert.deepEqual(view({ steps }).undo, { step: "pull", revision: "3", left: 4000, isOpen: true });
    assert.equal(view({ steps }, { now: now + 4000 }).undo, null);
    assert.equal(view().undo, null);
});

test("the serial is asked for until it is the right one or answered for, and again where it is lost", () => {
    const asked = (right_chassis, more = {}) => view({ right_chassis, ...more }).serial !== null;
    assert.equal(asked(null), true);
    assert.equal(asked({ same: "true", lost: false, accepted: false }), false);
    assert.equal(asked({ same: "unknown", lost: false, accepted: false }), true);
    assert.equal(asked({ same: "unknown", lost: false, accepted: true }), false);
    assert.equal(asked({ same: "true", lost: true, accepted: false }), true);
    assert.equal(asked(null, { steps: [step("shut", { actor: "engineer" })], back_out: [] }), false);
    assert.equal(asked(null, { phase: "closed", outcome: "done" }), false);
});

test("the report is of the gate that counts, each line once, with its age; of a STOP it is the lost rule's", () => {
    assert.deepEqual(view().report.lines.map(({ line }) => line), [3, 4]);
    assert.equal(view().report.age, 2500);
    assert.equal(view({ word: "WAIT" }).report.because, "", "what stands above already");
    assert.equal(view().text, "The device reports: fan-tray TRAY2 operational.");
    assert.equal(view().report.because, "The device reports it.");
    const rule = { name: "other-slots", lost: true, holds: "module FAB4 present", because: because("FAB4 is not listed.", 7), last_look: null };
    const stopped = view({ word: "STOP", rules: [rule, { ...rule, lost: false }] }).report;
    assert.equal(stopped.sentence, "No longer met: module FAB4 present");
    assert.deepEqual(stopped.lines.map(({ text }) => text), ["row 7"]);
    assert.equal(stopped.age, null);
    assert.equal(gateOf(procedure()), "p1.pull");
    assert.equal(gateOf(procedure({ steps: [step("pull", { stage: "confirmed" })] })), "p1.pull.effect");
    assert.equal(gateOf(procedure({ step: "" })), null);
});

test("while the engineer acts the technician is told to keep off, and what comes for them", () => {
    const shown = view({ step: "shut", word: "WAIT" });
    assert.match(shown.step.who, /Keep your hands off/);
    assert.equal(shown.next.act, "Do seat.");
    assert.equal(view().next, null, "one act at a time");
    assert.deepEqual(shown.next.cautions, [{ signal: "WARNING", text: "Blades turn." }]);
});

test("on the way back the steps of the way back are shown", () => {
    const shown = view({ phase: "backing_out", step: "seat-again" });
    assert.equal(shown.step.place, "On the way back");
    assert.equal(shown.step.act, "Do seat-again.");
});

test("the cooling clock and the turn-back time count down while the tray is out", () => {
    const cooling = { began: after(-60_000), ended: null, limit: after(540_000), turn_back: after(200_000), shortened: "By a forecast.", passed: false };
    const clocks = view({ cooling }).clocks;
    assert.deepEqual(clocks.map(({ name, left }) => [name, left]), [["Turn-back time", 200_000], ["Fan tray must be back", 540_000]]);
    assert.equal(clocks[1].why, "By a forecast.");
    assert.equal(view({ cooling }, { now: now + 541_000 }).clocks[1].left, -1000);
    assert.deepEqual(view({ cooling: { ...cooling, ended: after(0) } }).clocks, []);
    assert.deepEqual(view({ cooling: { ...cooling, began: null } }).clocks, []);
});

test("a refusal says whether somebody else acted, and silence claims nothing", () => {
    assert.match(refusal({ status: 412 }), /Somebody else may have acted/);
    assert.match(refusal({ status: 409 }), /Somebody else may have acted/);
    assert.match(refusal({ status: 0 }), /not known/);
    assert.equal(refusal({ status: 422, problem: { detail: "Too short.", found: "17", expected: "four", remedy: "Read it again." } }),
        "Not taken. Too short. Found: 17. Expected: four. Read it again.");
});

test("each word has an outline and a tone of its own", () => {
    assert.deepEqual(Object.keys(words), ["STATE MET", "WAIT", "CALL", "STOP"]);
    for (const member of ["tone", "shape"]) assert.equal(new Set(Object.values(words).map((word) => word[member])).size, 4);
});
