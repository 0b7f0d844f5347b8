// A plain client, a connection a request, from any loopback address.
import { request } from "node:http";

import { described, operationOf } from "./contract.mjs";

/// Operations that were answered with success, by their ids.
export const succeeded = new Set();

/// One request; fails if its response is not as the contract describes it. Of an event stream the first event is the body.
export function ask(url, { method = "GET", path, token, fields = {}, body, localAddress }) {
    const { hostname, port } = new URL(url);
    const text = body === undefined ? undefined : typeof body === "string" ? body : JSON.stringify(body);
    const headers = {
        ...(token && { Authorization: `Bearer ${token}` }),
        ...(text !== undefined && { "Content-Type": "application/json", "Content-Length": Buffer.byteLength(text) }),
        ...fields,
    };
    return new Promise((resolve, reject) => {
        const asking = request({ hostname, port, method, path, headers, localAddress, agent: false }, (response) => {
            const type = (response.headers["content-type"] ?? "").split(";")[0];
            const parts = [];
            let over = false;
            const end = () => {
                if (over) return;
                over = true;
                const bytes = Buffer.concat(parts);
                const told = { method, status: response.statusCode, type, headers: response.headers, bytes, body: bytes.toString() };
                asking.destroy();
                try {
                    const operation = operationOf(method, path.split("?")[0]);
                    described(operation, told);
                    if (operation && told.status < 300) succeeded.add(operation.id);
                    resolve(told);
                } catch (error) {
                    reject(error);
                }
            };
            response.on("data", (part) => {
                parts.push(part);
                if (type === "text/event-stream" && part.includes("\n\n")) end();
            });
            response.on("end", end);
            response.on("error", reject);
            response.on("aborted", () => reject(new Error(`${method} ${path}: the response was cut`)));
        });
        asking.on("error", reject);
        asking.end(text);
    });
}
