import assert from "node:assert/strict";
import { test } from "node:test";

import { Client, events, takeToken } from "../../../api/pages/client.js";
import { DaemonClock, LocalClock } from "../../../api/pages/clock.js";

const storage = (values = {}) => ({ getItem: (key) => values[key] ?? null, setItem: (key, value) => (values[key] = value) });

test("the token leaves the address and stays in the tab", () => {
    const shown = [];
    const past = { replaceState: (state, title, address) => shown.push(address) };
    const kept = storage();
    const place = { hash: "#token=sw1.a.b", pathname: "/rack/p1", search: "" };
    assert.equal(takeToken(place, kept, past), "sw1.a.b");
    assert.deepEqual(shown, ["/rack/p1"]);
    assert.equal(takeToken({ ...place, hash: "" }, kept, past), "sw1.a.b");
    assert.equal(takeToken({ ...place, hash: "" }, storage(), past), null);
});

test("time that a sleeping phone's monotonic clock has missed is added, and none is ever taken back", () => {
    let monotonic = 0, wall = 1_000_000;
    const clock = new LocalClock(() => monotonic, () => wall);
    const pass = (here, there) => (monotonic += here, wall += there, clock.now());
    assert.equal(pass(5, 6), 5, "a little difference is how clocks are read");
    assert.equal(pass(10, 60_010), 60_016, "it slept");
    assert.equal(pass(10, -3_600_000), 60_026, "the wall clock was set back");
    assert.equal(pass(10, 30_010), 90_036, "it slept again");
    for (let i = 0; i < 100; ++i) pass(0, 20);
    assert.ok(clock.now() - 90_036 > 900, "also by little and little");
});

test("the daemon's clock is taken at its latest, and an answer that came quicker tells it better", () => {
    const date = (ms) => new Date(ms).toUTCString(); // as a Date field
    const clock = new DaemonClock();
    assert.equal(clock.latest(0), null);
    clock.learn("no date", 0, 1);
    assert.equal(clock.latest(0), null);
    clock.learn(date(100_000), 0, 3000); // the daemon wrote it at local 0 … 3000, its own 100 s … 101 s
    assert.equal(clock.latest(500), 101_500);
    clock.learn(date(102_000), 2900, 2950); // 100 100 ahead at most
    assert.equal(clock.latest(3000), 103_100, "101 000 ahead is no longer possible, since less is the most");
    clock.learn(date(103_000), 3000, 3050);
    assert.equal(clock.latest(3100), 103_200, "what is still possible stays");
});

function answering(...answers) {
    const asked = [];
    const fetch = async (path, options) => {
        asked.push({ path, ...options });
        const next = answers.shift();
        if (next instanceof Error) throw next;
        if (next === "never")
            return new Promise((_, refuse) => options.signal.addEventListener("abort", () => refuse(new Error("aborted"))));
        return new Response(next.body, { status: next.status ?? 200, headers: { Date: "Sun, 06 Nov 1994 08:49:37 GMT", ...next.headers } });
    };
    return { asked, fetch };
}

test("a request carries the token and the revision that was seen", async () => {
    const { asked, fetch } = answering({ body: '{"word": "WAIT"}' });
    const client = new Client({ token: "sw1.a.b", fetch });
    const answer = await client.post("/v1/x", { step: "pull-tray" }, { ifMatch: "3" });
    assert.deepEqual(answer, { status: 200, body: { word: "WAIT" }, problem: null });
    assert.equal(asked[0].headers.Authorization, "Bearer sw1.a.b");
    assert.equal(asked[0].headers["If-Match"], '"3"');
    assert.equal(asked[0].credentials, "omit");
    assert.ok(client.now() >= Date.parse("1994-11-06T08:49:37Z"));
});

test("a refusal is the daemon's own problem; silence and nonsense are problems as well", async () => {
    const { fetch } = answering({ status: 412, body: '{"title": "Precondition Failed", "remedy": "Read it again."}' },
        new Error("no way"), "never", { body: "<html>" });
    const client = new Client({ fetch, answerMs: 20 });
    assert.equal((await client.get("/v1/x")).problem.remedy, "Read it again.");
    const heard = client.heard;
    assert.match((await client.get("/v1/x")).problem.detail, /cannot be reached/);
    assert.match((await client.get("/v1/x")).problem.detail, /in time/);
    assert.equal(client.heard, heard, "silence is not heard");
    assert.match((await client.get("/v1/x")).problem.remedy, /in its place/);
});

const streamOf = (...pieces) => new ReadableStream({
    start(controller) {
        for (const piece of pieces) controller.enqueue(new TextEncoder().encode(piece));
        controller.close();
    },
});

test("events are put together from whatever pieces they come in", async () => {
    const whole = 'id: 8\ndata: {"text": "25 °C: ok"}\n\n:\n\nid: 10u\ndata: {}\n\nid: 12\ndata: {"cut';
    const bytes = new TextEncoder().encode(whole);
    for (let cut = 0; cut <= bytes.length; cut += 7) {
        const stream = new ReadableStream({
            start(controller) {
                controller.enqueue(bytes.slice(0, cut));
                controller.enqueue(bytes.slice(cut));
                controller.close();
            },
        });
        const seen = [];
        for await (const event of events(stream)) seen.push(event);
        assert.deepEqual(seen, [{ id: "8", data: '{"text": "25 °C: ok"}' }, { id: "10u", data: "{}" }]);
    }
});

test("a stream that breaks is followed on from its last event until nothing will change any more", async () => {
    const { asked, fetch } = answering({ body: streamOf("id: 8\ndata: 1\n\n") }, new Error("no way"), { body: streamOf("id: 10\ndata: 2\n\n") });
    const ending = async (path, options) => (asked.length < 3 ? fetch(path, options) : (asked.push(options), new Response(null, { status: 204 })));
    const seen = [];
    await new Client({ fetch: ending }).follow("/v1/x/changes", (data) => seen.push(data), { pauseMs: 0 });
    assert.deepEqual(seen, [1, 2]);
    assert.deepEqual(asked.map((each) => each.headers["Last-Event-ID"]), [undefined, "8", "8", "10"]);
});
