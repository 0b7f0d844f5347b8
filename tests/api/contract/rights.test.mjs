// Who may do what, generated from the contract: every operation by everybody, each with the one status that is right.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { after, before, test } from "node:test";

import { Site } from "../../browser/site.mjs";
import { ask } from "./client.mjs";
import { operations } from "./contract.mjs";

let site, id;
before(async () => {
    site = await Site.start();
    id = await site.open();
});
after(() => site?.stop());

/// A request of each operation that changes nothing which another one here rests on, and what it is answered where the
/// asker may. Of what would change the state the revision is one that nobody has seen, which is found after the rights.
const samples = () => ({
    listChassis: [{}, 200],
    getChassis: [{ path: "/v1/chassis/edge-7" }, 200],
    getHardware: [{ path: "/v1/chassis/edge-7/hardware" }, 200],
    listAnswers: [{ path: "/v1/chassis/edge-7/answers" }, 200],
    getAnswer: [{ path: "/v1/chassis/edge-7/answers/planes" }, 200],
    getTimeline: [{ path: "/v1/chassis/edge-7/timeline" }, 200],
    connectAgain: [{ path: "/v1/chassis/edge-7/session", body: { by: "me" } }, 422],
    wantBaseline: [{ path: "/v1/chassis/edge-7/baseline", body: {} }, 202],
    listGates: [{}, 200],
    openGate: [{ body: { chassis: "edge-7", sentence: "plane 3 up within 5 min" } }, 201],
    getGate: [{ path: `/v1/gates/${id}.prepare` }, 200],
    followGate: [{ path: `/v1/gates/${id}.prepare/changes` }, 200],
    closeGate: [{ path: "/v1/gates/none" }, 404],
    listProcedures: [{}, 200],
    openProcedure: [{ body: { chassis: "edge-7", procedure: "none" } }, 422],
    getProcedure: [{ path: `/v1/procedures/${id}` }, 200],
    followProcedure: [{ path: `/v1/procedures/${id}/changes` }, 200],
    getRunSheet: [{ path: `/v1/procedures/${id}/sheet` }, 200],
    getCard: [{ path: `/v1/procedures/${id}/card` }, 200],
    getEvidence: [{ path: `/v1/procedures/${id}/evidence` }, 200],
    releaseStep: [{ path: `/v1/procedures/${id}/releases`, body: { step: "prepare" }, fields: { "If-Match": '"999999"' } }, 412],
    confirmStep: [{ path: `/v1/procedures/${id}/confirmations`, body: { step: "prepare" }, fields: { "If-Match": '"999999"' } }, 412],
    undoConfirmation: [{ path: `/v1/procedures/${id}/undos`, body: { step: "prepare" }, fields: { "If-Match": '"999999"' } }, 412],
    actOnProcedure: [{ path: `/v1/procedures/${id}/acts`, body: { act: "at-chassis", serial_end: "0017" } }, 200],
    makeRackToken: [{ path: `/v1/procedures/${id}/rack-tokens`, body: { person: "" } }, 422],
    getContract: [{}, 200],
    getMetrics: [{}, 200],
    isAlive: [{}, 200],
    isReady: [{}, 200],
    getRackPage: [{ path: `/rack/${id}` }, 200],
    getEngineerPage: [{}, 200],
    getEngineerPageOfChassis: [{ path: "/engineer/edge-7" }, 200],
    getAsset: [{ path: "/assets/rack.js" }, 200],
});

/// Everybody who could ask. `role` is set where the token counts, `own` where it is of this procedure.
function everybody() {
    const people = [
        { who: "nobody" },
        { who: "a stranger", token: "sw1.abcdefgh.jkmnpqrstuvwxyz23456789abcdefghj" },
        { who: "rack of another procedure", token: site.token("O. Ther", "rack", "k7fq2mxd"), role: "rack" },
        { who: "rack", token: site.token("R. Ack", "rack", id), role: "rack", own: true },
    ];
    const short = (role) => (role === "rack" ? ["rack", id] : [role]);
    for (const role of ["viewer", "engineer", "auditor"])
        people.push({ who: role, token: site.token(`A. ${role}`, role), role, own: true });
    for (const role of ["viewer", "rack", "engineer", "auditor"]) {
        people.push({ who: `revoked ${role}`, token: site.token(`Revoked ${role}`, ...short(role)), ended: "revoke" });
        people.push({ who: `expired ${role}`, token: site.token(`Expired ${role}`, ...short(role)), ended: "expire" });
    }
    const config = ["--config", site.file("site.toml")];
    const idOf = (token) => token.split(".")[1];
    for (const person of people.filter(({ ended }) => ended === "revoke"))
        execFileSync(`${process.env.SLOTWITNESS_BIN}/slotwitness`, ["token", "revoke", ...config, idOf(person.token)]);
    // Nobody waits for a token to run out: its end is put into the past, as the file tells it.
    let file = readFileSync(site.file("tokens"), "utf8");
    for (const person of people.filter(({ ended }) => ended === "expire")) {
        const at = file.indexOf(idOf(person.token));
        const begin = file.indexOf("expires", at);
        const end = file.indexOf("\n", begin);
        assert.ok(at >= 0 && begin > at);
        file = file.slice(0, begin) + file.slice(begin, end).replace(/\d{4}-/, "2001-") + file.slice(end);
    }
    writeFileSync(site.file("tokens"), file);
    return people;
}

function expected(operation, person, right) {
    if (!operation.roles) return right;
    if (!person.role) return 401;
    if (!operation.roles.includes(person.role) || !person.own) return 403;
    return right;
}

test("everybody may on every operation what the contract says, and no more", async () => {
    const all = samples();
    assert.deepEqual(Object.keys(all).sort(), operations.map((each) => each.id).sort(), "a sample of each operation");
    const people = everybody();
    let address = 1; // each stranger has its own: the pace of strangers is another test's
    for (const operation of operations)
        for (const person of people) {
            const [sample, right] = all[operation.id];
            const methods = operation.method === "GET" ? ["GET", "HEAD"] : [operation.method];
            for (const method of methods) {
                address += 1;
                const told = await ask(site.url, {
                    method, path: operation.path, ...sample, token: person.token,
                    localAddress: `127.${1 + (address >> 14)}.${(address >> 7) & 127}.${1 + (address & 127)}`,
                });
                const where = `${person.who}: ${method} ${operation.path}: ${told.body}`;
                assert.equal(told.status, expected(operation, person, right), where);
                const challenge = told.headers["www-authenticate"];
                if (told.status === 401) assert.match(challenge, person.token ? /error="invalid_token"/ : /^Bearer realm="slotwitness"$/, where);
                else if (told.status === 403) assert.match(challenge, /error="insufficient_scope"/, where);
                else assert.equal(challenge, undefined, where);
            }
        }
});
