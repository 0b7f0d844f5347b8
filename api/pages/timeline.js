// The timeline: a line a track, hatched as in the drawing of the face. Where nobody looked there is nothing.
import { drawn as s } from "./parts.js";
import { clock, countdown, spansWithin, stateText, ticks, time } from "./engineer_view.js";

const row = 26;
const left = 190;
const right = 12;
const top = 58;

const named = { plane: "Plane" };

/// How each state of gates and words is drawn: with the hatching of a part's condition.
const look = {
    pending: "starting",
    met: "operational",
    settling: "starting",
    lost: "down",
    unseen: "unknown",
    pass: "operational",
    fail: "down",
    cancelled: "absent",
    "STATE MET": "operational",
    WAIT: "starting",
    CALL: "degraded",
    STOP: "down",
    "cooling reduced": "shut",
};
export const lookOf = (state) => look[state] ?? state;

const clockText = (at, step) => clock(at, step < 60_000);

function bar(one, x, y) {
    const from = x(one.from);
    const w = Math.max(x(one.until) - from, 2);
    const state = stateText(one.state);
    const fits = w > 8 * state.length;
    return s(
        "g",
        { class: `bar ${lookOf(one.state)}` },
        s("title", {}, `${state}, ${clock(one.from)} to ${clock(one.until)} (${countdown(one.until - one.from)})`),
        s("rect", { x: from, y: y + 4, width: w, height: row - 8, class: "body" }),
        s("rect", { x: from, y: y + 4, width: w, height: row - 8, class: "filling" }),
        fits ? s("rect", { x: from + 3, y: y + 6, width: 7 * state.length + 4, height: row - 12, class: "plate" }) : null,
        fits ? s("text", { x: from + 5, y: y + 17, class: "state" }, state) : null,
    );
}

/// The runs of the cooling clock as one track, with the limit of the one that runs.
export function clockTracks(timeline) {
    const runs = timeline.clocks;
    if (!runs.length) return [];
    const until = (run) => run.ended ?? timeline.now;
    return [
        {
            of: "clock",
            name: "cooling",
            text: "",
            open: !runs.at(-1).ended,
            limit: runs.at(-1).limit,
            spans: runs.map((run) => ({ state: "cooling reduced", from: run.began, until: until(run) })),
        },
    ];
}

const shortened = (text, most = 25) => (text.length > most ? `${text.slice(0, most - 1)}…` : text);

/// A step's gate by its step, any other one by its sentence.
function titleOf(track) {
    const [, ...step] = track.name.split(".");
    if (track.of === "gate") return shortened(step.join(" ") || track.text || track.name);
    if (track.of === "clock") return "Cooling clock";
    return track.of === "procedure" ? "Word" : `${named[track.of] ?? ""} ${track.name}`.trim();
}

/// `window`: from, until. `width`: of the drawing in its own units.
export function lines(timeline, tracks, window, now, width) {
    const x = (at) => left + ((at - window.from) / (window.until - window.from)) * (width - left - right);
    const inside = (at) => at >= window.from && at <= window.until;
    const height = top + tracks.length * row + 8;
    const isWhole = (at) => x(at) > left - 10 && x(at) < width - 40; // its text has room
    const axis = ticks(window.from, window.until, Math.floor((width - left) / 110), -new Date(now).getTimezoneOffset() * 60_000);
    const since = time(timeline.since);
    return s(
        "svg",
        {
            viewBox: `0 0 ${width} ${height}`,
            class: "lines",
            "font-size": 14,
            role: "img",
            "aria-label": "Timeline; the table below says the same",
            "data-key": "lines",
        },
        axis.at
            .filter(isWhole)
            .map((at) =>
                s(
                    "g",
                    { class: "tick" },
                    s("path", { d: `M${x(at)},${top - 6} V${height}` }),
                    s("text", { x: x(at), y: 14 }, clockText(at, axis.step)),
                ),
            ),
        tracks.map((track, i) => {
            const y = top + i * row;
            return s(
                "g",
                { class: `track ${track.of}` },
                s("path", { d: `M${left},${y + row / 2} H${width - right}`, class: "nothing" }),
                s("text", { x: 4, y: y + 18, class: "of" }, titleOf(track), track.text ? s("title", {}, track.text) : null),
                spansWithin(track, window.from, window.until, now).map((one) => bar(one, x, y)),
                track.limit && inside(time(track.limit))
                    ? s(
                          "g",
                          { class: "limit" },
                          s("path", { d: `M${x(time(track.limit))},${y} v${row}` }),
                          s("text", { x: x(time(track.limit)) + 4, y: y + 17 }, "limit"),
                      )
                    : null,
            );
        }),
        timeline.marks
            .filter((mark) => inside(time(mark.at)))
            .map((mark) =>
                s(
                    "g",
                    { class: "mark" },
                    s("title", {}, markText(mark)),
                    s("path", { d: `M${x(time(mark.at))},${top - 20} l5,7 l-5,7 l-5,-7 z` }),
                    s("path", { class: "thread", d: `M${x(time(mark.at))},${top - 6} V${height}` }),
                ),
            ),
        since !== null && inside(since)
            ? s(
                  "g",
                  { class: "since" },
                  s("path", { d: `M${x(since)},22 V${height}` }),
                  s(
                      "text",
                      {
                          x: x(since) + (x(since) < left + 100 ? 4 : -4),
                          y: 31,
                          class: x(since) < left + 100 ? "" : "end",
                      },
                      "begins here",
                  ),
              )
            : null,
        inside(now)
            ? s("g", { class: "now" }, s("path", { d: `M${x(now)},22 V${height}` }), s("text", { x: x(now) - 4, y: 31 }, "now"))
            : null,
    );
}

export function markText(mark) {
    const who = mark.on_behalf_of ? `${mark.by} for ${mark.on_behalf_of}` : mark.by;
    return [mark.step, mark.what, who && `by ${who}`].filter(Boolean).join(" ");
}
