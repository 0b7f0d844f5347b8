// A certificate that is renewed, or broken, under a running daemon: asked by a TLS client that nobody here wrote.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { chmodSync, copyFileSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { get } from "node:https";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { after, before, test } from "node:test";

const folder = mkdtempSync(join(tmpdir(), "slotwitness-tls-"));
const file = (name) => join(folder, name);
let daemon, url, log;

function certificate(name) {
    execFileSync("openssl", ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2",
        "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1",
        "-keyout", file(`${name}.key`), "-out", file(`${name}.pem`)], { stdio: "ignore" });
    return execFileSync("openssl", ["x509", "-in", file(`${name}.pem`), "-noout", "-fingerprint", "-sha256"], { encoding: "utf8" })
        .trim().split("=")[1];
}

function install(name) {
    copyFileSync(file(`${name}.pem`), file("certificate.pem"));
    copyFileSync(file(`${name}.key`), file("key.pem"));
    chmodSync(file("key.pem"), 0o600);
}

/// The fingerprint of what the daemon shows now, and the fields of its answer.
const asked = () => new Promise((resolve, reject) => {
    get(`${url}/livez`, { rejectUnauthorized: false, agent: false }, (response) => {
        const { fingerprint256 } = response.socket.getPeerCertificate();
        response.resume().on("end", () => resolve({ fingerprint: fingerprint256, fields: response.headers }));
    }).on("error", reject);
});

/// Has the certificate read again, and waits until the log says what came of it.
async function hangUp() {
    daemon.kill("SIGHUP");
    for (;;) {
        const { value, done } = await log.next();
        assert.ok(!done, "the daemon has ended");
        if (value.includes("SIGHUP")) return value;
    }
}

let first;
before(async () => {
    first = certificate("first");
    install("first");
    for (const key of ["host", "watcher"]) execFileSync("ssh-keygen", ["-q", "-t", "ed25519", "-N", "", "-f", file(key)]);
    writeFileSync(file("known_hosts"), "");
    writeFileSync(file("site.toml"), `
[daemon]
listen = "127.0.0.1:0"
journal = "journal.sqlite"
tokens = "tokens"
[daemon.tls]
certificate = "certificate.pem"
key = "key.pem"
[[chassis]]
name = "edge-7"
profile = "${new URL("../../../fixtures/quillon/profile.toml", import.meta.url).pathname}"
address = "127.0.0.1"
port = 9
user = "watcher"
key = "watcher"
known-hosts = "known_hosts"
`);
    const program = join(process.env.SLOTWITNESS_BIN, "slotwitness");
    execFileSync(program, ["token", "make", "--config", file("site.toml"), "--name", "A. Person", "--role", "viewer"],
        { stdio: "ignore" });
    daemon = spawn(program, ["serve", "--config", file("site.toml")], { stdio: ["ignore", "pipe", "pipe"] });
    log = createInterface({ input: daemon.stderr })[Symbol.asyncIterator]();
    const [line] = await once(createInterface({ input: daemon.stdout }), "line");
    url = line.slice(line.indexOf("https"));
});
after(async () => {
    const gone = once(daemon, "exit");
    daemon.kill("SIGKILL");
    await gone;
    rmSync(folder, { recursive: true, force: true });
});

test("a renewed certificate is shown after SIGHUP, a broken one never", async () => {
    const before = await asked();
    assert.equal(before.fingerprint, first);
    assert.match(before.fields["strict-transport-security"], /^max-age=\d{8}$/);

    const second = certificate("second");
    install("second");
    assert.equal((await asked()).fingerprint, first, "not before it is told");
    assert.match(await hangUp(), /was read again/);
    assert.equal((await asked()).fingerprint, second);

    writeFileSync(file("certificate.pem"), "no certificate");
    assert.match(await hangUp(), /the old certificate stays in use: cannot use the certificate/);
    assert.equal((await asked()).fingerprint, second);
    install("second");
    copyFileSync(file("first.key"), file("key.pem")); // not its own
    assert.match(await hangUp(), /the old certificate stays in use: cannot use the key/);
    assert.equal((await asked()).fingerprint, second);

    install("first");
    assert.match(await hangUp(), /was read again/);
    assert.equal((await asked()).fingerprint, first);
});
