// Bytes over a socket, and the responses that come back.
import { connect } from "node:net";

const longest = 60_000; // a connection that is open after this hangs: no bound of the server is as long

/// Sends the bytes and its end, or a reset; gives all that came until the server closed.
export function converse(url, { bytes, resets = false }) {
    const { hostname, port } = new URL(url);
    return new Promise((resolve, reject) => {
        const parts = [];
        const socket = connect({ host: hostname, port, allowHalfOpen: true });
        socket.setTimeout(longest, () => socket.destroy(new Error("it hangs")));
        socket.on("connect", () => {
            const data = Buffer.isBuffer(bytes) ? bytes : Buffer.from(bytes, "latin1");
            if (resets) socket.write(data, () => socket.resetAndDestroy());
            else socket.end(data);
        });
        socket.on("data", (part) => parts.push(part));
        // The server may close while bytes are still under way, which resets the connection.
        socket.on("error", (error) => error.message === "it hangs" && reject(error));
        socket.on("close", () => resolve(Buffer.concat(parts)));
    });
}

/// The responses, one after the other; throws where there is something else.
export function responses(bytes) {
    const all = [];
    for (let rest = bytes; rest.length > 0;) {
        const end = rest.indexOf("\r\n\r\n");
        const [line, ...fields] = rest.subarray(0, end).toString("latin1").split("\r\n");
        const status = Number(/^HTTP\/1\.1 (\d{3}) /.exec(line)?.[1]);
        if (end < 0 || !status) throw new Error(`no response: ${rest.subarray(0, 200).toString("latin1")}`);
        const value = (name) => fields.find((field) => field.toLowerCase().startsWith(`${name}:`))?.slice(name.length + 1).trim();
        const begin = end + 4;
        const size = status < 200 ? 0 : Number(value("content-length") ?? 0);
        if (status >= 200) all.push({ status, type: (value("content-type") ?? "").split(";")[0], body: rest.subarray(begin, begin + size).toString() });
        rest = rest.subarray(begin + size);
    }
    return all;
}
