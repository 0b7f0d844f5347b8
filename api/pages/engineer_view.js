// What the engineer sees, from what the daemon answered and the time it is: pure, no DOM, no clock.
// Times are milliseconds of the daemon's clock.
import { allSteps, stepUnderWay as stepNow } from "./rack_view.js";

export { allSteps, stepNow };

/// Null where there is none.
export const time = (text) => (text ? Date.parse(text) : null);

/// Each condition of a part with its shape (drawn in face.js): text and shape say it, never colour alone.
export const conditions = {
    operational: { word: "operational", shape: "disc" },
    degraded: { word: "degraded", shape: "half" },
    starting: { word: "starting", shape: "ring" },
    down: { word: "down", shape: "cross" },
    shut: { word: "shut down", shape: "bar" },
    absent: { word: "not listed", shape: "void" },
    unknown: { word: "not known", shape: "query" },
};

/// "3 s", "12 min", "3 h": how long, in one figure.
export function span(ms) {
    const s = Math.max(0, Math.round(ms / 1000));
    if (s < 100) return `${s} s`;
    if (s < 100 * 60) return `${Math.round(s / 60)} min`;
    return `${Math.round(s / 3600)} h`;
}

/// "15:04:05" in the reader's own time zone.
export const clock = (at, seconds = true) =>
    new Date(at).toLocaleTimeString("en", {
        hourCycle: "h23",
        hour: "2-digit",
        minute: "2-digit",
        ...(seconds ? { second: "2-digit" } : {}),
    });

/// "9:05", "1:02:03", "−0:12": a clock that runs down.
export function countdown(ms) {
    const left = Math.trunc(Math.abs(ms) / 1000);
    const two = (n) => String(n).padStart(2, "0");
    const hours = Math.floor(left / 3600);
    const minutes = Math.floor(left / 60) % 60;
    const text = hours ? `${hours}:${two(minutes)}:${two(left % 60)}` : `${minutes}:${two(left % 60)}`;
    return ms < 0 ? `−${text}` : text;
}

/// A part as of now: past its time nobody may say that it is so.
export function partNow(part, now) {
    if (now <= time(part.valid_until) || part.condition === "unknown") return part;
    return { ...part, condition: "unknown", why: "Nobody has seen it of late." };
}

/// The parts that the work is about: those which the rules throughout except from what must stay as it is, such as
/// "every plane except 3, 4 up". As keys: "plane 3".
export function workParts(procedure) {
    const parts = new Set();
    const excepted = /every ([a-z-]+) except ((?:"[^"]*"|[^\s",]+)(?:, (?:"[^"]*"|[^\s",]+))*)/g;
    for (const rule of procedure?.rules ?? [])
        for (const [, kind, names] of rule.holds.matchAll(excepted))
            for (const name of names.match(/"[^"]*"|[^\s",]+/g)) parts.add(`${kind} ${name.replaceAll('"', "")}`);
    return parts;
}

const inSlots = ["module", "controller", "fan-tray", "power-supply"];

/// One face as people stand before it: rows of slots, null for a place without one. A slot of which the device told
/// nothing yet is not known.
export function face(chassis, timeline, side, now, work) {
    const parts = new Map();
    for (const part of timeline?.parts ?? []) if (inSlots.includes(part.kind)) parts.set(part.name, partNow(part, now));
    return (chassis.faces[side] ?? []).map((row) =>
        row.map((slot) => {
            if (!slot) return null;
            const part = parts.get(slot.name);
            return {
                key: `${part?.kind ?? "slot"} ${slot.name}`,
                kind: part?.kind ?? "",
                name: slot.name,
                label: slot.label || part?.label || "",
                condition: part?.condition ?? "unknown",
                why: part ? part.why : "The device has told nothing of it yet.",
                at: part ? time(part.at) : null,
                work: work.has(`${part?.kind ?? "slot"} ${slot.name}`),
            };
        }),
    );
}

/// Fabric planes in rows of at most eight, in the order of their numbers.
export function planes(timeline, now, work, modules = new Map()) {
    const found = (timeline?.parts ?? [])
        .filter((part) => part.kind === "plane")
        .map((part) => partNow(part, now))
        .sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }))
        .map((part) => ({
            key: `plane ${part.name}`,
            kind: "plane",
            name: part.name,
            label: `Plane ${part.name}`,
            by: modules.get(part.name) ?? [],
            condition: part.condition,
            why: part.why,
            at: time(part.at),
            work: work.has(`plane ${part.name}`),
        }));
    const rows = [];
    for (let i = 0; i < found.length; i += 8) rows.push(found.slice(i, i + 8));
    return rows;
}

/// Which modules serve each plane, as the device told last.
export function servers(chassis) {
    const by = new Map();
    for (const module of chassis.components.module ?? [])
        for (const plane of [module.facts.serves?.value ?? []].flat()) by.set(plane, [...(by.get(plane) ?? []), module.name]);
    return by;
}

/// The rows that the newest answers have of a part, each fact with the place where it was printed.
export function factsOf(chassis, kind, name) {
    return (chassis.components[kind] ?? [])
        .filter((row) => row.name === name)
        .flatMap((row) =>
            Object.entries(row.facts).map(([attribute, fact]) => ({
                attribute,
                value: valueText(fact.value),
                asking: row.asking,
                capture: row.capture,
                line: fact.line,
                column: fact.column,
                whole: row.whole,
                at: time(row.answered),
            })),
        );
}

export function valueText(value) {
    if (Array.isArray(value)) return value.join(", ");
    if (value !== null && typeof value === "object") return quantity(value);
    return String(value);
}

/// "3.2 Tb/s": rates with the prefix that people use, all else as it was printed.
function quantity({ value, unit }) {
    if (unit !== "b/s") return `${value} ${unit}`.trim();
    const [prefix, power] = [
        ["T", 12],
        ["G", 9],
        ["M", 6],
        ["k", 3],
    ].find(([, one]) => Math.abs(Number(value)) >= 10 ** one) ?? ["", 0];
    return `${Number((Number(value) / 10 ** power).toPrecision(6))} ${prefix}b/s`;
}

/// The sensors with a reading, for the list.
export function sensorReadings(chassis) {
    return (chassis.components.sensor ?? [])
        .filter((row) => row.facts.reading)
        .map((row) => ({
            name: row.name,
            value: valueText(row.facts.reading.value),
            asking: row.asking,
            line: row.facts.reading.line,
        }));
}

/// The procedure under way on a chassis; else none.
export function openOn(procedures, chassis) {
    return procedures.find((one) => one.chassis === chassis && one.phase !== "closed") ?? null;
}

/// True while a gate, as it was told last, is met at this instant.
export function isMet(gate, now) {
    return gate !== null && gate.verdict === "pass" && gate.standing === "met" && !gate.unrecorded && now <= time(gate.valid_until);
}

/// What comes next for the engineer: to whom to speak and what to say, and the one control that there is for it.
///   `code`: of what, to be told with it.
///   `control`: release, confirm, confirm-for (on the technician's behalf), at-chassis, close; null: wait.
///   `ready`: false where the control would be refused now; `hint` says why.
export function next(procedure, gate, now) {
    const none = { control: null, step: null, say: "", ask: "", hint: "", ready: false };
    if (procedure.phase === "closed") return { ...none, hint: "The procedure is closed." };
    if (procedure.word === "STOP")
        return {
            ...none,
            technician: true,
            step: stepNow(procedure),
            say: `Stop. ${procedure.advice?.say ?? "Do nothing more."}`,
            code: procedure,
            hint: "Find out what happened, and answer the stop below with your name.",
        };
    const step = stepNow(procedure);
    if (!step)
        return {
            ...none,
            control: "close",
            ready: true,
            hint: "Every step has ended: see what the handback says, and close the procedure.",
        };
    const technician = step.actor === "technician";
    const of = { step, technician };
    if (technician && !procedure.right_chassis && step.stage !== "confirmed")
        return {
            ...none,
            ...of,
            control: "at-chassis",
            ready: true,
            ask: "Read me the last four characters, or more, of the serial on the chassis before you.",
            hint: "Before the technician's first act it must be known that they stand at this chassis.",
        };
    switch (step.stage) {
        case "fact":
            return {
                ...none,
                ...of,
                control: "release",
                ready: isMet(gate, now),
                hint: isMet(gate, now)
                    ? technician
                        ? "Release it; then tell the technician."
                        : "Release it; then do it in your own session with the router."
                    : "Wait until the device reports it.",
            };
        case "released":
            return technician
                ? {
                      ...none,
                      ...of,
                      control: "confirm-for",
                      ready: true,
                      say: step.act,
                      code: step,
                      ask: step.confirm ?? "Tell me when it is done.",
                      hint: "Tell the code, and let it be read back, before they act.",
                  }
                : {
                      ...none,
                      ...of,
                      control: "confirm",
                      ready: true,
                      say: step.act,
                      hint: "Confirm when you have done it.",
                  };
        case "confirmed":
            return { ...none, ...of, hint: `Nobody acts: wait until the device reports ${step.has_effect ?? "it"}.` };
        default:
            return { ...none, ...of, hint: "Wait." };
    }
}

/// Where a track stands in [from, until]: spans cut to it, those outside left out. An open state that lasts (of a
///  gate, of a word) goes on until now; a look goes on only as far as somebody looked.
export function spansWithin(track, from, until, now) {
    const lasts = track.of === "gate" || track.of === "procedure";
    return track.spans
        .map((one, i) => {
            const last = track.open && i === track.spans.length - 1;
            return { state: one.state, from: time(one.from), until: last && lasts ? now : time(one.until) };
        })
        .map((one, i, all) => (lasts && i + 1 < all.length ? { ...one, until: all[i + 1].from } : one))
        .filter((one) => one.until >= from && one.from <= until)
        .map((one) => ({ ...one, from: Math.max(one.from, from), until: Math.min(one.until, until) }));
}

const overAndWell = ["pass", "cancelled"];
const order = ["procedure", "gate", "plane", "module", "fan-tray", "controller", "power-supply"];

/// The tracks that are drawn: everything, or of this window what the work is about, the parts that were once anything
/// but operational, and the gates that are not over. The words of one chassis make one track.
export function tracksShown(timeline, work, everything, window, now) {
    const words = timeline.tracks.filter((track) => track.of === "procedure");
    const one = words.length && {
        of: "procedure",
        name: "word",
        text: words.at(-1).text,
        open: words.some((track) => track.open),
        spans: words.flatMap((track) => track.spans).sort((a, b) => a.from.localeCompare(b.from)),
    };
    const tells = (track) => {
        const spans = spansWithin(track, window.from, window.until, now);
        if (track.of === "gate") return spans.length > 0 && (everything || track.open || !overAndWell.includes(track.spans.at(-1).state));
        return everything || work.has(`${track.of} ${track.name}`) || spans.some((span) => span.state !== "operational");
    };
    return timeline.tracks
        .filter((track) => track.of !== "procedure" && tells(track))
        .concat(one || [])
        .sort(
            (a, b) =>
                order.indexOf(a.of) - order.indexOf(b.of) ||
                (a.of === "gate" ? a.spans[0].from.localeCompare(b.spans[0].from) : 0) ||
                a.name.localeCompare(b.name, "en", { numeric: true }),
        );
}

/// A window of time moved or zoomed about `at`, at least 30 s, and within [first, now + a little].
export function zoomed(window, factor, at, first, now) {
    const width = Math.min(Math.max((window.until - window.from) * factor, 30_000), Math.max(now - first, 60_000) * 1.05);
    const share = (at - window.from) / (window.until - window.from);
    return within({ from: at - share * width, until: at + (1 - share) * width }, first, now);
}
export function moved(window, by, first, now) {
    return within({ from: window.from + by, until: window.until + by }, first, now);
}
function within({ from, until }, first, now) {
    const width = until - from;
    const last = now + width * 0.02;
    if (until > last) return { from: last - width, until: last };
    const begin = Math.min(first, last - width);
    if (from < begin) return { from: begin, until: begin + width };
    return { from, until };
}

/// Round instants for an axis of so many marks at most, in the reader's time zone offset (ms).
export function ticks(from, until, most, offset = 0) {
    const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400];
    const step = (steps.find((one) => (until - from) / 1000 / one <= most) ?? 86400) * 1000;
    const result = [];
    for (let at = Math.ceil((from + offset) / step) * step - offset; at <= until; at += step) result.push(at);
    return { step, at: result };
}

/// A figure's bounds for a sensor's plot: looks, band and limit, with air, in whole fives of °C.
export function celsiusRange(sensor) {
    const values = [
        ...sensor.looks.map((look) => Number(look.celsius)),
        ...sensor.band.flatMap((point) => [point.low, point.high]),
        Number(sensor.hottest),
    ];
    return { low: Math.floor((Math.min(...values) - 2) / 5) * 5, high: Math.ceil((Math.max(...values) + 2) / 5) * 5 };
}

/// Looks in pieces between which nobody looked for longer than `gap`.
export function pieces(looks, gap) {
    const result = [];
    for (const look of looks) {
        const at = time(look.at);
        const last = result.at(-1)?.at(-1);
        if (!last || at - last.at > gap) result.push([]);
        result.at(-1).push({ at, celsius: Number(look.celsius) });
    }
    return result;
}

/// The text of a line cut where its facts stand: [{text, facts}], in order.
export function cutLine(line) {
    const glyphs = [...line.text];
    const begins = [...new Set(line.facts.map((fact) => fact.place))].sort((a, b) => a - b);
    const cut = [];
    let done = 0;
    for (const [i, begin] of begins.entries()) {
        if (begin < done || begin >= glyphs.length) continue;
        const most = begins[i + 1] ?? glyphs.length;
        const run =
            glyphs
                .slice(begin, most)
                .join("")
                .match(/^\S+(?: \S+)*/u)?.[0] ?? "";
        if (!run) continue;
        if (begin > done) cut.push({ text: glyphs.slice(done, begin).join(""), facts: [] });
        cut.push({ text: run, facts: line.facts.filter((fact) => fact.place === begin) });
        done = begin + [...run].length;
    }
    if (done < glyphs.length) cut.push({ text: glyphs.slice(done).join(""), facts: [] });
    return cut;
}
