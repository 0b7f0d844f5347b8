// What the daemon holds: memory, descriptors, connections and streams, as the system and /metrics tell them.
import { readdirSync, readFileSync } from "node:fs";
import { setTimeout } from "node:timers/promises";

import { ask } from "./client.mjs";

/// The connection that asks for the metrics may still be closing, and the tokens be read for it.
export const ofTheAsker = 2;

export class Held {
    constructor(site) {
        this.site = site;
        this.token = site.token("M. Onitor", "viewer");
    }

    now() {
        const { pid } = this.site.daemon;
        const status = readFileSync(`/proc/${pid}/status`, "utf8");
        return { kilobytes: Number(/^VmRSS:\s+(\d+) kB$/m.exec(status)[1]), descriptors: readdirSync(`/proc/${pid}/fd`).length };
    }

    /// Of /metrics, by its whole name.
    async metric(name) {
        const { body } = await ask(this.site.url, { path: "/metrics", token: this.token });
        return Number(new RegExp(`^${name} (\\S+)$`, "m").exec(body)[1]);
    }

    /// Returns once the daemon knows that everybody else has left. Asked again and again; the test's own time ends it.
    async settled() {
        while ((await this.metric("slotwitness_connections")) > 1 || (await this.metric("slotwitness_event_streams")) > 0)
            await setTimeout(50);
    }
}
