// The engineer page's view model: what the API told and the time it is, to what is shown.
import assert from "node:assert/strict";
import test from "node:test";
import * as model from "../../../api/pages/engineer_view.js";

const at = (seconds) => new Date(Date.UTC(2026, 10, 25, 8, 0, seconds)).toISOString();
const now = Date.parse(at(0));
const part = (kind, name, condition = "operational", more = {}) => ({
    kind,
    name,
    label: "",
    condition,
    why: "",
    asking: "modules",
    at: at(-2),
    valid_until: at(20),
    ...more,
});
const rule = (holds, more = {}) => ({ name: "r", say: "", active: true, lost: false, accepted: false, truth: "true", holds, ...more });
const step = (more = {}) => ({
    name: "pull-tray",
    actor: "technician",
    act: "Pull it.",
    confirm: null,
    stage: "fact",
    revision: "3",
    waits_for: "module FAB3 shut",
    has_effect: "fan-tray TRAY2 absent",
    ...more,
});
const procedure = (more = {}) => ({
    phase: "forward",
    step: "pull-tray",
    steps: [step()],
    back_out: [],
    rules: [],
    right_chassis: { same: "true" },
    word: "STATE MET",
    text: "It is met.",
    unrecorded: false,
    valid_until: at(20),
    ...more,
});
const gate = (more = {}) => ({ verdict: "pass", standing: "met", unrecorded: false, valid_until: at(20), ...more });

test("a part is not known once its look is too old", () => {
    assert.equal(model.partNow(part("module", "FAB3"), now).condition, "operational");
    assert.equal(model.partNow(part("module", "FAB3"), now + 20_001).condition, "unknown");
    assert.equal(model.partNow(part("module", "FAB3", "unknown", { why: "cut" }), now + 20_001).why, "cut");
});

test("the work is about what the rules except", () => {
    const work = model.workParts(
        procedure({
            rules: [
                rule("every plane except 3, 4 up"),
                rule('every module except "FAB 3" present and every controller present'),
                rule("every fan-tray except TRAY2 operational"),
            ],
        }),
    );
    assert.deepEqual([...work], ["plane 3", "plane 4", "module FAB 3", "fan-tray TRAY2"]);
    assert.equal(model.workParts(null).size, 0);
});

test("a face shows each slot with the label printed there, also when the device tells nothing of it", () => {
    const chassis = { faces: { rear: [[{ name: "TRAY1", label: "" }, null, { name: "FAB3", label: "SLOT C" }]] } };
    const timeline = { parts: [part("fan-tray", "TRAY1", "shut", { label: "REAR FAN 1" })] };
    const [[tray, blank, module]] = model.face(chassis, timeline, "rear", now, new Set(["fan-tray TRAY1"]));
    assert.deepEqual([tray.label, tray.condition, tray.work, tray.key], ["REAR FAN 1", "shut", true, "fan-tray TRAY1"]);
    assert.equal(blank, null);
    assert.deepEqual([module.label, module.condition, module.work], ["SLOT C", "unknown", false]);
    assert.deepEqual(model.face(chassis, timeline, "front", now, new Set()), []);
});

test("fabric planes stand in the order of their numbers", () => {
    const timeline = { parts: ["10", "2", "1"].map((name) => part("plane", name)) };
    assert.deepEqual(
        model.planes(timeline, now, new Set())[0].map((one) => one.name),
        ["1", "2", "10"],
    );
});

test("a release is ready only upon a fact that is met at this instant", () => {
    assert.deepEqual(
        [model.next(procedure(), gate(), now)].map((one) => [one.control, one.ready]),
        [["release", true]],
    );
    for (const not of [
        null,
        gate({ standing: "unseen" }),
        gate({ verdict: "pending", standing: null }),
        gate({ unrecorded: true }),
        gate({ valid_until: at(-1) }),
    ])
        assert.equal(model.next(procedure(), not, now).ready, false);
});

test("what to say to the technician is the act; theirs is confirmed on their behalf, the engineer's own is not", () => {
    const released = model.next(procedure({ steps: [step({ stage: "released", confirm: "What is printed on it?" })] }), gate(), now);
    assert.deepEqual([released.control, released.say, released.ask], ["confirm-for", "Pull it.", "What is printed on it?"]);
    const own = model.next(procedure({ steps: [step({ stage: "released", actor: "engineer" })] }), gate(), now);
    assert.deepEqual([own.control, own.technician], ["confirm", false]);
    assert.equal(model.next(procedure({ steps: [step({ stage: "confirmed" })] }), null, now).control, null);
});

test("before the technician acts the chassis is asked for", () => {
    assert.equal(model.next(procedure({ right_chassis: null }), gate(), now).control, "at-chassis");
    assert.equal(model.next(procedure({ right_chassis: { same: "unknown" } }), gate(), now).control, "at-chassis");
    assert.equal(model.next(procedure({ right_chassis: { same: "unknown", accepted: true } }), gate(), now).control, "release");
    assert.equal(model.next(procedure({ right_chassis: null, steps: [step({ actor: "engineer" })] }), gate(), now).control, "release");
});

test("after the last step it is to be closed, and a closed one takes nothing", () => {
    assert.equal(model.next(procedure({ step: "" }), null, now).control, "close");
    const closed = model.next(procedure({ phase: "closed", outcome: "backed_out" }), gate(), now);
    assert.deepEqual([closed.control, closed.hint], [null, "Closed as backed out."]);
});

test("a look goes on only as far as somebody looked, a gate until now", () => {
    const spans = [
        { from: at(-60), until: at(-40), state: "a" },
        { from: at(-38), until: at(-2), state: "b" },
    ];
    const looks = model.spansWithin({ of: "plane", open: true, spans }, now - 50_000, now, now);
    assert.deepEqual(
        looks.map((one) => [one.from - now, one.until - now]),
        [
            [-50_000, -40_000],
            [-38_000, -2_000],
        ],
    );
    const lasting = model.spansWithin({ of: "gate", open: true, spans }, now - 50_000, now, now);
    assert.deepEqual(
        lasting.map((one) => one.until - now),
        [-38_000, 0],
    );
});

test("only what the work is about, or was not as usual in this window, is drawn unless all is", () => {
    const track = (of, name, state, from = -9, open = true) => ({
        of,
        name,
        open,
        spans: [{ from: at(from), until: at(from + 9), state }],
    });
    const timeline = {
        tracks: [
            track("module", "FAB1", "operational"),
            track("module", "FAB2", "down"),
            track("module", "FAB5", "down", -900),
            track("plane", "3", "operational"),
            track("gate", "g", "pending"),
            track("gate", "well", "pass", -9, false),
            track("gate", "bad", "fail", -9, false),
            track("procedure", "p2", "WAIT"),
            track("procedure", "p1", "STOP", -20),
        ],
    };
    const window = { from: now - 60_000, until: now };
    const shown = model.tracksShown(timeline, new Set(["plane 3"]), false, window, now);
    assert.deepEqual(
        shown.map((one) => one.name),
        ["word", "bad", "g", "3", "FAB2"],
    );
    assert.deepEqual(
        shown[0].spans.map((one) => one.state),
        ["STOP", "WAIT"],
        "the words of one chassis make one track",
    );
    assert.equal(model.tracksShown(timeline, new Set(), true, window, now).length, 8);
});

test("in a stop nobody is told to go on", () => {
    const plan = model.next(
        procedure({
            word: "STOP",
            advice: { first: "call", say: "Do not reinsert anything." },
            code: "66P",
            steps: [step({ stage: "released" })],
        }),
        gate(),
        now,
    );
    assert.deepEqual([plan.control, plan.say, plan.code.code], [null, "Stop. Do not reinsert anything.", "66P"]);
});

test("zoom keeps the instant under the pointer, and stays within what there is", () => {
    const closer = model.zoomed({ from: now - 600_000, until: now }, 0.5, now - 300_000, now - 3_600_000, now);
    assert.deepEqual([closer.from - now, closer.until - now], [-450_000, -150_000]);
    const closest = model.zoomed({ from: now - 40_000, until: now }, 0.1, now - 20_000, now - 3_600_000, now);
    assert.equal(closest.until - closest.from, 30_000);
    const earlier = model.moved({ from: now - 600_000, until: now }, -10_000_000, now - 3_600_000, now);
    assert.equal(earlier.from, now - 3_600_000);
});

test("looks with a gap between them are not joined", () => {
    const looks = [0, 2, 40, 42].map((seconds) => ({ at: at(seconds), celsius: "50" }));
    assert.deepEqual(
        model.pieces(looks, 20_000).map((piece) => piece.length),
        [2, 2],
    );
});

test("a line is cut where its facts stand, by what is seen and not by bytes", () => {
    const line = {
        text: "3é  locked   16 of 16",
        facts: [
            { place: 4, attribute: "admin" },
            { place: 13, attribute: "links-usable" },
        ],
    };
    assert.deepEqual(
        model.cutLine(line).map((piece) => [piece.text, piece.facts.length]),
        [
            ["3é  ", 0],
            ["locked", 1],
            ["   ", 0],
            ["16 of 16", 1],
        ],
    );
});

test("a value is told as people write it", () => {
    assert.deepEqual(
        [{ value: "3200000000000", unit: "b/s" }, { value: "38.50", unit: "C" }, { value: "16", unit: "" }, ["1", "2"], "locked"].map(
            model.valueText,
        ),
        ["3.2 Tb/s", "38.50 C", "16", "1, 2", "locked"],
    );
});

test("a gate that passed is unseen once its look is too old, and a failed one says how", () => {
    assert.equal(model.gateNow(gate(), now), "met");
    assert.equal(model.gateNow(gate(), now + 20_001), "unseen");
    assert.equal(model.gateNow(gate({ verdict: "fail", failure: "not_seen", standing: null }), now), "not seen");
    assert.deepEqual(model.openGates([gate({ chassis: "a" }), gate({ chassis: "b" }), gate({ chassis: "a", retired: true })], "a").length, 1);
});

test("a confirmation is taken back only as long as the daemon takes it", () => {
    const confirmed = procedure({ steps: [step({ stage: "confirmed", undo_until: at(5) })] });
    assert.deepEqual(model.undoable(confirmed, now), { step: "pull-tray", revision: "3", left: 5_000 });
    assert.equal(model.undoable(confirmed, now + 5_000), null);
    assert.equal(model.undoable(procedure(), now), null);
});

test("times are told in one figure", () => {
    assert.deepEqual(
        [model.span(3_400), model.span(240_000), model.countdown(545_000), model.countdown(-12_000), model.countdown(3_723_000)],
        ["3 s", "4 min", "9:05", "−0:12", "1:02:03"],
    );
});
