// A client that a seed drives, made from the contract: valid, nearly valid and hostile requests. Whatever comes, the
// daemon answers as its contract says, never by a defect, never late, and keeps nothing.
import assert from "node:assert/strict";
import { randomInt } from "node:crypto";
import { after, before, test } from "node:test";

import { Site } from "../../browser/site.mjs";
import { ask } from "./client.mjs";
import { described, operationOf, operations } from "./contract.mjs";
import { hostile } from "./hostile.mjs";
import { nearValid } from "./near_valid.mjs";
import { Held, ofTheAsker } from "./held.mjs";
import { Random } from "./random.mjs";
import { converse, responses } from "./raw.mjs";

const total = process.env.SLOTWITNESS_LONG ? 20_000 : 5_000;
const seed = Number(process.env.SLOTWITNESS_SEED ?? randomInt(2 ** 32));
const atOnce = 12;
const requestsOfOneToken = 150; // its pace is another test's

let site, id, tokens;
before(async () => {
    site = await Site.start();
    id = await site.open();
    tokens = Array.from({ length: Math.ceil(total / requestsOfOneToken) }, (_, i) => site.token(`Engineer ${i}`, "engineer"));
});
after(() => site?.stop());

const sentences = ["plane 3 up", "every plane except 3 up within 5 min", "module FAB3 operational for 1 s within 5 min",
    "at most 1 module not operational", "not plane 4 down", "sensor inlet below 45 C", "port eth1 down within 1 min"];

/// Right requests, each answered with success whenever it comes; and of `more` operations those that have an end.
function valid(random, opened, more = []) {
    const gate = () => `/v1/gates/${id}.prepare`;
    const requests = {
        getChassis: { path: "/v1/chassis/edge-7" },
        getHardware: { path: "/v1/chassis/edge-7/hardware" },
        listAnswers: { path: "/v1/chassis/edge-7/answers" },
        getAnswer: { path: "/v1/chassis/edge-7/answers/planes" },
        getTimeline: { path: "/v1/chassis/edge-7/timeline" },
        wantBaseline: { path: "/v1/chassis/edge-7/baseline", body: {} },
        openGate: { body: { chassis: "edge-7", sentence: random.of(sentences) } },
        getGate: { path: gate() },
        followGate: { path: `${gate()}/changes` },
        closeGate: { path: opened.at(-1) },
        getProcedure: { path: `/v1/procedures/${id}` },
        followProcedure: { path: `/v1/procedures/${id}/changes` },
        getRunSheet: { path: `/v1/procedures/${id}/sheet` },
        actOnProcedure: { path: `/v1/procedures/${id}/acts`, body: { act: "at-chassis", serial_end: "0017" } },
        makeRackToken: { path: `/v1/procedures/${id}/rack-tokens`, body: { person: "T. Rack", expires: "1 h" } },
        getRackPage: { path: `/rack/${id}` },
        getEngineerPageOfChassis: { path: "/engineer/edge-7" },
        getAsset: { path: "/assets/rack.js" },
    };
    // Opens a new procedure or state, or takes long by its nature: other tests have it.
    const others = ["openProcedure", "releaseStep", "confirmStep", "undoConfirmation", "connectAgain", "getCard",
        "getEvidence", "makeRackToken"].filter((each) => !more.includes(each));
    let operation = random.of(operations.filter((each) => !others.includes(each.id)));
    if (operation.id === "openGate" && opened.length > 20) operation = operationOf("DELETE", "/v1/gates/x");
    if (operation.id === "closeGate" && opened.length === 0) operation = operationOf("POST", "/v1/gates");
    return { operation, sample: { method: operation.method, path: operation.path, ...requests[operation.id] } };
}

/// How often each status was answered: what a generator no longer reaches is found here.
const answered = new Map();
const count = ({ status }) => answered.set(status, (answered.get(status) ?? 0) + 1);
const reached = [200, 201, 202, 400, 401, 404, 405, 406, 412, 413, 414, 417, 421, 422, 431, 501, 505]; // each some ten times

async function one(random, token, opened) {
    const kind = random.of(["valid", "near", "hostile"]);
    if (kind === "hostile") {
        const attempt = hostile(random);
        const told = responses(await converse(site.url, attempt));
        assert.ok(told.length <= attempt.most, `${told.length} responses to ${attempt.bytes.toString("latin1").slice(0, 300)}`);
        for (const response of told) {
            count(response);
            if (response.status === 200) continue; // some are right requests after all
            described(undefined, { method: "?", ...response });
            assert.ok(response.status < 500 || [501, 505].includes(response.status), response.body);
        }
        return;
    }
    const { operation, sample } = valid(random, opened, kind === "near" ? ["makeRackToken"] : []);
    if (kind === "valid") {
        if (operation.id === "closeGate") opened.pop();
        const told = await ask(site.url, { ...sample, token });
        count(told);
        assert.ok(told.status >= 200 && told.status < 300, `${sample.method} ${sample.path}: ${told.status} ${told.body}`);
        if (operation.id === "openGate") opened.push(told.headers.location);
        return;
    }
    const attempt = nearValid(random, operation, sample);
    // What is asked without a token is another stranger each time.
    const localAddress = `127.${1 + random.below(200)}.${random.below(250)}.${1 + random.below(250)}`;
    const told = await ask(site.url, { token, localAddress, ...attempt });
    count(told);
    const known = told.status < 500 || (told.status === 501 && attempt.method !== sample.method);
    assert.ok(known, `${sample.method} ${attempt.path} ${JSON.stringify(attempt).slice(0, 500)}: ${told.status} ${told.body}`);
    if (told.status === 201 && told.headers.location) opened.push(told.headers.location);
}

test(`${total} requests by seed ${seed}`, async (t) => {
    t.diagnostic(`again: SLOTWITNESS_SEED=${seed}`);
    const held = new Held(site);
    const spend = async (count, part) => {
        await Promise.all(Array.from({ length: atOnce }, async (_, worker) => {
            const random = new Random(seed + 1_000 * part + worker);
            const opened = []; // each has its own, so that what one closes no other asks for
            for (let i = worker; i < count; i += atOnce) await one(random, tokens[(i + part * 7) % tokens.length], opened);
            for (const path of opened) await ask(site.url, { method: "DELETE", path, token: tokens[worker % tokens.length] });
        }));
    };
    await spend(total / 5, 0); // what is allocated once is there now
    await held.settled();
    const before = held.now();
    await spend((total / 5) * 4, 1);
    await held.settled();
    const then = held.now();
    t.diagnostic(`resident: ${before.kilobytes} kB, ${then.kilobytes} kB after ${total} requests`);
    t.diagnostic(`answered: ${[...answered].sort().map(([status, times]) => `${times} × ${status}`).join(", ")}`);
    assert.deepEqual(reached.filter((status) => !answered.has(status)), []);
    assert.ok(then.descriptors <= before.descriptors + ofTheAsker, `${before.descriptors} descriptors, then ${then.descriptors}`);
    // Gates that were opened stay on record, some KB each; nothing else may stay.
    assert.ok(then.kilobytes < before.kilobytes + 16 * 1024, `${before.kilobytes} kB, then ${then.kilobytes} kB`);
});
