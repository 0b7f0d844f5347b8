import assert from "node:assert/strict";
import { test } from "node:test";

import { duration, localTime, withLocalTimes } from "../../../api/pages/parts.js";

test("durations are rounded down, to what a person reads at a glance", () => {
    for (const [ms, text] of [[-1, "0 s"], [999, "0 s"], [59_999, "59 s"], [60_000, "1 min 00 s"], [545_000, "9 min 05 s"], [3_600_000, "1 h 00 min"], [7_380_000, "2 h 03 min"]])
        assert.equal(duration(ms), text);
});

test("the daemon's instants are shown by the clock on the wall, and with their day where it is another", () => {
    const text = "2026-11-26T08:00:05.123Z";
    const here = new Date(text);
    const clock = [here.getHours(), here.getMinutes(), here.getSeconds()].map((n) => String(n).padStart(2, "0")).join(":");
    assert.ok(localTime(text, here).startsWith(clock));
    assert.match(localTime(text, new Date("2026-12-24T08:00:00Z")), /2026/);
    assert.doesNotMatch(withLocalTimes(`The limit was ${text}, see rule 7.`), /T08/);
    assert.match(withLocalTimes(`The limit was ${text}, see rule 7.`), /^The limit was .*, see rule 7\.$/);
});
