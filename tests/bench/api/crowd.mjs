// Clients that are a burden: a process of its own, so that who measures beside them does not wait for them.
// node crowd.mjs slow|half-closed URL COUNT: says "ready" once all have connected, and goes on until it is ended.
import { connect } from "node:net";

const [kind, url, count] = process.argv.slice(2);
const { hostname, port, pathname } = new URL(url);
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

/// A head that comes byte by byte, until the daemon has had enough of it.
async function slow(socket) {
    socket.write(`GET ${pathname} HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Long: `);
    while (socket.writable) {
        await pause(1_000);
        if (socket.writable) socket.write("x");
    }
}

/// Asks for a wait, ends its own direction, and listens on.
async function halfClosed(socket) {
    socket.end(`GET ${pathname} HTTP/1.1\r\nHost: 127.0.0.1\r\nPrefer: wait=60\r\n\r\n`);
    await new Promise((done) => socket.on("close", done));
}

const burden = kind === "slow" ? slow : halfClosed;

function come() {
    const socket = connect({ host: hostname, port, allowHalfOpen: true });
    socket.on("error", () => {}); // cut by the daemon: come again
    socket.on("data", () => {});
    socket.on("end", () => socket.end());
    const connected = new Promise((done) => socket.on("connect", done));
    const over = connected.then(() => burden(socket)).then(() => pause(1_000));
    return { connected, over };
}

async function keepComing(first) {
    for (let visit = first; ; visit = come()) await visit.over;
}

const crowd = [];
for (let i = 0; i < Number(count); ++i) {
    crowd.push(come());
    if (i % 100 === 99) await Promise.all(crowd.slice(-100).map((each) => each.connected));
}
await Promise.all(crowd.map((each) => each.connected));
console.log("ready");
await Promise.all(crowd.map(keepComing));
