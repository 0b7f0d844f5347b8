// What of a timeline, and of a sensor, stands in a window of time: pure, no DOM, no clock.
import { time } from "./times.js";

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
