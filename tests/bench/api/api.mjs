// The API under load, measured at the daemon as built: gate reads beside nginx with the same bytes as a static file, and
// what it costs to have many wait. Prints a table, or JSON with --json; --quick shows that all of it runs.
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { Agent, request } from "node:http";
import { connect } from "node:net";

import { Site } from "../../browser/site.mjs";
import { median, quantile, report } from "../table.mjs";

const quick = process.argv.includes("--quick");
const rounds = quick ? 1 : 7;
const seconds = quick ? 1 : 4;
const crowds = quick ? [100] : [1_000, 10_000];
const [serverCore, clientCore] = ["0", "1"];
const nginx = process.env.SLOTWITNESS_NGINX ?? "/usr/sbin/nginx";
const wrk = process.env.SLOTWITNESS_WRK ?? "wrk";

const pin = (pid, core) => execFileSync("taskset", ["-a", "-p", "-c", core, String(pid)], { stdio: "ignore" });
const residentKilobytes = (pid) => Number(/^VmRSS:\s+(\d+)/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"))[1]);

/// A site that takes no tokens: a token's pace is not what is measured.
async function openSite() {
    const site = await Site.start();
    await site.killDaemon();
    writeFileSync(site.file("site.toml"), readFileSync(site.file("site.toml"), "utf8").replace('tokens = "tokens"\n', ""));
    await site.startDaemon();
    await site.seen();
    return site;
}

async function openGate(site) {
    const { body } = await site.api("POST", "/v1/gates", { chassis: "edge-7", sentence: "plane 3 down" });
    return `/v1/gates/${body.id}`;
}

/// One that serves the folder; a worker, no log, as its own manual advises for static files.
async function startNginx(site) {
    const folder = site.file("static");
    mkdirSync(folder);
    const port = 20_000 + (process.pid % 20_000);
    writeFileSync(site.file("nginx.conf"), `
${process.getuid() === 0 ? "user root; " : ""}daemon off; worker_processes 1; error_log stderr crit; pid ${site.file("nginx.pid")};
events { worker_connections 1024; }
http {
    access_log off; sendfile on; tcp_nodelay on; keepalive_requests 1000000000; open_file_cache max=10;
    types { } default_type application/json;
    client_body_temp_path ${folder}/b; proxy_temp_path ${folder}/p; fastcgi_temp_path ${folder}/f; uwsgi_temp_path ${folder}/u; scgi_temp_path ${folder}/s;
    server { listen 127.0.0.1:${port}; root ${folder}; }
}`);
    const child = spawn(nginx, ["-c", site.file("nginx.conf"), "-e", "stderr"], { stdio: ["ignore", "ignore", "inherit"] });
    const url = `http://127.0.0.1:${port}`;
    for (;;) {
        try {
            await fetch(url);
            break;
        } catch {
            if (child.exitCode !== null) throw new Error("nginx did not start");
        }
    }
    const workers = execFileSync("pgrep", ["-P", String(child.pid)], { encoding: "utf8" }).trim().split("\n");
    const [worker] = workers;
    pin(worker, serverCore);
    return { child, url, folder, worker };
}

/// Seconds that the process has computed, in user space and in the kernel for it (the kernel's schedstat, first field).
const computed = (pid) => Number(readFileSync(`/proc/${pid}/schedstat`, "utf8").split(" ")[0]) / 1e9;

/// Requests a second that the server computed, at 32 connections.
function readsPerSecond(url, pid) {
    const before = computed(pid);
    const told = execFileSync("taskset", ["-c", clientCore, wrk, "-t1", "-c32", `-d${seconds}s`, url], { encoding: "utf8" });
    if (/Non-2xx/.test(told)) throw new Error(told);
    return Number(/(\d+) requests in/.exec(told)[1]) / (computed(pid) - before);
}

async function besideNginx(site, entries) {
    const path = await openGate(site);
    const server = await startNginx(site);
    try {
        const body = await (await fetch(site.url + path)).text();
        writeFileSync(`${server.folder}/gate`, body);
        pin(site.daemon.pid, serverCore);
        const ours = [], theirs = [];
        for (let round = 0; round < rounds; ++round) {
            ours.push(readsPerSecond(site.url + path, site.daemon.pid));
            theirs.push(readsPerSecond(`${server.url}/gate`, server.worker));
        }
        const ratio = median(ours.map((each, i) => each / theirs[i]));
        entries.push({ what: `gate reads at 32 connections, ${body.length} bytes`, unit: "1/s", ours: median(ours), peer: "nginx, static file",
            theirs: median(theirs), ratio, at_least: 1.0 });
    } finally {
        server.child.kill();
        await once(server.child, "exit");
        await site.api("DELETE", path);
    }
}

/// One that follows the gate, from an address of its own for each few, since one asker may have so many streams.
function follow(site, path, i) {
    const { hostname, port } = new URL(site.url);
    const n = Math.floor(i / 32);
    const socket = connect({ host: hostname, port, localAddress: `127.1.${Math.floor(n / 250)}.${1 + (n % 250)}` });
    socket.write(`GET ${path}/changes HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n`);
    const first = new Promise((resolve, reject) => {
        socket.on("error", reject);
        socket.once("data", (part) => (/^HTTP\/1.1 200/.test(part) ? resolve() : reject(new Error(String(part)))));
    });
    return { socket, first };
}

async function readsOneByOne(site, path, count) {
    const agent = new Agent({ keepAlive: true, maxSockets: 1 });
    const { hostname, port } = new URL(site.url);
    const times = [];
    for (let i = 0; i < count; ++i) {
        const begun = performance.now();
        await new Promise((resolve, reject) => {
            request({ hostname, port, path, agent }, (response) => response.resume().on("end", resolve)).on("error", reject).end();
        });
        times.push(performance.now() - begun);
    }
    agent.destroy();
    return times;
}

async function waiting(site, crowd, entries) {
    const path = await openGate(site);
    const other = await openGate(site);
    const before = residentKilobytes(site.daemon.pid);
    const clients = [];
    for (let i = 0; i < crowd; ++i) {
        clients.push(follow(site, path, i));
        if (i % 100 === 99) await Promise.all(clients.slice(-100).map((each) => each.first));
    }
    await Promise.all(clients.map((each) => each.first));
    const each = ((residentKilobytes(site.daemon.pid) - before) * 1024) / crowd;
    const reads = await readsOneByOne(site, other, quick ? 100 : 2_000);
    let begun = 0;
    const told = clients.map(({ socket }) => new Promise((resolve) => {
        socket.on("data", (part) => part.includes('"cancelled"') && resolve(performance.now() - begun));
    }));
    begun = performance.now();
    await site.api("DELETE", path);
    const times = await Promise.all(told);
    for (const { socket } of clients) socket.destroy();
    await site.api("DELETE", other);
    const named = `${crowd} waiting clients`;
    entries.push({ what: `${named}: finding to event, p50`, unit: "ms", ours: quantile(times, 0.5), ...(crowd === 1_000 && { at_most: 50 }) });
    entries.push({ what: `${named}: finding to event, p99`, unit: "ms", ours: quantile(times, 0.99), ...(crowd === 1_000 && { at_most: 50 }) });
    entries.push({ what: `${named}: memory each`, unit: "bytes", ours: each, at_most: 24 * 1024 });
    entries.push({ what: `${named}: gate read meanwhile, p99`, unit: "ms", ours: quantile(reads, 0.99), at_most: 20 });
}

/// Reads while other clients are a burden: they trickle their requests, or have ended their direction and listen on.
async function burdened(site, kind, count, entries) {
    const path = await openGate(site);
    const crowd = spawn(process.execPath, [new URL("crowd.mjs", import.meta.url).pathname, kind, site.url + path, String(count)], {
        stdio: ["ignore", "pipe", "inherit"],
    });
    try {
        await once(crowd.stdout, "data");
        pin(crowd.pid, clientCore);
        const reads = await readsOneByOne(site, path, quick ? 100 : 5_000);
        entries.push({ what: `${count} ${kind} clients: gate read meanwhile, p99`, unit: "ms", ours: quantile(reads, 0.99), at_most: 20 });
    } finally {
        crowd.kill();
        await once(crowd, "exit");
        await site.api("DELETE", path);
    }
}

const entries = [];
const site = await openSite();
try {
    await besideNginx(site, entries);
    for (const crowd of crowds) await waiting(site, crowd, entries);
    for (const kind of ["slow", "half-closed"]) await burdened(site, kind, quick ? 50 : 1_000, entries);
} finally {
    await site.stop();
}
const notes = [
    "Daemon and nginx have one thread each and the same core, the client another; they take turns; seconds are those that each computed, with the kernel's for it. The daemon checks the age of each answer " +
    "and has its security fields; the body it makes once a look. nginx sends a file that it keeps open.",
    "The finding is that of a deletion, from the request on: it is recorded durably before its event is sent, so the disk counts. All clients are one program of one thread, so what it takes to read " +
    "10,000 sockets counts as well.",
];
report(entries, notes, { quick, json: process.argv.includes("--json") });
