// The OpenAPI document as a contract: its operations, and whether a response is one that it describes. The schemas are
// judged by ajv (JSON Schema 2020-12, which OpenAPI 3.1 is over).
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const modules = process.env.SLOTWITNESS_CONTRACT_MODULES;
if (!modules) throw new Error("SLOTWITNESS_CONTRACT_MODULES must name the folder in which npm ci has run");
export const required = createRequire(join(modules, "package.json"));
const Ajv = required("ajv/dist/2020.js").default;
const addFormats = required("ajv-formats").default;

export const contractFile = new URL("../../../api/openapi.json", import.meta.url).pathname;
export const document = JSON.parse(readFileSync(contractFile, "utf8"));

const followed = (part) =>
    part.$ref ? part.$ref.slice(2).split("/").reduce((at, name) => at[name], document) : part;

/// Every operation, flat: method, path, id, roles (null: nobody is asked who he is), parameters, body, responses.
export const operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({
        method: method.toUpperCase(),
        path,
        id: operation.operationId,
        roles: operation.security.length ? operation.security[0].token : null,
        parameters: (operation.parameters ?? []).map(followed),
        body: operation.requestBody ? followed(operation.requestBody.content["application/json"].schema) : null,
        responses: operation.responses,
        pattern: new RegExp(`^${path.replaceAll(/\{\w+\}/g, "[^/]+")}$`),
    })));

export const operationOf = (method, path) =>
    operations.find((each) => each.method === (method === "HEAD" ? "GET" : method) && each.pattern.test(path));

const ajv = new Ajv({ allErrors: true, strict: false, validateFormats: true });
addFormats(ajv);
ajv.addSchema({ $id: "openapi.json", ...document });

const validators = new Map();
const pointer = (...names) => `openapi.json#/${names.map((name) => name.replaceAll("~", "~0").replaceAll("/", "~1")).join("/")}`;
function validator(at) {
    if (!validators.has(at)) validators.set(at, ajv.compile({ $ref: at }));
    return validators.get(at);
}

/// Why the value is not as the schema of that name has it; empty if it is.
export function faults(schema, value) {
    const valid = validator(pointer("components", "schemas", schema));
    return valid(value) ? [] : valid.errors.map((error) => `${error.instancePath || "/"} ${error.message}`);
}

const problemType = "application/problem+json";

/// Fails unless the document describes this response to that operation. `body` is text, or null where it was not read.
export function described(operation, { method, status, type, body }) {
    const where = `${method} ${operation?.path ?? "(no such path)"} ${status} ${type}: ${body}`;
    const name = operation && String(status) in operation.responses ? String(status) : "default";
    if (name === "default") {
        assert.ok(status >= 400, `not described: ${where}`);
        assert.equal(type, problemType, where);
        if (method === "HEAD" || body === null) return;
        const problem = JSON.parse(body);
        assert.deepEqual(faults("Problem", problem), [], where);
        assert.equal(problem.status, status, where);
        return;
    }
    const response = followed(operation.responses[name]);
    if (!response.content) {
        assert.ok(!body, `no body is described: ${where}`);
        return;
    }
    assert.ok(type in response.content, `the type is not described: ${where}`);
    if (method === "HEAD" || body === null || !/json$/.test(type)) return;
    const valid = validator(pointer("paths", operation.path, operation.method.toLowerCase(), "responses", name, "content", type, "schema"));
    assert.ok(valid(JSON.parse(body)), `${JSON.stringify(valid.errors)}\n${where}`);
}
