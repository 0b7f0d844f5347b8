// What it costs to watch many chassis at once: a daemon as built, simulated chassis in other processes, everything on the
// loopback. Prints a table, or JSON with --json; --quick runs the smallest number alone, for a short while.
import { execFileSync } from "node:child_process";
import { closeSync, mkdtempSync, openSync, readdirSync, readFileSync, readSync, rmSync, statSync, writeFileSync } from "node:fs";
import { Agent, request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";

import { fixtures, orders, started, stopped } from "../../browser/site.mjs";
import { quantile, report } from "../table.mjs";

const quick = process.argv.includes("--quick");
const numbers = quick ? [10] : [10, 100, 1_000];
const interval = 5_000; // ms between looks, of two queries each
const seconds = quick ? 11 : 60; // that are measured
const inAProcess = 250; // chassis
const patience = 300_000; // ms, for what has no bound of its own
const sentence = "plane 3 shut and module FAB3 shut"; // two queries, and it is not so

/// Chassis in processes of their own, and a daemon that watches them all.
class Network {
    folder = mkdtempSync(join(tmpdir(), "slotwitness-scale-"));
    processes = [];
    file = (name) => join(this.folder, name);

    static async start(count) {
        const network = new Network();
        try {
            execFileSync("ssh-keygen", ["-q", "-t", "ed25519", "-N", "", "-f", network.file("watcher_key")]);
            for (let begin = 0; begin < count; begin += inAProcess) await network.#startChassis(begin, Math.min(inAProcess, count - begin));
            network.#configure();
            const { child, line } = await started("slotwitness", ["serve", "--config", network.file("site.toml")]);
            network.daemon = child;
            network.url = new URL(line.slice(line.indexOf("http")));
            return network;
        } catch (error) {
            await network.stop();
            throw error;
        }
    }

    async #startChassis(begin, count) {
        const name = `c${begin}`;
        const { child, line } = await started("slotwitness-chassis", ["--chassis", String(count), "--name", name,
            "--serial", `QL4${String(begin).padStart(7, "0")}`, "--host-key", this.file(`${name}_key`), "--authorized-keys", this.file("watcher_key.pub"),
            "--control", this.file(`${name}.control`), "--record", this.file(`${name}.record`)]);
        this.processes.push({ child, name, chassis: JSON.parse(line).chassis, read: 0, rest: "" });
    }

    #configure() {
        const all = this.chassis;
        writeFileSync(this.file("known_hosts"), all.map(({ port, host_key }) => `[127.0.0.1]:${port} ${host_key}\n`).join(""));
        writeFileSync(this.file("profile.toml"), readFileSync(join(fixtures, "quillon/profile.toml"), "utf8"));
        writeFileSync(this.file("site.toml"), `[daemon]\nlisten = "127.0.0.1:0"\njournal = "journal.sqlite"\n` + all.map(({ name, port, serial }) => `
[[chassis]]
name = "${name}"
profile = "profile.toml"
address = "127.0.0.1"
port = ${port}
user = "watcher"
key = "watcher_key"
known-hosts = "known_hosts"
serial = "${serial}"
pace = { pending = "${interval} ms", idle = "1 h" }
`).join(""));
    }

    get chassis() {
        return this.processes.flatMap((process) => process.chassis);
    }

    async stop() {
        await Promise.all([this.daemon, ...this.processes.map(({ child }) => child)].map(stopped));
        rmSync(this.folder, { recursive: true, force: true });
    }

    agent = new Agent({ keepAlive: true, maxSockets: 16 });
    api(method, path, body) {
        const text = body && JSON.stringify(body);
        return new Promise((resolve, reject) => {
            const asking = request({ hostname: this.url.hostname, port: this.url.port, agent: this.agent, method, path,
                headers: text && { "Content-Type": "application/json", "Content-Length": Buffer.byteLength(text) } }, (response) => {
                const parts = [];
                response.on("data", (part) => parts.push(part)).on("end", () => {
                    const told = Buffer.concat(parts).toString();
                    response.statusCode < 300 ? resolve(JSON.parse(told)) : reject(new Error(`${method} ${path}: ${response.statusCode} ${told}`));
                });
            });
            asking.on("error", reject).end(text);
        });
    }

    /// What the chassis themselves recorded since the last call: every command that reached them.
    commands() {
        const all = [];
        for (const process of this.processes) {
            const file = this.file(`${process.name}.record`);
            const bytes = Buffer.alloc(statSync(file).size - process.read);
            const descriptor = openSync(file, "r");
            readSync(descriptor, bytes, 0, bytes.length, process.read);
            closeSync(descriptor);
            process.read += bytes.length;
            const lines = (process.rest + bytes.toString()).split("\n");
            process.rest = lines.pop();
            for (const line of lines) if (line.includes('"exec"')) all.push(JSON.parse(line));
        }
        return all;
    }

    /// Waits until each chassis was asked one of these at or after `since`; gives the instant of the last one's first.
    async allAsked(commands, since) {
        const first = new Map();
        const end = Date.now() + patience;
        while (first.size < this.chassis.length) {
            if (Date.now() > end) throw new Error(`${this.chassis.length - first.size} chassis were not asked within ${patience / 1_000} s`);
            await pause(20);
            for (const { time, chassis, bytes } of this.commands())
                if (time >= since && commands.includes(bytes) && !first.has(chassis)) first.set(chassis, time);
        }
        return Math.max(...first.values());
    }

    /// Every connection ends at once.
    async cutAll() {
        await Promise.all(this.processes.map((each) => orders(this.file(`${each.name}.control`),
            each.chassis.map(({ name }) => (each.chassis.length === 1 ? "drop sessions" : `at ${name} drop sessions`)))));
    }

    /// Seconds that all threads of the daemon have computed, in user space and in the kernel for them (schedstat, first field).
    computed() {
        const tasks = `/proc/${this.daemon.pid}/task`;
        return readdirSync(tasks).reduce((sum, task) => sum + Number(readFileSync(`${tasks}/${task}/schedstat`, "utf8").split(" ")[0]) / 1e9, 0);
    }
    resident() {
        return Number(/^VmRSS:\s+(\d+)/m.exec(readFileSync(`/proc/${this.daemon.pid}/status`, "utf8"))[1]) * 1024;
    }
}

/// Opens a gate on each chassis; the paths.
async function openGates(network) {
    const waiting = network.chassis.map(({ name }) => name);
    const paths = [];
    await Promise.all(Array.from({ length: 16 }, async () => {
        for (let name; (name = waiting.pop()); ) paths.push(`/v1/gates/${(await network.api("POST", "/v1/gates", { chassis: name, sentence })).id}`);
    }));
    return paths;
}

/// Reads gate after gate until the time is over; ms each.
async function readMeanwhile(network, paths, until) {
    const times = [];
    for (let i = 0; Date.now() < until; ++i) {
        const begun = performance.now();
        await network.api("GET", paths[i % paths.length]);
        times.push(performance.now() - begun);
        await pause(20);
    }
    return times;
}

/// Looks that began more than two intervals after the one before, in so many ms of all chassis.
function late(looks, names, begin, end) {
    const times = new Map(names.map((name) => [name, [begin]]));
    for (const { time, chassis } of looks) times.get(chassis).push(time);
    let count = 0;
    for (const each of times.values()) {
        each.push(end);
        for (let i = 1; i < each.length; ++i) if (each[i] - each[i - 1] > 2 * interval) ++count;
    }
    return count;
}

let smallest; // number and memory of the first run: what a daemon takes by itself is not a chassis'
async function measure(count, entries) {
    const begun = Date.now();
    const network = await Network.start(count);
    const add = (what, unit, ours, wanted = {}) => entries.push({ what: `${count} chassis: ${what}`, unit, ours, ...wanted });
    try {
        // Connected, and looked at wholly once: the queries of an idle look come in the profile's order, ports among the last.
        add("start until all are looked at", "s", ((await network.allAsked(["tell planes"], begun)) - begun) / 1_000);
        const paths = await openGates(network);
        await network.allAsked(["tell modules"], Date.now());
        await pause(interval); // the looks that the opening brought at once are over
        network.commands();

        const begin = Date.now();
        const before = network.computed();
        await pause(seconds * 1_000);
        const hours = (count * (Date.now() - begin)) / 3_600_000;
        const computed = network.computed() - before; // what reading gates takes is not in it
        const reads = await readMeanwhile(network, paths, Date.now() + 10_000);
        const end = Date.now();
        add("computing a chassis-hour", "s", computed / hours, count === 1_000 ? { at_most: 1_800 / 1_000 } : {});
        const looks = network.commands().filter(({ bytes }) => bytes === "tell planes");
        const memory = network.resident();
        smallest ??= { count, memory };
        if (count > smallest.count)
            add("memory a chassis", "KB", (memory - smallest.memory) / (count - smallest.count) / 1_000, count === 1_000 ? { at_most: 120 } : {});
        add("gate read meanwhile, p99", "ms", quantile(reads, 0.99));
        add("looks", "1/s", looks.length / ((end - begin) / 1_000));
        add("looks late by more than an interval", "", late(looks, network.chassis.map(({ name }) => name), begin, end), { at_most: 0 });

        const cut = Date.now();
        await network.cutAll();
        add("all links cut, until all are looked at again", "s", ((await network.allAsked(["tell planes"], cut + 1)) - cut) / 1_000, { at_most: 60 });
    } finally {
        await network.stop();
    }
}

const entries = [];
for (const count of numbers) await measure(count, entries);
report(entries, [
    `Each chassis has a pending gate whose look asks two queries, every ${interval / 1_000} s, for ${seconds} s. What reached a chassis, and when, is what that ` +
    "chassis recorded. Computing is that of all of the daemon's threads with the kernel's for them; half a core for 1,000 chassis is 1.8 s a chassis-hour. " +
    `Memory is resident, above that of a daemon with ${numbers[0]} chassis. Chassis and client compute on the same machine, so their share is missing to the daemon.`,
], { quick, json: process.argv.includes("--json") });
