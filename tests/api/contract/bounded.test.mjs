// Clients that are slow, many, half gone or too large, all at once: others are answered meanwhile, and nothing stays.
import assert from "node:assert/strict";
import { once } from "node:events";
import { connect } from "node:net";
import { after, before, test } from "node:test";

import { Site } from "../../browser/site.mjs";
import { ask } from "./client.mjs";
import { Held, ofTheAsker } from "./held.mjs";
import { responses } from "./raw.mjs";

const streams = process.env.SLOTWITNESS_LONG ? 10_000 : 1_000;
const streamsOfOneToken = 32; // limits.hpp

let site, held, other;
before(async () => {
    site = await Site.start();
    held = new Held(site);
    other = site.token("O. Ther", "viewer"); // each token has its own pace
});
after(() => site?.stop());

/// A socket that keeps what comes.
function dial() {
    const { hostname, port } = new URL(site.url);
    const socket = connect({ host: hostname, port, allowHalfOpen: true });
    socket.received = [];
    socket.on("data", (part) => socket.received.push(part));
    socket.on("error", () => {}); // a reset is an end as well
    socket.closed_ = once(socket, "close");
    return socket;
}
const told = (socket) => responses(Buffer.concat(socket.received));

/// What others see: a page's and a program's requests.
async function othersAreAnswered() {
    assert.equal((await ask(site.url, { path: "/livez" })).status, 200);
    assert.equal((await ask(site.url, { path: "/v1/chassis/edge-7", token: other })).status, 200);
}

/// Does it twice; what is left after the first time is left after the second, and no more.
async function nothingStays(t, wave) {
    await wave();
    await held.settled();
    const first = held.now();
    await wave();
    await held.settled();
    const second = held.now();
    t.diagnostic(`resident after the first time ${first.kilobytes} kB, after the second ${second.kilobytes} kB`);
    assert.ok(second.descriptors <= first.descriptors + ofTheAsker, `${first.descriptors} descriptors, then ${second.descriptors}`);
    assert.ok(second.kilobytes < first.kilobytes + 4 * 1024, `${first.kilobytes} kB, then ${second.kilobytes} kB`);
}

test("requests that trickle are cut at their deadline, however often a byte comes", async (t) => {
    const heads = Array.from({ length: 200 }, () => ({ socket: dial(), head: "GET /livez HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " }));
    const bodies = Array.from({ length: 200 }, () => ({
        socket: dial(),
        head: `POST /v1/gates HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer ${site.engineer}\r\n` +
            "Content-Type: application/json\r\nContent-Length: 60000\r\n\r\n",
    }));
    const all = [...heads, ...bodies];
    for (const { socket, head } of all) socket.write(head);
    const trickle = setInterval(() => all.forEach(({ socket }) => socket.writable && socket.write("x")), 250);
    t.after(() => {
        clearInterval(trickle);
        for (const { socket } of all) socket.destroy();
    });
    await othersAreAnswered();
    for (const { socket } of all) socket.on("end", () => socket.end());
    await Promise.all(all.map(({ socket }) => socket.closed_));
    const statuses = all.map(({ socket }) => told(socket).map((each) => each.status).join());
    // Of one token only so many come at once; the others are told so before their body comes.
    assert.deepEqual([...new Set(statuses.slice(0, heads.length))], ["408"]);
    assert.ok(statuses.slice(heads.length).every((status) => ["408", "429"].includes(status)), statuses.join(" "));
    assert.ok(statuses.slice(heads.length).includes("408"));
    await othersAreAnswered();
});

test("who has ended his own direction and waits gets what there is now", async (t) => {
    await nothingStays(t, async () => {
        const opened = await ask(site.url, { method: "POST", path: "/v1/gates", token: site.engineer,
            body: { chassis: "edge-7", sentence: "plane 3 down" } });
        const path = opened.headers.location;
        const tokens = Array.from({ length: 4 }, (_, i) => site.token(`W. Aiter ${i}`, "viewer"));
        const all = Array.from({ length: 400 }, (_, i) => {
            const socket = dial();
            socket.end(`GET ${path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer ${tokens[i % 4]}\r\nPrefer: wait=300\r\n\r\n`);
            return socket;
        });
        await Promise.all(all.map((socket) => socket.closed_));
        assert.deepEqual([...new Set(all.map((socket) => told(socket).map((each) => each.status).join()))], ["200"]);
        await ask(site.url, { method: "DELETE", path, token: site.engineer });
    });
});

test("connections that are opened and reset leave nothing", async (t) => {
    await nothingStays(t, async () => {
        const all = Array.from({ length: 400 }, (_, i) => {
            const socket = dial();
            socket.on("connect", () => {
                if (i % 2) socket.write("POST /v1/gates HTTP/1.1\r\nHost: 127", () => socket.resetAndDestroy());
                else socket.resetAndDestroy();
            });
            return socket;
        });
        await Promise.all(all.map((socket) => socket.closed_));
        await othersAreAnswered();
    });
});

test(`${streams} event streams that idle each get the change, and others are answered meanwhile`, async (t) => {
    const tokens = Array.from({ length: Math.ceil(streams / streamsOfOneToken) }, (_, i) => site.token(`S. Tream ${i}`, "viewer"));
    await nothingStays(t, async () => {
        const opened = await ask(site.url, { method: "POST", path: "/v1/gates", token: site.engineer,
            body: { chassis: "edge-7", sentence: "plane 3 down" } });
        const path = opened.headers.location;
        const before = held.now();
        const all = [];
        for (let i = 0; i < streams; ++i) {
            const socket = dial();
            socket.write(`GET ${path}/changes HTTP/1.1\r\nHost: 127.0.0.1\r\n` +
                `Authorization: Bearer ${tokens[Math.floor(i / streamsOfOneToken)]}\r\n\r\n`);
            socket.on("end", () => socket.end());
            all.push(socket);
            if (i % 100 === 99) await Promise.all(all.slice(-100).map(firstEvent)); // the system queues no more connections
        }
        t.diagnostic(`${Math.round((held.now().kilobytes - before.kilobytes) / streams)} kB a stream`);
        assert.equal(await held.metric("slotwitness_event_streams"), streams);
        await othersAreAnswered();
        await ask(site.url, { method: "DELETE", path, token: site.engineer });
        await Promise.all(all.map((socket) => socket.closed_));
        const last = all.filter((socket) => !/"verdict":\s*"cancelled"/.test(Buffer.concat(socket.received).toString()));
        assert.equal(last.length, 0, "each was told the end");
    });
});

const hasEvent = (socket) => socket.received.some((part) => part.includes("\ndata: "));
async function firstEvent(socket) {
    while (!hasEvent(socket)) await Promise.race([once(socket, "data"), socket.closed_.then(() => assert.fail(Buffer.concat(socket.received).toString()))]);
}
