// How a page speaks with the daemon: with the person's token, a time limit on every answer, and problems as values.
import { DaemonClock, LocalClock } from "./clock.js";

const storageKey = "slotwitness.token";
const longestPauseMs = 8000;

/// The token behind "#token=" goes into this tab's storage and out of the address, so that it is in no history and on
/// no screenshot. Null without one: then the daemon must be one that asks for none.
export function takeToken(place = location, storage = sessionStorage, past = history) {
    const given = new URLSearchParams(place.hash.slice(1)).get("token");
    if (given) {
        storage.setItem(storageKey, given);
        past.replaceState(null, "", place.pathname + place.search);
    }
    return storage.getItem(storageKey);
}

/// What came of a request: `status` 0 where the daemon did not answer in time. `problem` (RFC 9457) where it refused.
const silence = (why) => ({
    status: 0,
    body: null,
    problem: { title: "No answer", detail: why, remedy: "It is tried again." },
});

export class Client {
    #token;
    #fetch;
    #answerMs;

    constructor({ token = null, fetch = (...given) => globalThis.fetch(...given), answerMs = 4000, local = new LocalClock() } = {}) {
        this.#token = token;
        this.#fetch = fetch;
        this.#answerMs = answerMs;
        this.local = local;
        this.daemon = new DaemonClock();
        this.heard = null; // local time at which the newest answer had been asked for
    }

    /// The latest that the daemon's clock can be; null before its first answer.
    now() {
        return this.daemon.latest(this.local.now());
    }

    get(path) {
        return this.#ask("GET", path, {});
    }

    /// `ifMatch`: the revision that was seen.
    post(path, body, { ifMatch } = {}) {
        const fields = { "Content-Type": "application/json" };
        if (ifMatch !== undefined) fields["If-Match"] = `"${ifMatch}"`;
        return this.#ask("POST", path, fields, JSON.stringify(body));
    }

    async #ask(method, path, fields, body) {
        const asked = this.local.now();
        const given = new AbortController();
        const timer = setTimeout(() => given.abort(), this.#answerMs);
        try {
            const response = await this.#fetch(path, {
                method, body, signal: given.signal, cache: "no-store", credentials: "omit",
                headers: { Accept: "application/json", ...this.#credentials(), ...fields },
            });
            const text = await response.text();
            this.daemon.learn(response.headers.get("Date"), asked, this.local.now());
            this.heard = asked;
            return answered(response.status, text);
        } catch {
            return silence(given.signal.aborted ? "The daemon has not answered in time." : "The daemon cannot be reached.");
        } finally {
            clearTimeout(timer);
        }
    }

    #credentials() {
        return this.#token ? { Authorization: `Bearer ${this.#token}` } : {};
    }

    /// Each event of a changes path, newest as `data`; comes back after breaks, ever later where nothing comes, until
    /// `signal` aborts or the daemon says that nothing will change any more. EventSource would send no token.
    async follow(path, take, { signal, pauseMs = 1000 } = {}) {
        let last = "";
        let pause = pauseMs;
        while (!signal?.aborted) {
            try {
                const response = await this.#fetch(path, {
                    signal, cache: "no-store", credentials: "omit",
                    headers: { Accept: "text/event-stream", ...this.#credentials(), ...(last && { "Last-Event-ID": last }) },
                });
                if (response.status === 204) return;
                if (response.status === 200)
                    for await (const event of events(response.body)) {
                        last = event.id;
                        pause = pauseMs;
                        take(JSON.parse(event.data));
                    }
                else await response.body?.cancel();
            } catch {
                // The way is broken: it is tried again, and what was shown meanwhile grows old by itself.
            }
            await new Promise((resolve) => setTimeout(resolve, pause));
            pause = Math.min(2 * pause, longestPauseMs);
        }
    }
}

function answered(status, text) {
    let body;
    try {
        body = JSON.parse(text);
    } catch {
        const remedy = "Something between here and the daemon answered in its place.";
        return { status, body: null, problem: { title: "No answer of the daemon", detail: "What came is not JSON.", remedy } };
    }
    return status < 400 ? { status, body, problem: null } : { status, body: null, problem: body };
}

/// The events of a text/event-stream as far as the daemon writes it: id, data on one line, comments.
export async function* events(stream) {
    const reader = stream.pipeThrough(new TextDecoderStream()).getReader();
    let pending = "";
    try {
        for (;;) {
            const { value, done } = await reader.read();
            if (done) return;
            pending += value;
            for (let end = pending.indexOf("\n\n"); end >= 0; end = pending.indexOf("\n\n")) {
                const fields = Object.fromEntries(pending.slice(0, end).split("\n").filter((line) => !line.startsWith(":"))
                    .map((line) => [line.slice(0, line.indexOf(":")), line.slice(line.indexOf(":") + 1).trimStart()]));
                pending = pending.slice(end + 2);
                if (fields.data) yield { id: fields.id ?? "", data: fields.data };
            }
        }
    } finally {
        reader.cancel().catch(() => {});
    }
}
