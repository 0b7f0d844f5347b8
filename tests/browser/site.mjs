// A folder with keys, and in it a simulated chassis and a daemon with tokens, each a process of its own, as built.
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

const bin = process.env.SLOTWITNESS_BIN;
if (!bin) throw new Error("SLOTWITNESS_BIN must name the folder of the built programs");
const program = (name) => join(bin, name);
export const fixtures = new URL("../../fixtures/", import.meta.url).pathname;

/// What is given with a procedure, as for the rehearsal of a good day.
const rehearsals = { "replace-fabric-module": "good-day", "replace-fan-tray": "good-fan-tray" };
function argumentsOf(procedure) {
    const text = readFileSync(join(fixtures, "quillon/rehearsals", `${rehearsals[procedure]}.toml`), "utf8");
    const lines = text.slice(text.indexOf("[arguments]"), text.indexOf("[orders]")).matchAll(/^([a-z-]+) *= *"(.*)"$/gm);
    return Object.fromEntries([...lines].map(([, name, value]) => [name, value]));
}

/// A program whose first line of output says that it is ready; its errors go to the test's own.
export async function started(name, args) {
    const child = spawn(program(name), args, { stdio: ["ignore", "pipe", "pipe"] });
    let errors = "";
    child.stderr.on("data", (bytes) => (errors += bytes));
    const lines = createInterface({ input: child.stdout });
    const first = await Promise.race([once(lines, "line"), once(child, "exit").then(() => null)]);
    if (!first) throw new Error(`${name} did not start: ${errors}`);
    return { child, line: first[0], errors: () => errors };
}

/// Ends it at once; one that has ended, or never began, is let be.
export async function stopped(child) {
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, "exit");
    child.kill("SIGKILL");
    await gone;
}

/// Orders to simulated chassis over their control socket, one after the other; fails if one is not done.
export async function orders(control, lines) {
    const socket = connect(control);
    const answers = createInterface({ input: socket });
    for (const line of lines) {
        socket.write(`${line}\n`);
        const [answer] = await once(answers, "line");
        if (!JSON.parse(answer).done) throw new Error(`${line}: ${answer}`);
    }
    socket.end();
}

export class Site {
    folder = mkdtempSync(join(tmpdir(), "slotwitness-pages-"));
    file = (name) => join(this.folder, name);

    /// `undo`: how long a confirmation can be taken back. Every hold of the procedure is 300 ms, so that a test is short.
    /// `chassis`: more lines of its configuration.
    static async start({ procedure = "replace-fabric-module", undo = "0 s", speed = 3, chassis = "" } = {}) {
        const site = new Site();
        Object.assign(site, { speed, more: chassis });
        try {
            site.#write(procedure, undo);
            await site.#startChassis();
            site.#configure(procedure);
            site.engineer = site.token("G. Far", "engineer");
            await site.startDaemon();
            await site.seen();
            return site;
        } catch (error) {
            await site.stop();
            throw error;
        }
    }

    #write(procedure, undo) {
        for (const key of ["host_key", "watcher_key"])
            execFileSync("ssh-keygen", ["-q", "-t", "ed25519", "-N", "", "-f", this.file(key)]);
        const text = readFileSync(join(fixtures, "quillon/procedures", `${procedure}.toml`), "utf8");
        writeFileSync(this.file(`${procedure}.toml`),
            text.replaceAll(/for \d+ s within/g, "for 300 ms within").replace("[procedure]", `[procedure]\nundo = "${undo}"`));
    }

    async #startChassis() {
        const { child, line } = await started("slotwitness-chassis", [
            "--port", "0", "--name", "edge-7", "--serial", "QL40000017", "--host-key", this.file("host_key"),
            "--authorized-keys", this.file("watcher_key.pub"), "--control", this.file("control"),
            "--refresh", "200ms", "--boot-time", "2s", "--speed", String(this.speed)]);
        this.chassis = child;
        this.chassisPort = JSON.parse(line).port;
    }

    #configure(procedure) {
        const key = readFileSync(this.file("host_key.pub"), "utf8").split(" ").slice(0, 2).join(" ");
        writeFileSync(this.file("known_hosts"), `[127.0.0.1]:${this.chassisPort} ${key}\n`);
        // The profile tells for how long an answer may be older than the asking; here the chassis renews faster.
        const profile = readFileSync(join(fixtures, "quillon/profile.toml"), "utf8");
        writeFileSync(this.file("profile.toml"), profile.replaceAll(/refresh( *)= "2 s"/g, 'refresh$1= "200 ms"'));
        writeFileSync(this.file("site.toml"), `
[daemon]
listen = "127.0.0.1:${this.port ?? 0}"
journal = "journal.sqlite"
tokens = "tokens"
procedures = ["${procedure}.toml"]
reconnect-first = "200 ms"
reconnect-longest = "1 s"
[[chassis]]
name = "edge-7"
profile = "profile.toml"
address = "127.0.0.1"
port = ${this.chassisPort}
user = "watcher"
key = "watcher_key"
known-hosts = "known_hosts"
serial = "QL40000017"
${this.more}
[chassis.pace]
pending = "200 ms"
idle = "1 s"
`);
        this.procedureName = procedure;
    }

    async startDaemon() {
        const { child, line, errors } = await started("slotwitness", ["serve", "--config", this.file("site.toml")]);
        this.daemon = child;
        this.daemonErrors = errors;
        this.url = line.slice(line.indexOf("http"));
        if (!this.port) { // the same one after a restart, for the pages keep their address
            this.port = Number(new URL(this.url).port);
            this.#configure(this.procedureName);
        }
    }

    async killDaemon() {
        const gone = once(this.daemon, "exit");
        this.daemon.kill("SIGKILL");
        await gone;
    }

    async stop() {
        for (const child of [this.daemon, this.chassis]) await stopped(child);
        rmSync(this.folder, { recursive: true, force: true });
    }

    token(person, role, procedure) {
        const more = procedure ? ["--procedure", procedure] : [];
        const told = execFileSync(program("slotwitness"), ["token", "make", "--config", this.file("site.toml"),
            "--name", person, "--role", role, ...more, "--json"], { encoding: "utf8" });
        return JSON.parse(told).token;
    }

    /// One order to the simulated chassis; fails if it is not done.
    order = (line) => orders(this.file("control"), [line]);

    async api(method, path, body, fields = {}) {
        const response = await fetch(this.url + path, {
            method, body: body && JSON.stringify(body),
            headers: { Authorization: `Bearer ${this.engineer}`, ...(body && { "Content-Type": "application/json" }), ...fields },
        });
        const text = await response.text();
        if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${text}`);
        return { body: JSON.parse(text), etag: response.headers.get("ETag") };
    }

    /// Waits until the daemon has seen the chassis, since names are checked against what was seen.
    async seen() {
        const gate = await this.api("POST", "/v1/gates", { chassis: "edge-7",
            sentence: "every fan-tray operational and every module operational and every plane up and " +
                "every power-supply operational and sensor inlet present within 30 s" });
        const path = `/v1/gates/${gate.body.id}`;
        const told = await this.api("GET", path, undefined, { Prefer: "wait=30" });
        if (told.body.verdict !== "pass") throw new Error(`the chassis is not seen: ${JSON.stringify(told.body)}`);
        await this.api("DELETE", path);
    }

    /// Opens the procedure; gives its id.
    async open(given = {}) {
        const { body } = await this.api("POST", "/v1/procedures",
            { chassis: "edge-7", procedure: this.procedureName, ticket: "T-1207",
                arguments: { ...argumentsOf(this.procedureName), ...given } });
        return body.id;
    }

    /// Waits with the API's own wait until `holds` is true of the procedure, and gives it.
    async until(id, holds) {
        let told = await this.api("GET", `/v1/procedures/${id}`);
        while (!holds(told.body)) {
            const response = await fetch(`${this.url}/v1/procedures/${id}`, {
                headers: { Authorization: `Bearer ${this.engineer}`, Prefer: "wait=20", "If-None-Match": told.etag } });
            if (response.status === 304) throw new Error(`it stays so: ${told.body.word} ${told.body.text}`);
            told = { body: await response.json(), etag: response.headers.get("ETag") };
        }
        return told.body;
    }

    /// The engineer releases the step as soon as the device reports what it waits for.
    async release(id, step) {
        const now = await this.until(id, (seen) => seen.step === step && seen.word === "WAIT" &&
            /engineer has not released/.test(seen.text) || stageOf(seen, step) === "released");
        if (stageOf(now, step) !== "released") await this.actOn(id, "releases", now, step);
    }

    /// The engineer's own "done".
    async confirm(id, step, more = {}) {
        await this.actOn(id, "confirmations", await this.until(id, (seen) => stageOf(seen, step) === "released"), step, more);
    }

    async close(id, outcome, more = {}) {
        await this.api("POST", `/v1/procedures/${id}/acts`, { act: "close", outcome, ...more });
    }

    async actOn(id, what, seen, step, more = {}) {
        const revision = stepOf(seen, step).revision;
        await this.api("POST", `/v1/procedures/${id}/${what}`, { step, ...more }, { "If-Match": `"${revision}"` });
    }
}

export const stepOf = (procedure, name) => [...procedure.steps, ...procedure.back_out].find((step) => step.name === name);
export const stageOf = (procedure, name) => stepOf(procedure, name).stage;
