// Every kind of answer to every operation, each held to the contract; and the contract held to a linter.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { Site } from "../../browser/site.mjs";
import { ask as askAt, succeeded } from "./client.mjs";
import { contractFile, described, document, faults, operationOf, operations, required } from "./contract.mjs";

const { createConfig, lint } = required("@redocly/openapi-core");

let site;
/// What the site asks for by itself is held to the contract as well.
const fetched = globalThis.fetch;
globalThis.fetch = async (url, options = {}) => {
    const response = await fetched(url, options);
    const method = options.method ?? "GET";
    const type = (response.headers.get("Content-Type") ?? "").split(";")[0];
    const { pathname } = new URL(url);
    const operation = operationOf(method, pathname);
    described(operation, { method, status: response.status, type, body: await response.clone().text() });
    if (response.ok) succeeded.add(operation.id);
    return response;
};

before(async () => { site = await Site.start(); });
after(() => site?.stop());

const ask = (method, path, more = {}) => askAt(site.url, { method, path, token: site.engineer, ...more });
const as = (status, told) => (assert.equal(told.status, status, told.body), told);
const json = (status, told) => JSON.parse(as(status, told).body);

test("the contract passes a linter", async () => {
    // "default" tells every 4xx at once, and the contract has the daemon's own licence.
    const config = await createConfig({ extends: ["recommended"], rules: { "info-license": "off", "operation-4xx-response": "off" } });
    const lines = async (ref) => (await lint({ ref, config })).map((each) => `${each.severity} ${each.ruleId}: ${each.message} ${each.location[0].pointer}`);
    assert.deepEqual(await lines(contractFile), []);
    const broken = site.file("broken.json");
    writeFileSync(broken, JSON.stringify(document).replace('"operationId":"getGate"', '"operationId":"listGates"'));
    assert.match((await lines(broken)).join(), /operation-operationId-unique/);
});

test("the validator sees what is wrong", () => {
    assert.deepEqual(faults("GateWish", { chassis: "edge-7", sentence: "plane 3 up" }), []);
    assert.notDeepEqual(faults("GateWish", { chassis: "edge-7", sentence: "plane 3 up", by: "me" }), []);
    assert.notDeepEqual(faults("Problem", { type: "about:blank", title: "Not Found", status: 404 }), [], "no remedy");
    const told = { method: "GET", status: 200, type: "application/json", body: '{"chassis": [{"name": 7}]}' };
    assert.throws(() => described(operationOf("GET", "/v1/chassis"), told));
    assert.throws(() => described(operationOf("GET", "/v1/chassis"), { ...told, status: 418 }));
    assert.throws(() => described(operationOf("GET", "/v1/chassis"), { ...told, type: "text/html" }));
});

test("chassis, their baseline and their hardware", async () => {
    await ask("GET", "/v1/chassis");
    as(200, await ask("GET", "/v1/chassis/edge-7"));
    as(404, await ask("GET", "/v1/chassis/none"));
    as(200, await ask("GET", "/v1/chassis/edge-7/hardware"));
    const answers = json(200, await ask("GET", "/v1/chassis/edge-7/answers"));
    as(200, await ask("GET", `/v1/chassis/edge-7/answers/${answers.answers[0].asking}`));
    as(404, await ask("GET", "/v1/chassis/edge-7/answers/none"));
    as(200, await ask("GET", "/v1/chassis/edge-7/timeline"));
    as(202, await ask("POST", "/v1/chassis/edge-7/baseline", { body: {} }));
    as(202, await ask("POST", "/v1/chassis/edge-7/session", { body: {} }));
    as(422, await ask("POST", "/v1/chassis/edge-7/baseline", { body: { by: "me" } }));
});

test("gates from their opening to their end", async () => {
    const wish = { chassis: "edge-7", sentence: "plane 3 up for 1 s within 5 min", gap: "5 s", guard: "1 min" };
    const opened = as(201, await ask("POST", "/v1/gates", { body: wish, fields: { "Idempotency-Key": '"once"' } }));
    const again = as(201, await ask("POST", "/v1/gates", { body: wish, fields: { "Idempotency-Key": '"once"' } }));
    const path = opened.headers.location;
    assert.equal(again.headers.location, path);
    as(422, await ask("POST", "/v1/gates", { body: { ...wish, gap: "6 s" }, fields: { "Idempotency-Key": '"once"' } }));
    const decided = as(200, await ask("GET", path, { fields: { Prefer: "wait=30" } }));
    assert.equal(JSON.parse(decided.body).verdict, "pass");
    as(200, await ask("GET", path, { fields: { Accept: "text/plain" } }));
    as(304, await ask("GET", path, { fields: { "If-None-Match": "*" } }));
    as(406, await ask("GET", path, { fields: { Accept: "image/png" } }));
    const event = as(200, await ask("GET", `${path}/changes`));
    assert.deepEqual(faults("Gate", JSON.parse(/^data: (.*)$/m.exec(event.body)[1])), []);
    as(200, await ask("DELETE", path));
    const last = as(200, await ask("GET", `${path}/changes`));
    as(204, await ask("GET", `${path}/changes`, { fields: { "Last-Event-ID": /^id: (.*)$/m.exec(last.body)[1] } }));
    const doomed = json(201, await ask("POST", "/v1/gates", { body: { chassis: "edge-7", sentence: "plane 3 down within 1 s" } }));
    const failed = json(200, await ask("GET", `/v1/gates/${doomed.id}`, { fields: { Prefer: "wait=30" } }));
    assert.equal(failed.verdict, "fail");
    assert.ok(["seen_false", "not_seen"].includes(failed.failure), "by whether a look came within that second");
    for (const sentence of ["plane 3 upp", "plane 99 up", "", 7])
        as(422, await ask("POST", "/v1/gates", { body: { chassis: "edge-7", sentence } }));
});

test("lists in pages, for programs and for people", async () => {
    await ask("POST", "/v1/gates", { body: { chassis: "edge-7", sentence: "plane 4 up within 5 min" } });
    await ask("POST", "/v1/gates", { body: { chassis: "edge-7", sentence: "plane 5 up within 5 min" } });
    const page = json(200, await ask("GET", "/v1/gates?limit=1"));
    assert.equal(page.gates.length, 1);
    json(200, await ask("GET", page.next));
    as(200, await ask("GET", "/v1/gates", { fields: { Accept: "text/plain" } }));
    for (const query of ["limit=0", "limit=1001", "after=none", "x=1"]) {
        const { status } = await ask("GET", `/v1/gates?${query}`);
        assert.ok(status >= 400 && status < 500, `${query}: ${status}`);
    }
    json(200, await ask("GET", "/v1/procedures"));
    as(200, await ask("GET", "/v1/procedures", { fields: { Accept: "text/plain" } }));
});

test("a procedure from its opening to its evidence, which replay verifies", async () => {
    const id = await site.open();
    const path = `/v1/procedures/${id}`;
    await ask("POST", `${path}/acts`, { body: { act: "at-chassis", serial_end: "0017" } });
    as(422, await ask("POST", "/v1/procedures", { body: { chassis: "edge-7", procedure: site.procedureName, arguments: {} } }));
    await site.release(id, "prepare");
    await site.confirm(id, "prepare");
    await site.release(id, "shut-planes");
    for (const order of ["engineer release plane 3", "engineer release plane 4"]) await site.order(order);
    await site.confirm(id, "shut-planes", { on_behalf_of: "T. Rack" });
    as(412, await ask("POST", `${path}/releases`, { body: { step: "shut-module" }, fields: { "If-Match": '"999999"' } }));
    as(428, await ask("POST", `${path}/releases`, { body: { step: "shut-module" } }));
    as(200, await ask("POST", `${path}/acts`, { body: { act: "take-shift" } }));
    const rack = json(201, await ask("POST", `${path}/rack-tokens`, { body: { person: "T. Rack", expires: "2 h" } }));
    as(200, await ask("GET", path, { token: rack.token }));
    as(422, await ask("POST", `${path}/rack-tokens`, { body: { person: "T. Rack", expires: "soon" } }));
    for (const body of [{ act: "dance" }, { step: "prepare" }]) as(422, await ask("POST", `${path}/acts`, { body }));
    as(409, await ask("POST", `${path}/acts`, { body: { act: "waive", component: "module FAB3" } }));
    as(200, await ask("GET", path, { fields: { Accept: "text/plain" } }));
    as(200, await ask("GET", `${path}/sheet`));
    for (const type of ["application/json", "text/html", "text/plain"])
        as(200, await ask("GET", `${path}/card`, { fields: { Accept: type } }));
    const event = as(200, await ask("GET", `${path}/changes`));
    assert.deepEqual(faults("Procedure", JSON.parse(/^data: (.*)$/m.exec(event.body)[1])), []);
    await site.close(id, "closed_degraded", { ticket: "T-1207", reason: "the day ends here" });
    as(409, await ask("POST", `${path}/rack-tokens`, { body: { person: "T. Rack" } }));

    const pack = as(200, await ask("GET", `${path}/evidence`, { token: site.token("A. Uditor", "auditor") }));
    writeFileSync(site.file("evidence.tar"), pack.bytes);
    execFileSync("tar", ["-C", site.folder, "-xf", site.file("evidence.tar")]);
    const program = join(process.env.SLOTWITNESS_BIN, "slotwitness");
    const [chassis] = JSON.parse(execFileSync(program, ["replay", "--json", site.file(`evidence-${id}`)], { encoding: "utf8" }));
    assert.equal(chassis.difference, null);
    assert.deepEqual(chassis.procedures.map((each) => each.id), [id]);
    const report = execFileSync(program, ["report", site.file(`evidence-${id}`), id], { encoding: "utf8" });
    assert.match(report, /the day ends here/);
});

test("a confirmation that is taken back", async () => {
    const slow = await Site.start({ undo: "30 s" });
    try {
        const id = await slow.open();
        const there = (method, path, more = {}) => askAt(slow.url, { method, path, token: slow.engineer, ...more });
        await there("POST", `/v1/procedures/${id}/acts`, { body: { act: "at-chassis", serial_end: "0017" } });
        await slow.release(id, "prepare");
        await slow.confirm(id, "prepare");
        const [{ revision }] = json(200, await there("GET", `/v1/procedures/${id}`)).steps;
        const undo = { body: { step: "prepare" }, fields: { "If-Match": `"${revision}"` } };
        const [taken] = json(200, await there("POST", `/v1/procedures/${id}/undos`, undo)).steps;
        assert.equal(taken.stage, "released");
        as(412, await there("POST", `/v1/procedures/${id}/undos`, undo));
    } finally {
        await slow.stop();
    }
});

test("what belongs to no one person", async () => {
    for (const path of ["/livez", "/readyz", "/v1/openapi.json", "/metrics", "/engineer", "/engineer/edge-7", "/rack/any", "/assets/rack.js"])
        as(200, await ask("GET", path));
    as(200, await ask("GET", "/metrics", { fields: { Accept: "text/plain" } }));
    for (const path of ["/", "/v1", "/v1/gates/", "/v2/gates", "/assets/none", "/assets/..%2Fcontract"]) as(404, await ask("GET", path));
    as(405, await ask("DELETE", "/v1/gates"));
    as(405, await ask("POST", "/livez", { body: {} }));
});

test("each operation was answered with success", () => {
    assert.deepEqual(operations.map((each) => each.id).filter((id) => !succeeded.has(id)), []);
});
